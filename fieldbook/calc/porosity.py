"""Pores and density of a fired brick, by Archimedes. Water counts as 1.000 g/cm3."""

from fieldbook.calc.refusal import Value, less, not_positive, refuse_if, refuse_outside
from fieldbook.calc.uncertainty import nominal
from fieldbook.quantities import in_units


@in_units(saturated_mass="g", hung_mass="g", returns="cm**3")
def exterior_volume(saturated_mass: Value, hung_mass: Value) -> Value:
    """Volume of a saturated brick, pores and all, from its weight in air and in water.

    Formula:
        V = W - S
    Args:
        saturated_mass: [g] in air, surface dry.
        hung_mass: [g] hung in water.
    Returns:
        [cm**3]
    Raises:
        NotPossible: the brick weighs as much in water as in air, or more.
    Source:
        ASTM C20, as reproduced on public pages; water taken as 1.000 g/cm3.
    Example:
        >>> exterior_volume.plain(2830.0, 1495.0)
        1335.0
    """
    refuse_if(not_positive(hung_mass), "a brick that sinks weighs something in water")
    refuse_if(
        nominal(hung_mass) >= nominal(saturated_mass),
        "hung in water it must weigh less than in air",
    )
    return saturated_mass - hung_mass


@in_units(dry_mass="g", saturated_mass="g", hung_mass="g", returns="%")
def apparent_porosity(dry_mass: Value, saturated_mass: Value, hung_mass: Value) -> Value:
    """Open pores as a part of the outer volume.

    Formula:
        P = 100 (W - D) / (W - S)
    Args:
        dry_mass: [g] oven dry.
        saturated_mass: [g] in air, surface dry.
        hung_mass: [g] hung in water, in the same state of saturation.
    Returns:
        [%] of the outer volume.
    Raises:
        NotPossible: the masses are not in the order hung < dry <= saturated.
    Source:
        ASTM C20, as reproduced on public pages; ISO 10545-3.
    Example:
        >>> print(f"{apparent_porosity.plain(2450.0, 2830.0, 1495.0):.2f}")
        28.46
    """
    _refuse_bad_hanging(dry_mass, saturated_mass, hung_mass)
    return 100 * (saturated_mass - dry_mass) / (saturated_mass - hung_mass)


@in_units(dry_mass="g", saturated_mass="g", hung_mass="g", returns="g/cm**3")
def bulk_density(dry_mass: Value, saturated_mass: Value, hung_mass: Value) -> Value:
    """Dry mass over outer volume, pores and all.

    Formula:
        B = D / (W - S)
    Args:
        dry_mass: [g] oven dry.
        saturated_mass: [g] in air, surface dry.
        hung_mass: [g] hung in water, in the same state of saturation.
    Returns:
        [g/cm**3]
    Raises:
        NotPossible: the masses are not in the order hung < dry <= saturated.
    Source:
        ASTM C20, as reproduced on public pages; water taken as 1.000 g/cm3.
    Example:
        >>> print(f"{bulk_density.plain(2450.0, 2830.0, 1495.0):.3f}")
        1.835
    """
    _refuse_bad_hanging(dry_mass, saturated_mass, hung_mass)
    return dry_mass / (saturated_mass - hung_mass)


@in_units(mass="g", length="cm", width="cm", height="cm", returns="g/cm**3")
def density_by_size(mass: Value, length: Value, width: Value, height: Value) -> Value:
    """Density of a plain brick from its mass and its sides; a frog or cores make it too low.

    Formula:
        B = m / (l w h)
    Args:
        mass: [g] dry.
        length: [cm]
        width: [cm]
        height: [cm]
    Returns:
        [g/cm**3]
    Raises:
        NotPossible: a side or the mass is not greater than zero.
    Source:
        Geometry.
    Example:
        >>> print(f"{density_by_size.plain(1080.0, 18.4, 9.2, 4.25):.3f}")
        1.501
    """
    refuse_if(
        not_positive(length, width, height),
        "a side must be greater than zero",
    )
    refuse_if(not_positive(mass), "the mass must be greater than zero")
    return mass / (length * width * height)


@in_units(dry_mass="g", saturated_mass="g", hung_mass="g", returns="1")
def apparent_specific_gravity(dry_mass: Value, saturated_mass: Value, hung_mass: Value) -> Value:
    """Density of what water cannot enter: solid and closed pores, over that of water.

    Formula:
        T = D / (D - S)
    Args:
        dry_mass: [g] oven dry.
        saturated_mass: [g] in air, surface dry; checked only.
        hung_mass: [g] hung in water.
    Returns:
        [1]
    Raises:
        NotPossible: the masses are not in the order hung < dry <= saturated.
    Source:
        ASTM C20, as reproduced on public pages.
    Example:
        >>> print(f"{apparent_specific_gravity.plain(2450.0, 2830.0, 1495.0):.3f}")
        2.565
    """
    _refuse_bad_hanging(dry_mass, saturated_mass, hung_mass)
    return dry_mass / (dry_mass - hung_mass)


@in_units(bulk="g/cm**3", true_density="g/cm**3", returns="%")
def true_porosity(bulk: Value, true_density: Value) -> Value:
    """All pores, open and closed, as a part of the outer volume.

    Formula:
        100 (rho - B) / rho
    Args:
        bulk: [g/cm**3] bulk density.
        true_density: [g/cm**3] of the solid, ground so fine that no pore is left.
    Returns:
        [%] of the outer volume.
    Raises:
        NotPossible: the brick is denser than its own solid.
    Source:
        Askeland, The Science and Engineering of Materials, Example 15.8.
    Example:
        >>> print(f"{true_porosity.plain(360 / 161, 3.2):.1f}")
        30.1
    """
    refuse_if(not_positive(bulk, true_density), "a density must be greater than zero")
    refuse_if(less(true_density, bulk), "the brick cannot be denser than its own solid")
    return 100 * (true_density - bulk) / true_density


@in_units(true="%", apparent="%", returns="1")
def closed_fraction(true: Value, apparent: Value) -> Value:
    """Part of all pores that water cannot enter.

    Formula:
        (P_true - P) / P_true
    Args:
        true: [%] true porosity.
        apparent: [%] apparent porosity.
    Returns:
        [1] from 0 to 1.
    Raises:
        NotPossible: more open pores than pores.
    Source:
        Askeland, The Science and Engineering of Materials, Example 15.8.
    Example:
        >>> print(f"{closed_fraction.plain(30.12, 15.53):.2f}")
        0.48
    """
    refuse_if((nominal(apparent) < 0) | (nominal(true) <= 0), "a porosity must not be negative")
    refuse_if(less(true, apparent), "open pores cannot exceed all pores")
    return (true - apparent) / true


@in_units(absorption="%", bulk="g/cm**3", returns="%")
def porosity_from_absorption(absorption: Value, bulk: Value) -> Value:
    """Apparent porosity by the identity that ties it to absorption and bulk density.

    Formula:
        P = A B
    Args:
        absorption: [%] of the dry mass, at the same saturation.
        bulk: [g/cm**3] bulk density.
    Returns:
        [%] of the outer volume.
    Raises:
        NotPossible: the pores would fill more than the whole.
    Source:
        Identity of the definitions in ASTM C20; water taken as 1.000 g/cm3.
    Example:
        >>> print(f"{porosity_from_absorption.plain(21.85, 1.67):.2f}")
        36.49
    """
    porosity = absorption * bulk
    refuse_if(
        (nominal(absorption) < 0) | (nominal(bulk) <= 0),
        "absorption and density must not be negative",
    )
    refuse_if(nominal(porosity) >= 100, "the pores would fill more than the whole brick")
    return porosity


@in_units(bulk="g/cm**3", apparent="%", returns="g/cm**3")
def solid_density(bulk: Value, apparent: Value) -> Value:
    """Density of solid and closed pores; fired clay lies near 2.4 to 2.75.

    Formula:
        T = B / (1 - P)
    Args:
        bulk: [g/cm**3] bulk density.
        apparent: [%] apparent porosity.
    Returns:
        [g/cm**3]
    Raises:
        OutOfRange: the porosity does not lie within 0 to 100 %.
    Source:
        Identity of the definitions in ASTM C20.
    Example:
        >>> print(f"{solid_density.plain(1.64, 36.7):.2f}")
        2.59
    """
    refuse_outside(
        (nominal(apparent) < 0) | (nominal(apparent) >= 100), "porosity must lie within 0 to 100 %"
    )
    return bulk / (1 - apparent / 100)


def _refuse_bad_hanging(dry_mass: Value, saturated_mass: Value, hung_mass: Value) -> None:
    refuse_if(not_positive(dry_mass), "the dry mass must be greater than zero")
    refuse_if(less(saturated_mass, dry_mass), "saturated lighter than dry")
    refuse_if(not_positive(hung_mass), "a brick that sinks weighs something in water")
    refuse_if(
        nominal(hung_mass) >= nominal(dry_mass), "hung in water it must weigh less than dry in air"
    )
