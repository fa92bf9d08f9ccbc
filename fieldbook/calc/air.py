"""Air for the fire: how much, how much too much, and how hot the flame can be."""

from typing import Any, NamedTuple

import numpy as np

from fieldbook.errors import NotPossible, OutOfRange
from fieldbook.quantities import in_units

GAS_CONSTANT_AIR = 287.06  # J/(kg K); CODATA 2018, and 28.965 g/mol of dry air
MOLAR = {"C": 0.0120107, "H": 0.00100794, "O": 0.0159994, "O2": 0.0319988, "H2O": 0.0180153}
NITROGEN_PER_OXYGEN = 3.76
"""of dry air by volume: 79 parts to 21; from memory."""
LEAST_RATIO = 1.2  # the least air a wood fire burns out with; from memory
USUAL_RATIO = (1.5, 2.0, 3.0)  # where no oxygen was measured; from memory


class Fuel(NamedTuple):
    """What burns: fractions of the dry mass, and the net value of it dry."""

    carbon: float
    hydrogen: float
    oxygen: float
    net_value: float  # MJ/kg, oven-dry


WOOD = Fuel(0.50, 0.06, 0.435, 18.2)  # mean of Babcock & Wilcox, Steam, table 41
CHARCOAL = Fuel(0.80, 0.03, 0.10, 29.0)

# Shomate coefficients A to F and H of the gases, kJ/mol over T/1000; NIST Chemistry WebBook.
_SHOMATE = {
    "CO2": (
        (1200, (24.99735, 55.18696, -33.69137, 7.948387, -0.136638, -403.6075, -393.5224)),
        (6000, (58.16639, 2.720074, -0.492289, 0.038844, -6.447293, -425.9186, -393.5224)),
    ),
    "H2O": (
        (1700, (30.09200, 6.832514, 6.793435, -2.534480, 0.082139, -250.8810, -241.8264)),
        (6000, (41.96426, 8.622053, -1.499780, 0.098119, -11.15764, -272.1797, -241.8264)),
    ),
    "N2": (
        (500, (28.98641, 1.853978, -9.647459, 16.63537, 0.000117, -8.671914, 0.0)),
        (2000, (19.50583, 19.88705, -8.598535, 1.369784, 0.527601, -4.935202, 0.0)),
        (6000, (35.51872, 1.128728, -0.196103, 0.014662, -4.553760, -18.97091, 0.0)),
    ),
    "O2": (
        (700, (31.32234, -20.23531, 57.86644, -36.50624, -0.007374, -8.903471, 0.0)),
        (2000, (30.03235, 8.772972, -3.988133, 0.788313, -0.741599, -11.32468, 0.0)),
        (6000, (20.91111, 10.72071, -2.020498, 0.146449, 9.245722, 5.337651, 0.0)),
    ),
}


def gas_enthalpy(gas: str, kelvin: float) -> float:
    """Heat [kJ/mol] of a gas above 298.15 K.

    Source: Shomate equation, NIST Chemistry WebBook.
    """
    for limit, (a, b, c, d, e, f, h) in _SHOMATE[gas]:
        if kelvin <= limit:
            t = kelvin / 1000
            return float(a * t + b * t**2 / 2 + c * t**3 / 3 + d * t**4 / 4 - e / t + f - h)
    raise OutOfRange("gas_enthalpy: the temperature must not be above 6000 K")


@in_units(carbon="1", hydrogen="1", oxygen="1", returns="kg/kg")
def oxygen_needed(carbon: Any, hydrogen: Any, oxygen: Any) -> Any:
    """Mass of oxygen that burns a mass of dry fuel.

    Formula:
        r = 2.664 C + 7.937 H - O
    Args:
        carbon: [1] fraction of the dry mass.
        hydrogen: [1] fraction of the dry mass.
        oxygen: [1] fraction of the dry mass.
    Returns:
        [kg/kg]
    Source:
        Molar masses; Babcock & Wilcox, Steam, 35th ed., chapter Combustion.
    """
    return 2.664 * carbon + 7.937 * hydrogen - oxygen


@in_units(carbon="1", hydrogen="1", oxygen="1", returns="kg/kg")
def air_by_steam_book(carbon: Any, hydrogen: Any, oxygen: Any) -> Any:
    """Mass of air that burns a mass of dry fuel, as the boiler makers reckon.

    Formula:
        34.56 (C/3 + H - O/8)
    Args:
        carbon: [1] fraction of the dry mass.
        hydrogen: [1] fraction of the dry mass.
        oxygen: [1] fraction of the dry mass.
    Returns:
        [kg/kg]
    Source:
        Babcock & Wilcox, Steam, 35th ed., table 32.
    """
    return 34.56 * (carbon / 3 + hydrogen - oxygen / 8)


def stoichiometric_air(fuel: Fuel = WOOD, moisture: float = 0.0) -> float:
    """Air [kg] that just burns a kilogram of fuel as fired (moisture %, wet basis)."""
    need = oxygen_needed.plain(fuel.carbon, fuel.hydrogen, fuel.oxygen)
    return float(need / 0.232 * (1 - moisture / 100))


@in_units(oxygen="%", returns="1")
def air_ratio(oxygen: Any) -> Any:
    """How many times the air that is needed, from oxygen in the dry flue gas.

    Formula:
        lambda = 21 / (21 - O2)
    Args:
        oxygen: [%] of the dry gas by volume.
    Returns:
        [1]
    Raises:
        OutOfRange: the oxygen lies outside 0 to less than 20.5 %.
    Source:
        Babcock & Wilcox, Steam, 35th ed., flue gas analysis.
    """
    if np.any((np.asarray(oxygen) < 0) | (np.asarray(oxygen) >= 20.5)):
        raise OutOfRange("air_ratio: oxygen must lie within 0 to 20.5 %; above it is plain air")
    return 21 / (21 - oxygen)


@in_units(air="kg", temperature="degC", pressure="Pa", returns="m3")
def air_volume(air: Any, temperature: Any, pressure: Any = 101325.0) -> Any:
    """Volume of a mass of outside air.

    Formula:
        V = m R T / p, R 287.06 J/(kg K)
    Args:
        air: [kg]
        temperature: [degC] outside.
        pressure: [Pa] of the site, 101325 when not given.
    Returns:
        [m3]
    Source:
        Ideal gas.
    """
    return air * GAS_CONSTANT_AIR * (temperature + 273.15) / pressure


@in_units(elevation="m", returns="Pa")
def site_pressure(elevation: Any) -> Any:
    """Pressure of the air at a height above the sea.

    Formula:
        p = 101325 (1 - 2.25577e-5 h)^5.2559
    Args:
        elevation: [m] -500 to 5000.
    Returns:
        [Pa]
    Raises:
        OutOfRange: the height lies outside -500 to 5000 m.
    Source:
        ICAO standard atmosphere, ASHRAE Handbook of Fundamentals.
    """
    if np.any((np.asarray(elevation) < -500) | (np.asarray(elevation) > 5000)):
        raise OutOfRange("site_pressure: the height must lie within -500 to 5000 m")
    return 101325.0 * (1 - 2.25577e-5 * elevation) ** 5.2559


def _flue_moles(fuel: Fuel, moisture: float, ratio: float) -> dict[str, float]:
    """Moles of each gas from a kilogram of fuel as fired."""
    dry = 1 - moisture / 100
    carbon = fuel.carbon * dry / MOLAR["C"]
    hydrogen = fuel.hydrogen * dry / MOLAR["H"] / 2
    need = carbon + hydrogen / 2 - fuel.oxygen * dry / MOLAR["O2"]
    return {
        "CO2": carbon,
        "H2O": hydrogen + moisture / 100 / MOLAR["H2O"],
        "O2": need * (ratio - 1),
        "N2": need * ratio * NITROGEN_PER_OXYGEN,
    }


def flue_heat(temperature: float, moisture: float, ratio: float, fuel: Fuel = WOOD) -> float:
    """Heat [MJ] above 25 degC in the gas from a kilogram of fuel as fired."""
    kelvin = temperature + 273.15
    moles = _flue_moles(fuel, moisture, ratio)
    return sum(n * gas_enthalpy(gas, kelvin) for gas, n in moles.items()) / 1000


def _value_as_fired(fuel: Fuel, moisture: float) -> float:
    if not 0 <= moisture < 85:
        raise OutOfRange("wood of 85 % water or more does not burn by itself")
    return fuel.net_value * (1 - moisture / 100) - 2.442 * moisture / 100


def flue_loss(temperature: float, moisture: float, ratio: float, fuel: Fuel = WOOD) -> float:
    """Share of the fuel's net heat that leaves with the gas.

    Args:
        temperature: degC of the gas as it leaves.
        moisture: %, wet basis.
        ratio: air over the air needed.
        fuel: what burns.
    """
    return flue_heat(temperature, moisture, ratio, fuel) / _value_as_fired(fuel, moisture)


def flame_temperature(moisture: float, ratio: float, fuel: Fuel = WOOD) -> float:
    """The hottest the gas can be [degC]: all heat in the gas, none lost, nothing dissociated.

    Above about 1700 degC the real value is lower, as gas falls apart.

    Args:
        moisture: %, wet basis.
        ratio: air over the air needed, 1 or more.
        fuel: what burns.
    """
    if ratio < 1:
        raise OutOfRange("flame_temperature: with less air than needed part of the fuel stays")
    heat = _value_as_fired(fuel, moisture)
    return _where_gas_holds(heat, _flue_moles(fuel, moisture, ratio))


def _where_gas_holds(heat: float, moles: dict[str, float]) -> float:
    low, high = 298.15, 4000.0
    for _ in range(26):  # to a ten-thousandth of a kelvin
        middle = (low + high) / 2
        if sum(n * gas_enthalpy(gas, middle) for gas, n in moles.items()) / 1000 < heat:
            low = middle
        else:
            high = middle
    return low - 273.15


def methane_flame_temperature(ratio: float) -> float:
    """Flame of methane [degC], a case that textbooks print; checks the gas tables."""
    moles = {"CO2": 1.0, "H2O": 2.0, "O2": 2 * (ratio - 1), "N2": 2 * ratio * NITROGEN_PER_OXYGEN}
    return _where_gas_holds(0.802362, moles)


def greatest_air_ratio(peak: float, moisture: float, fuel: Fuel = WOOD) -> float | None:
    """The most air with which the flame can still exceed a peak [degC]; an upper bound.

    None where even the least air, 1.2 times what is needed, does not reach it.
    """
    if flame_temperature(moisture, LEAST_RATIO, fuel) <= peak:
        return None
    low, high = LEAST_RATIO, 20.0
    if flame_temperature(moisture, high, fuel) > peak:
        return high
    for _ in range(24):  # to a millionth
        middle = (low + high) / 2
        if flame_temperature(moisture, middle, fuel) > peak:
            low = middle
        else:
            high = middle
    return low


def air_per_hour(
    fuel_per_hour: float,
    moisture: float,
    ratio: float,
    *,
    temperature: float = 20.0,
    pressure: float = 101325.0,
    fuel: Fuel = WOOD,
) -> float:
    """Outside air [m3/h] for a rate of fuel as fired [kg/h]."""
    if fuel_per_hour < 0 or ratio < 0:
        raise NotPossible("neither fuel nor air can be less than none")
    air = fuel_per_hour * stoichiometric_air(fuel, moisture) * ratio
    return float(air_volume.plain(air, temperature, pressure))
