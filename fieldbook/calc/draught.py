"""Draught of a chimney or of the hot stack itself, fan power, battery."""

from typing import Any

import numpy as np

from fieldbook.calc.air import GAS_CONSTANT_AIR
from fieldbook.errors import OutOfRange
from fieldbook.quantities import in_units

GRAVITY = 9.80665
"""[m/s2] standard gravity, by definition."""
FAN_EFFICIENCY = (0.1, 0.2, 0.3)  # small 12 V blowers, from memory
USABLE = {  # share of a battery that may be drawn; web page of battery sums, 1000calculators.com
    "lead-acid": 0.5,
    "AGM": 0.55,
    "Li-ion": 0.85,
}


@in_units(height="m", outside="degC", inside="degC", pressure="Pa", returns="Pa")
def draught(height: Any, outside: Any, inside: Any, pressure: Any = 101325.0) -> Any:
    """Draught of a column of hot gas, taken as air.

    Formula:
        dp = g h p / R (1/T_out - 1/T_in), R 287.06 J/(kg K)
    Args:
        height: [m] of the hot column.
        outside: [degC] of the air.
        inside: [degC] mean of the column.
        pressure: [Pa] of the site, 101325 when not given.
    Returns:
        [Pa], below zero where the column is colder than the air.
    Source:
        Babcock & Wilcox, Steam, 35th ed., chapter Chimneys and Draft.
    """
    cold, hot = outside + 273.15, inside + 273.15
    return GRAVITY * height * pressure / GAS_CONSTANT_AIR * (1 / cold - 1 / hot)


@in_units(height="m", outside="degC", inside="degC", air="kg/kg", returns="Pa")
def flue_draught(height: Any, outside: Any, inside: Any, air: Any) -> Any:
    """Draught of a column of flue gas that carries the mass of its fuel.

    Formula:
        dp = 353 g H [1/T_a - (m+1)/(m T_g)]
    Args:
        height: [m] of the chimney.
        outside: [degC] of the air.
        inside: [degC] mean of the gas.
        air: [kg/kg] air per mass of fuel.
    Returns:
        [Pa]
    Source:
        Onkar Singh, Applied Thermodynamics, ch. 11.
    """
    return 353 * GRAVITY * height * (1 / (outside + 273.15) - (air + 1) / (air * (inside + 273.15)))


@in_units(draught="Pa", temperature="degC", pressure="Pa", returns="m/s")
def ideal_speed(draught: Any, temperature: Any, pressure: Any = 101325.0) -> Any:
    """Speed of the hot gas if nothing resisted it; the real one is 30 to 50 % (from memory).

    Formula:
        v = sqrt(2 dp / rho)
    Args:
        draught: [Pa] not below zero.
        temperature: [degC] of the gas.
        pressure: [Pa] of the site, 101325 when not given.
    Returns:
        [m/s]
    Raises:
        OutOfRange: the draught is below zero.
    Source:
        Bernoulli.
    """
    if np.any(np.asarray(draught) < 0):
        raise OutOfRange("ideal_speed: without draught there is no flow")
    density = pressure / (GAS_CONSTANT_AIR * (temperature + 273.15))
    return (2 * draught / density) ** 0.5


@in_units(flow="m3/h", pressure="Pa", efficiency="1", returns="W")
def fan_power(flow: Any, pressure: Any, efficiency: Any) -> Any:
    """Power that a fan draws.

    Formula:
        P = Q dp / eta
    Args:
        flow: [m3/h]
        pressure: [Pa] rise.
        efficiency: [1] of fan and motor; small 12 V blowers 0.1 to 0.3, from memory.
    Returns:
        [W]
    Raises:
        OutOfRange: the efficiency lies outside 0 to 1.
    Source:
        Onkar Singh, Applied Thermodynamics, ch. 11.
    """
    if np.any((np.asarray(efficiency) <= 0) | (np.asarray(efficiency) > 1)):
        raise OutOfRange("fan_power: the efficiency must lie within 0 to 1")
    return flow / 3600 * pressure / efficiency


@in_units(power="W", time="h", usable="1", efficiency="1", returns="Wh")
def battery_energy(power: Any, time: Any, usable: Any, efficiency: Any = 1.0) -> Any:
    """Battery that a fan needs, as its nameplate states it.

    Formula:
        W = P t / (DoD eff)
    Args:
        power: [W] drawn.
        time: [h]
        usable: [1] share that may be drawn: lead-acid 0.5, AGM 0.5 to 0.6, Li-ion 0.8 to 0.9.
        efficiency: [1] of what stands between, 1 when not given.
    Returns:
        [Wh]
    Raises:
        OutOfRange: a share lies outside 0 to 1.
    Source:
        1000calculators.com, battery page.
    """
    if np.any((np.asarray(usable) <= 0) | (np.asarray(usable) > 1)):
        raise OutOfRange("battery_energy: the usable share must lie within 0 to 1")
    return power * time / (usable * efficiency)


@in_units(energy="Wh", voltage="V", returns="Ah")
def battery_charge(energy: Any, voltage: Any) -> Any:
    """Charge that stands for an energy at a voltage.

    Formula:
        Q = W / V
    Args:
        energy: [Wh]
        voltage: [V]
    Returns:
        [Ah]
    Source:
        Definition.
    """
    return energy / voltage
