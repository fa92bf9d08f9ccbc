"""Mixing clays and tempers: by dry mass, whatever they were measured with; and mould sizes."""

from collections.abc import Sequence
from typing import NamedTuple

from fieldbook.calc.refusal import Value, less, negative, not_positive, refuse_if, refuse_outside
from fieldbook.calc.uncertainty import nominal
from fieldbook.errors import NotPossible
from fieldbook.quantities import in_units

TRIAL_RATIOS = ((1, 0), (4, 1), (3, 1), (2, 1), (1, 1))
"""Clay to temper by volume: a short line of trial blends. Common practice."""


class TrialBlend(NamedTuple):
    """One blend of a line of trials."""

    clay_parts: int
    temper_parts: int
    clay_share: float
    """[%] of the dry mass that is the dug clay."""


@in_units(volume="m**3", density="kg/m**3", moisture="%", returns="kg")
def dry_mass_of_volume(volume: Value, density: Value, moisture: Value = 0.0) -> Value:
    """Dry mass in a heap or barrow of moist clay.

    Formula:
        m_d = V rho / (1 + w)
    Args:
        volume: [m**3] as measured.
        density: [kg/m**3] bulk density as measured, moisture and all.
        moisture: [%] dry basis.
    Returns:
        [kg]
    Raises:
        NotPossible: nothing there, or a negative moisture.
    Source:
        Definition of moisture on the dry mass.
    Example:
        >>> dry_mass_of_volume.plain(0.1, 1500.0, 25.0)
        120.0
    """
    refuse_if(
        (nominal(volume) < 0) | (nominal(density) <= 0),
        "volume and density must be greater than zero",
    )
    refuse_if(negative(moisture), "moisture must not be negative")
    return volume * density / (1 + moisture / 100)


@in_units(mass="kg", moisture="%", returns="kg")
def dry_mass_of_moist(mass: Value, moisture: Value = 0.0) -> Value:
    """Dry mass in a weighed amount of moist clay.

    Formula:
        m_d = m / (1 + w)
    Args:
        mass: [kg] as weighed.
        moisture: [%] dry basis.
    Returns:
        [kg]
    Raises:
        NotPossible: a negative mass or moisture.
    Source:
        Definition of moisture on the dry mass.
    Example:
        >>> dry_mass_of_moist.plain(125.0, 25.0)
        100.0
    """
    refuse_if(negative(mass, moisture), "mass and moisture must not be negative")
    return mass / (1 + moisture / 100)


def dry_parts(dry_masses: Sequence[Value]) -> list[Value]:
    """Mass fractions of a mix, from the dry masses of its parts, in their order.

    Formula:
        f_i = m_i / sum(m)
    Raises:
        NotPossible: a negative mass, or nothing at all.
    Source:
        Definition.
    Example:
        >>> dry_parts([90.0, 30.0])
        [0.75, 0.25]
    """
    total = sum(dry_masses)
    if any(nominal(mass) < 0 for mass in dry_masses) or not nominal(total) > 0:
        raise NotPossible("the parts of a mix must weigh something, none of them less than nothing")
    return [mass / total for mass in dry_masses]


def blended(fractions: Sequence[Value], values: Sequence[Value]) -> Value:
    """A property of a blend that follows its parts by dry mass: clay content, ignition loss.

    For shrinkage and water of plasticity this is a first guess only; the trial bars decide.

    Formula:
        x = sum(f_i x_i)
    Raises:
        NotPossible: fractions that do not make up the whole, or not one value for each part.
    Source:
        Mass balance; for shrinkage common practice.
    Example:
        >>> blended([0.75, 0.25], [40.0, 0.0])
        30.0
    """
    if len(fractions) != len(values):
        raise NotPossible("each part of the mix needs its own value")
    if abs(nominal(sum(fractions)) - 1) > 1e-6:
        raise NotPossible("the parts of a mix make up the whole: their fractions add up to 1")
    return sum(share * value for share, value in zip(fractions, values, strict=True))


@in_units(now="%", wanted="%", temper="%", returns="%")
def temper_for_clay(now: Value, wanted: Value, temper: Value = 0.0) -> Value:
    """Temper to mix in, for each 100 of clay by dry mass, to bring the clay content down.

    Formula:
        t = 100 (C_0 - C) / (C - C_t); 100 (C_0/C - 1) for a temper free of clay
    Args:
        now: [%] clay content of the dug clay, dry mass.
        wanted: [%] clay content of the mix, dry mass.
        temper: [%] clay content of the temper, dry mass.
    Returns:
        [%] of the dry mass of the dug clay.
    Raises:
        NotPossible: temper cannot raise the clay content, nor bring it below its own.
    Source:
        Mass balance, worked out.
    Example:
        >>> print(f"{temper_for_clay.plain(45.0, 30.0):.1f}")
        50.0
    """
    refuse_if(less(now, wanted), "temper cannot raise the clay content: add a fatter clay")
    refuse_if(
        (nominal(temper) < 0) | (nominal(wanted) <= nominal(temper)),
        "temper cannot bring the mix below its own clay",
    )
    return 100 * (now - wanted) / (wanted - temper)


@in_units(now="%", wanted="%", returns="%")
def temper_for_shrinkage(now: Value, wanted: Value) -> Value:
    """First guess of the temper, for each 100 of clay by dry mass, that brings shrinkage down.

    Shrinkage is taken to follow the share of clay; make trial bars on both sides of it.

    Formula:
        t = 100 (s_0 / s - 1)
    Args:
        now: [%] linear drying shrinkage of the dug clay.
        wanted: [%] linear drying shrinkage of the mix.
    Returns:
        [%] of the dry mass of the dug clay.
    Raises:
        NotPossible: temper cannot raise the shrinkage, nor take all of it away.
    Source:
        Common practice: mixing by proportion.
    Example:
        >>> print(f"{temper_for_shrinkage.plain(9.0, 6.0):.0f}")
        50
    """
    refuse_if(not_positive(wanted), "temper cannot take all shrinkage away")
    refuse_if(less(now, wanted), "temper cannot raise the shrinkage: add a fatter clay")
    return 100 * (now / wanted - 1)


@in_units(dry_mass="kg", moisture="%", wanted="%", returns="kg")
def water_to_add(dry_mass: Value, moisture: Value, wanted: Value) -> Value:
    """Water that brings clay from one moisture to another.

    Formula:
        m_w = m_d (w - w_0)
    Args:
        dry_mass: [kg] of the clay.
        moisture: [%] dry basis, now.
        wanted: [%] dry basis, for moulding.
    Returns:
        [kg]
    Raises:
        NotPossible: the clay is wetter already.
    Source:
        Definition of moisture on the dry mass.
    Example:
        >>> print(f"{water_to_add.plain(100.0, 8.0, 25.0):.1f}")
        17.0
    """
    refuse_if(negative(dry_mass, moisture), "mass and moisture must not be negative")
    refuse_if(less(wanted, moisture), "the clay is wetter already: let it dry")
    return dry_mass * (wanted - moisture) / 100


@in_units(total_shrinkage="%", returns="1")
def oversize_factor(total_shrinkage: Value) -> Value:
    """How much larger than the fired brick the mould must be.

    Formula:
        1 / (1 - S_t)
    Args:
        total_shrinkage: [%] of the wet length, along the same side.
    Returns:
        [1]
    Raises:
        OutOfRange: the shrinkage does not lie within 0 to 100 %.
    Source:
        Beamish and Donovan, Village-Level Brickmaking, appendix on the hinge mould.
    Example:
        >>> print(f"{oversize_factor.plain(12.0):.3f}")
        1.136
    """
    refuse_outside(
        (nominal(total_shrinkage) < 0) | (nominal(total_shrinkage) >= 100),
        "shrinkage must lie within 0 to 100 %",
    )
    return 100 / (100 - total_shrinkage)


@in_units(fired_length="mm", total_shrinkage="%", returns="mm")
def mould_size(fired_length: Value, total_shrinkage: Value) -> Value:
    """Inside length of the mould for a wanted fired length, one side at a time.

    Formula:
        L_wet = L_fired / (1 - S_t)
    Args:
        fired_length: [mm] wanted.
        total_shrinkage: [%] of the wet length, along the same side.
    Returns:
        [mm]
    Raises:
        OutOfRange: the shrinkage does not lie within 0 to 100 %.
        NotPossible: the wanted length is not greater than zero.
    Source:
        Beamish and Donovan, Village-Level Brickmaking, appendix on the hinge mould.
    Example:
        >>> print(f"{mould_size.plain(250.0, 12.0):.2f}")
        284.09
    """
    refuse_if(not_positive(fired_length), "the wanted length must be greater than zero")
    return fired_length * oversize_factor.plain(total_shrinkage)


def trial_blends(clay_density: float, temper_density: float) -> list[TrialBlend]:
    """A short line of blends by volume, and the part of the dry mass that is clay in each.

    Both densities are dry masses in a measure as filled, in the same unit.

    Formula:
        share = 100 v rho / (v rho + v_t rho_t), v : v_t = 1:0, 4:1, 3:1, 2:1, 1:1
    Raises:
        NotPossible: a density that is not above zero.
    Source:
        Common practice: change one thing, make 5 to 10 bricks of each, pick the leanest that holds.
    Example:
        >>> [round(blend.clay_share) for blend in trial_blends(1200.0, 1600.0)]
        [100, 75, 69, 60, 43]
    """
    if clay_density <= 0 or temper_density <= 0:
        raise NotPossible("a density must be greater than zero")
    blends = []
    for clay, temper in TRIAL_RATIOS:
        mass = clay * clay_density
        blends.append(TrialBlend(clay, temper, 100 * mass / (mass + temper * temper_density)))
    return blends
