"""Fuel: heat value, moisture on either basis, and what a stack or a measure of wood weighs."""

from typing import Any, NamedTuple

import numpy as np

from fieldbook.calc.uncertainty import nominal
from fieldbook.errors import NotPossible, OutOfRange
from fieldbook.quantities import in_units

LATENT = 2.44  # MJ/kg of water at 25 degC; Zi 10/2012, eq. 18
WOOD_NCV = (18.5, 18.75, 19.0)  # MJ/kg oven-dry; European wood fuel handbook, web digest CFN
CHARCOAL_NCV = 29.0  # MJ/kg; measured samples run from 23 to 34 (Hedon, stoves.bioenergylists)
CORD = 3.625  # m3 stacked, 128 ft3
SOLID_IN_STACKED = 1 / 1.5  # Finnish volume factors
LOOSE_IN_SOLID = 2.5


class Wood(NamedTuple):
    """A kind of wood: mass of a stacked cubic metre at 25 % water, wet basis."""

    name: str
    stacked_mass: float  # kg/m3
    source: str = "relaiscdo.eu, wood net calorific value table"


WOODS = tuple(
    Wood(name, mass)
    for name, mass in (
        ("oak", 475.0),
        ("beech", 490.0),
        ("birch", 440.0),
        ("pine", 353.0),
        ("spruce", 310.0),
        ("poplar", 309.0),
        ("willow", 238.0),
    )
)


def _refuse_moisture(moisture: Any) -> None:
    share = np.asarray(nominal(moisture))
    if np.any((share < 0) | (share >= 100)):
        raise OutOfRange("moisture on a wet basis must lie within 0 and less than 100 %")


@in_units(dry_value="MJ/kg", moisture="%", returns="MJ/kg")
def net_calorific_value(dry_value: Any, moisture: Any) -> Any:
    """Net heat of wood as it is fired.

    Formula:
        NCV = NCV0 (1 - M) - 2.44 M
    Args:
        dry_value: [MJ/kg] net value of the oven-dry fuel.
        moisture: [%] wet basis.
    Returns:
        [MJ/kg]
    Raises:
        OutOfRange: the moisture is below 0 or not below 100 %.
    Source:
        European wood fuel handbook (AIEL), as restated by relaiscdo.eu and CFN.
    """
    _refuse_moisture(moisture)
    share = moisture / 100
    return dry_value * (1 - share) - LATENT * share


@in_units(value="MJ/kg", moisture="%", returns="MJ/kg")
def dry_calorific_value(value: Any, moisture: Any) -> Any:
    """Net heat of the oven-dry fuel, from that of the fuel at some moisture.

    Formula:
        NCV0 = (NCV + 2.44 M) / (1 - M)
    Args:
        value: [MJ/kg] net, as fired.
        moisture: [%] wet basis.
    Returns:
        [MJ/kg]
    Raises:
        OutOfRange: the moisture is below 0 or not below 100 %.
    Source:
        European wood fuel handbook (AIEL), turned round.
    """
    _refuse_moisture(moisture)
    share = moisture / 100
    return (value + LATENT * share) / (1 - share)


@in_units(wet_basis="%", returns="%")
def to_dry_basis(wet_basis: Any) -> Any:
    """Moisture over dry mass, as a pin meter shows it, from moisture over wet mass.

    Formula:
        u = M / (1 - M)
    Args:
        wet_basis: [%]
    Returns:
        [%]
    Raises:
        OutOfRange: the moisture is below 0 or not below 100 %.
    Source:
        Definition.
    """
    _refuse_moisture(wet_basis)
    return wet_basis / (1 - wet_basis / 100)


@in_units(dry_basis="%", returns="%")
def to_wet_basis(dry_basis: Any) -> Any:
    """Moisture over wet mass from moisture over dry mass.

    Formula:
        M = u / (1 + u)
    Args:
        dry_basis: [%]
    Returns:
        [%]
    Raises:
        OutOfRange: the moisture is below 0.
    Source:
        Definition.
    """
    if np.any(np.asarray(nominal(dry_basis)) < 0):
        raise OutOfRange("to_wet_basis: moisture must not be below 0 %")
    return dry_basis / (1 + dry_basis / 100)


def stacked_mass(wood: str, moisture: float) -> float:
    """Mass [kg] of a stacked cubic metre of a kind of wood at a moisture (wet basis, %)."""
    _refuse_moisture(moisture)
    for kind in WOODS:
        if kind.name == wood:
            return kind.stacked_mass * 0.75 / (1 - moisture / 100)
    raise NotPossible(f"no stacked mass is known of {wood}; weigh one measure of it")


def fuel_energy(mass: float, value: float) -> float:
    """Heat [MJ] of a mass [kg] of fuel at its net value as fired [MJ/kg]."""
    return mass * value


def specific_energy(
    fuel: float, fired_mass: float, water: float = 0.0, latent: float = LATENT
) -> tuple[float, float]:
    """MJ per kg of everything unloaded: total, and less what dried the bricks.

    Args:
        fuel: MJ put on.
        fired_mass: kg unloaded.
        water: kg of free water driven off.
        latent: MJ/kg.
    Source: Practical Action, How to measure the energy used to fire clay bricks.
    """
    if fired_mass <= 0:
        raise OutOfRange("specific_energy: nothing was unloaded")
    return fuel / fired_mass, (fuel - water * latent) / fired_mass
