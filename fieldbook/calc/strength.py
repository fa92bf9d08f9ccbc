"""Bending and crushing strength, with a testing machine, a lever and bucket, or a weight."""

from fieldbook.calc.refusal import Value, less, negative, not_positive, refuse_if
from fieldbook.calc.uncertainty import nominal
from fieldbook.quantities import in_units

GRAVITY = 9.80665
"""[m/s**2] Standard gravity, exact by convention."""


@in_units(load="N", span="mm", width="mm", depth="mm", break_offset="mm", returns="MPa")
def modulus_of_rupture(
    load: Value, span: Value, width: Value, depth: Value, break_offset: Value = 0.0
) -> Value:
    """Bending strength of a brick on two bearings, loaded at midspan.

    Formula:
        S = 3 W (L/2 - x) / (b d^2)
    Args:
        load: [N] that broke it.
        span: [mm] between the bearings.
        width: [mm] of the brick across the span, as it lay.
        depth: [mm] of the brick as it lay, in the direction of the load.
        break_offset: [mm] from midspan to the break, on the tension face.
    Returns:
        [MPa]
    Raises:
        NotPossible: a size is not above zero, or the break lies outside the bearings.
    Source:
        ASTM C67, form with the break off centre from memory; Callister, three-point problem;
        Construction Superintendence, section 232.
    Example:
        >>> print(f"{modulus_of_rupture.plain(300.0, 44.0, 11.0, 5.3):.2f}")
        64.08
    """
    refuse_if(
        not_positive(span, width, depth),
        "a size must be greater than zero",
    )
    refuse_if(negative(load), "a load must not be negative")
    refuse_if(
        (nominal(break_offset) < 0) | (nominal(break_offset) >= nominal(span) / 2),
        "the break lies outside the span",
    )
    return 3 * load * (span / 2 - break_offset) / (width * depth**2)


@in_units(load="N", area="mm**2", returns="MPa")
def compressive_strength(load: Value, area: Value) -> Value:
    """Crushing load over the loaded area.

    Formula:
        C = W / A
    Args:
        load: [N] at failure.
        area: [mm**2] gross area under load, mean of both bearing faces.
    Returns:
        [MPa]
    Raises:
        NotPossible: no area, or a negative load.
    Source:
        ASTM C67; IS 3495-1:1992.
    Example:
        >>> print(f"{compressive_strength.plain(350e3, 230 * 115):.2f}")
        13.23
    """
    refuse_if(not_positive(area), "the area must be greater than zero")
    refuse_if(negative(load), "a load must not be negative")
    return load / area


@in_units(strength="MPa", gross_area="mm**2", net_area="mm**2", returns="MPa")
def net_area_strength(strength: Value, gross_area: Value, net_area: Value) -> Value:
    """Strength on the gross area, restated on the area without cores.

    Formula:
        C_n = C A_g / A_n
    Args:
        strength: [MPa] on the gross area.
        gross_area: [mm**2]
        net_area: [mm**2] without the cores.
    Returns:
        [MPa]
    Raises:
        NotPossible: the net area exceeds the gross one, or is not above zero.
    Source:
        Clay-brick research paper 7, 1982, equations 1 and 2.
    Example:
        >>> net_area_strength.plain(12.0, 20000.0, 16000.0)
        15.0
    """
    refuse_if(not_positive(net_area), "the area must be greater than zero")
    refuse_if(less(gross_area, net_area), "the net area exceeds the gross one")
    return strength * gross_area / net_area


@in_units(load="kg", load_at="m", nose_at="m", beam="kg", beam_at="m", returns="N")
def lever_force(
    load: Value, load_at: Value, nose_at: Value, beam: Value = 0.0, beam_at: Value = 0.0
) -> Value:
    """Force under the nose of a lever hinged at one end, with the weight of its own beam.

    Formula:
        F = 9.80665 (m a + m_b g) / c
    Args:
        load: [kg] hung on the lever, bucket and all.
        load_at: [m] from the hinge to the load.
        nose_at: [m] from the hinge to the nose on the brick.
        beam: [kg] of the beam itself.
        beam_at: [m] from the hinge to the middle of the beam's weight.
    Returns:
        [N]
    Raises:
        NotPossible: a mass or distance is negative, or the nose is at the hinge.
    Source:
        Statics; standard gravity.
    Example:
        >>> print(f"{lever_force.plain(25.0, 1.50, 0.15, 6.0, 0.80):.0f}")
        2765
    """
    refuse_if(negative(load, beam), "a mass must not be negative")
    refuse_if(negative(load_at, beam_at), "a distance must not be negative")
    refuse_if(not_positive(nose_at), "the nose must stand away from the hinge")
    return GRAVITY * (load * load_at + beam * beam_at) / nose_at


@in_units(mass="kg", returns="N")
def weight(mass: Value) -> Value:
    """Weight of a mass at standard gravity.

    Formula:
        F = 9.80665 m
    Args:
        mass: [kg] set on the brick.
    Returns:
        [N]
    Raises:
        NotPossible: the mass is negative.
    Source:
        Standard gravity, exact by convention.
    Example:
        >>> print(f"{weight.plain(75.0):.1f}")
        735.5
    """
    refuse_if(negative(mass), "a mass must not be negative")
    return GRAVITY * mass


@in_units(cold_absorption="%", strength="psi", returns="1")
def abrasion_index(cold_absorption: Value, strength: Value) -> Value:
    """Index of wear of a paving brick: the less the better.

    Formula:
        100 x 24 h cold absorption in % / compressive strength in psi
    Args:
        cold_absorption: [%] after 24 h in cold water.
        strength: [psi] compressive.
    Returns:
        [1]
    Raises:
        NotPossible: no strength, or a negative absorption.
    Source:
        ASTM C902 of about 1992, as printed in Masonry Magazine, April 1993, p. 28.
    Example:
        >>> print(f"{abrasion_index.plain(6.0, 8500.0):.4f}")
        0.0706
    """
    refuse_if(not_positive(strength), "the strength must be greater than zero")
    refuse_if(negative(cold_absorption), "absorption must not be negative")
    return 100 * cold_absorption / strength
