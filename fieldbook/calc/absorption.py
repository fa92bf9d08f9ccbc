"""Water that a fired brick takes up: cold, boiled, and in the first minute."""

from fieldbook.calc.refusal import (
    Value,
    less,
    negative,
    not_positive,
    outside,
    refuse_if,
    refuse_outside,
)
from fieldbook.calc.uncertainty import nominal
from fieldbook.quantities import in_units

RECKONED_AREA = 30.0
"""[in**2] The contact area to which American suction figures refer (ASTM C67)."""

SQUARE_INCH = 0.0254**2
"""[m**2] Exact."""


@in_units(dry_mass="g", soaked_mass="g", returns="%")
def water_absorption(dry_mass: Value, soaked_mass: Value) -> Value:
    """Water taken up in a soak, cold or boiling, as a part of the dry mass.

    Cold (24 h) and boiling (5 h) absorption share this formula and nothing else: a limit for
    the one does not judge the other.

    Formula:
        A = 100 (W_s - W_d) / W_d
    Args:
        dry_mass: [g] oven dry.
        soaked_mass: [g] surface dry, after the soak or the boil.
    Returns:
        [%] of the dry mass.
    Raises:
        NotPossible: the soaked mass is less than the dry one, or a mass is not above zero.
    Source:
        ASTM C67, as printed in Masonry Magazine, August 1989, p. 20.
    Example:
        >>> water_absorption.plain(2000.0, 2230.0), water_absorption.plain(2000.0, 2300.0)
        (11.5, 15.0)
    """
    _refuse_bad_soak(dry_mass, soaked_mass)
    return 100 * (soaked_mass - dry_mass) / dry_mass


@in_units(dry_mass="g", soaked_mass="g", boiled_mass="g", returns="1")
def saturation_coefficient(dry_mass: Value, soaked_mass: Value, boiled_mass: Value) -> Value:
    """Part of the pores that a cold soak fills: 24 h cold over 5 h boil.

    Formula:
        C/B = (W_s - W_d) / (W_b - W_d)
    Args:
        dry_mass: [g] oven dry.
        soaked_mass: [g] after 24 h in cold water.
        boiled_mass: [g] after 5 h of boiling.
    Returns:
        [1] from 0 to 1.
    Raises:
        NotPossible: the boiled mass is less than the soaked one (a coefficient above 1), the
            soaked less than the dry one, or nothing was taken up at all.
    Source:
        ASTM C67, as printed in Masonry Magazine, August 1989, p. 20.
    Example:
        >>> print(f"{saturation_coefficient.plain(2000.0, 2230.0, 2300.0):.4f}")
        0.7667
    """
    _refuse_bad_soak(dry_mass, soaked_mass)
    refuse_if(
        less(boiled_mass, soaked_mass),
        "boiled lighter than soaked: a coefficient above 1",
    )
    refuse_if(
        nominal(boiled_mass) <= nominal(dry_mass), "the brick took up nothing: no coefficient"
    )
    return (soaked_mass - dry_mass) / (boiled_mass - dry_mass)


@in_units(boiling_absorption="%", saturation="1", returns="%")
def cold_from_boiling(boiling_absorption: Value, saturation: Value) -> Value:
    """Cold absorption from the boiling one and the saturation coefficient.

    Formula:
        C = B (C/B)
    Args:
        boiling_absorption: [%] after 5 h of boiling.
        saturation: [1] saturation coefficient.
    Returns:
        [%] after 24 h in cold water.
    Raises:
        OutOfRange: the coefficient does not lie within 0 to 1.
    Source:
        N. Krogstad, Meeting the grade, Masonry Construction, January 2003.
    Example:
        >>> print(f"{cold_from_boiling.plain(11.0, 0.83):.2f}")
        9.13
    """
    refuse_outside(outside(saturation, 0, 1), "saturation coefficient: 0 to 1")
    refuse_outside(negative(boiling_absorption), "absorption must not be negative")
    return boiling_absorption * saturation


@in_units(gain="g", length="in", breadth="in", core_area="in**2", returns="g/min")
def initial_rate_of_absorption(
    gain: Value, length: Value, breadth: Value, core_area: Value = 0.0
) -> Value:
    """Suction: mass gained in one minute, reckoned for 30 square inches of bed.

    Formula:
        X = 30 W / (L B - cores)
    Args:
        gain: [g] in one minute in 3.2 mm of water.
        length: [in] of the bed.
        breadth: [in] of the bed.
        core_area: [in**2] of holes in the bed; 0 for a solid brick.
    Returns:
        [g/min] for each 30 square inches.
    Raises:
        NotPossible: a negative gain, or cores that leave no bed.
    Source:
        ASTM C67: grams in one minute for 30 square inches of contact; formula from memory.
    Example:
        >>> print(f"{initial_rate_of_absorption.plain(22.0, 8.0, 3.5):.1f}")
        23.6
    """
    refuse_if(negative(gain), "a brick does not lose mass to water")
    refuse_if(
        not_positive(length, breadth) | (nominal(core_area) < 0),
        "a bed needs length and breadth",
    )
    net_area = length * breadth - core_area
    refuse_if(not_positive(net_area), "the cores leave no bed")
    return RECKONED_AREA * gain / net_area


@in_units(gain="kg", area="m**2", minutes="min", returns="kg/(m**2*min)")
def initial_suction(gain: Value, area: Value, minutes: Value = 1.0) -> Value:
    """Suction, the European way: mass gained for each area and minute.

    Formula:
        c = (m_s - m_d) / (A t)
    Args:
        gain: [kg] taken up.
        area: [m**2] of the bed in the water.
        minutes: [min] in the water, usually 1.
    Returns:
        [kg/(m**2*min)]
    Raises:
        NotPossible: a negative gain, no area, no time.
    Source:
        EN 772-11:2011 (scope); formula from memory.
    Example:
        >>> print(f"{initial_suction.plain(0.036, 0.215 * 0.1025):.3f}")
        1.634
    """
    refuse_if(negative(gain), "a brick does not lose mass to water")
    refuse_if(not_positive(area, minutes), "suction needs an area and a time")
    return gain / (area * minutes)


@in_units(suction="g/min", returns="kg/(m**2*min)")
def suction_by_area(suction: Value) -> Value:
    """American suction (g/min for 30 square inches) restated in kg for each m2 and minute.

    Formula:
        c = X / 1000 / (30 x 0.0254^2)
    Args:
        suction: [g/min] for each 30 square inches.
    Returns:
        [kg/(m**2*min)]
    Raises:
        OutOfRange: the suction is negative.
    Source:
        The inch is 0.0254 m exactly.
    Example:
        >>> print(f"{suction_by_area.plain(30.0):.3f}")
        1.550
    """
    refuse_outside(negative(suction), "suction must not be negative")
    return suction / 1000 / (RECKONED_AREA * SQUARE_INCH)


@in_units(suction="kg/(m**2*min)", returns="g/min")
def suction_by_30_square_inches(suction: Value) -> Value:
    """European suction restated in g/min for 30 square inches.

    Formula:
        X = 1000 c (30 x 0.0254^2)
    Args:
        suction: [kg/(m**2*min)]
    Returns:
        [g/min] for each 30 square inches.
    Raises:
        OutOfRange: the suction is negative.
    Source:
        The inch is 0.0254 m exactly.
    Example:
        >>> print(f"{suction_by_30_square_inches.plain(1.0):.2f}")
        19.35
    """
    refuse_outside(negative(suction), "suction must not be negative")
    return 1000 * suction * (RECKONED_AREA * SQUARE_INCH)


def _refuse_bad_soak(dry_mass: Value, soaked_mass: Value) -> None:
    refuse_if(not_positive(dry_mass), "the dry mass must be greater than zero")
    refuse_if(less(soaked_mass, dry_mass), "soaked lighter than dry")
