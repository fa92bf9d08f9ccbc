"""Carbon burning out of the brick from its faces inwards: the black core."""

from typing import Any

import numpy as np

from fieldbook.calc.kinetics import GAS_CONSTANT
from fieldbook.calc.properties import ZERO_CELSIUS
from fieldbook.errors import OutOfRange
from fieldbook.quantities import in_units

ATMOSPHERE = 101325.0
"""[Pa] standard atmosphere, by definition."""
BURNS_ABOVE = 550.0  # degC, char in a brick; from memory
CARBON_MOLAR_MASS = 0.012011


@in_units(carbon="1", density="kg/m3", returns="mol/m3")
def carbon_density(carbon: Any, density: Any) -> Any:
    """Moles of carbon in a volume of brick.

    Formula:
        n = w rho / 0.012011
    Args:
        carbon: [1] fraction of dry mass.
        density: [kg/m3] of the dry brick.
    Returns:
        [mol/m3]
    Source:
        Molar mass of carbon.
    """
    return carbon * density / CARBON_MOLAR_MASS


@in_units(oxygen="1", temperature="degC", pressure="Pa", returns="mol/m3")
def oxygen_density(oxygen: Any, temperature: Any, pressure: Any = ATMOSPHERE) -> Any:
    """Moles of oxygen in a volume of kiln gas.

    Formula:
        C = x p / (R T)
    Args:
        oxygen: [1] fraction of the gas by volume.
        temperature: [degC] of the gas.
        pressure: [Pa], one atmosphere when not given.
    Returns:
        [mol/m3]
    Source:
        Ideal gas.
    """
    return oxygen * pressure / (GAS_CONSTANT * (temperature + ZERO_CELSIUS))


@in_units(
    half_thickness="m",
    carbon="mol/m3",
    oxygen="mol/m3",
    diffusivity="m2/s",
    returns="h",
)
def burn_out_time(half_thickness: Any, carbon: Any, oxygen: Any, diffusivity: Any) -> Any:
    """Hours until the core is clear of carbon.

    Formula:
        t = n L^2 / (2 D C)
    Args:
        half_thickness: [m] from face to core.
        carbon: [mol/m3] moles of carbon in the brick.
        oxygen: [mol/m3] moles of oxygen in the gas.
        diffusivity: [m2/s] of oxygen in the pores, 3e-6 to 3e-5 from memory.
    Returns:
        [h]
    Raises:
        OutOfRange: without oxygen nothing burns.
    Source:
        Shrinking core with diffusion through the burnt shell of a slab; Levenspiel, ch. 25.
    """
    if np.any(np.asarray(oxygen) <= 0):
        raise OutOfRange("burn_out_time: without oxygen no carbon burns")
    return carbon * half_thickness**2 / (2 * diffusivity * oxygen) / 3600


def burnt_through(hours: Any, celsius: Any) -> np.ndarray:
    """Moles of gas per volume times hours [mol h/m3] while carbon burns, up to each time.

    Times the fraction of oxygen and 2 D 3600 / (n L^2) this is the square of the burnt share of
    the half-thickness.
    """
    celsius = np.asarray(celsius, float)
    of_gas = np.where(
        celsius >= BURNS_ABOVE, oxygen_density.plain(1.0, np.maximum(celsius, 0.0)), 0.0
    )
    step = (of_gas[..., 1:] + of_gas[..., :-1]) / 2 * np.diff(np.asarray(hours, float))
    done = np.cumsum(step, axis=-1)
    return np.concatenate([np.zeros((*done.shape[:-1], 1)), done], axis=-1)
