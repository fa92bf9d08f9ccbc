"""What clay and brick are made of, to heat: specific heat, density, conductivity, diffusivity."""

from typing import Any, NamedTuple

import numpy as np

from fieldbook.errors import OutOfRange
from fieldbook.quantities import in_units

ZERO_CELSIUS = 273.15
"""[K] by definition."""


class Range(NamedTuple):
    """A parameter nobody knows exactly: its low, middle and high value, and where they stand."""

    low: float
    middle: float
    high: float
    source: str


GREEN_DIFFUSIVITY = Range(
    2e-7, 4e-7, 6e-7, "m2/s; kaolin body 2e-7 (Michot), fired brick 5.3e-7 to 6.1e-7 (ASHRAE)"
)
FIRED_DIFFUSIVITY = Range(
    4e-7, 5e-7, 6.1e-7, "m2/s; firebrick 4.2e-7 (Coulson & Richardson), building brick (ASHRAE)"
)
DRY_DENSITY = Range(1600.0, 1800.0, 2000.0, "kg/m3; building brick 1600 to 2080 (ASHRAE)")


def _refuse_outside(temperature: Any, low: float, high: float, name: str) -> None:
    if np.any((np.asarray(temperature) < low) | (np.asarray(temperature) > high)):
        raise OutOfRange(f"{name}: temperature must lie within {low:g} to {high:g} degC")


def michot_specific_heat(kelvin: Any) -> Any:
    """Specific heat of fired clay [J/(kg K)] at a temperature in kelvin, with no check of range."""
    return 1128.0 + 0.102 * kelvin - 36e6 / kelvin**2


@in_units(temperature="degC", returns="J/(kg K)")
def specific_heat(temperature: Any) -> Any:
    """Specific heat of clay whose bound water is gone.

    Formula:
        c = 1128 + 0.102 T - 36e6 / T^2, T in kelvin
    Args:
        temperature: [degC] 25 to 1100; the source measured from 40.
    Returns:
        [J/(kg K)]
    Raises:
        OutOfRange: a temperature lies outside 25 to 1100 degC.
    Source:
        Michot et al., Effect of dehydroxylation on the specific heat of simple clay mixtures.
    """
    _refuse_outside(temperature, 25, 1100, "specific_heat")
    return michot_specific_heat(temperature + ZERO_CELSIUS)


def _michot_integral(kelvin: Any) -> Any:
    return 1128.0 * kelvin + 0.051 * kelvin**2 + 36e6 / kelvin


@in_units(temperature="degC", returns="J/kg")
def heat_content(temperature: Any) -> Any:
    """Heat in a kilogram of fired clay above 25 degC.

    Formula:
        h = integral of c(T) dT from 25 degC
    Args:
        temperature: [degC] 25 to 1100.
    Returns:
        [J/kg]
    Raises:
        OutOfRange: a temperature lies outside 25 to 1100 degC.
    Source:
        Integral of Michot et al., Effect of dehydroxylation on the specific heat of simple clay
        mixtures.
    """
    _refuse_outside(temperature, 25, 1100, "heat_content")
    return _michot_integral(temperature + ZERO_CELSIUS) - _michot_integral(298.15)


@in_units(conductivity="W/(m K)", density="kg/m3", specific_heat="J/(kg K)", returns="m2/s")
def diffusivity(conductivity: Any, density: Any, specific_heat: Any) -> Any:
    """Thermal diffusivity: how fast a temperature travels through a body.

    Formula:
        alpha = k / (rho c)
    Args:
        conductivity: [W/(m K)] of the body.
        density: [kg/m3] of the body, pores included.
        specific_heat: [J/(kg K)] of the body.
    Returns:
        [m2/s]
    Source:
        Definition; Carslaw & Jaeger, Conduction of Heat in Solids.
    """
    return conductivity / (density * specific_heat)


@in_units(density="kg/m3", returns="W/(m K)")
def brick_conductivity(density: Any) -> Any:
    """Conductivity of a fired clay brick, from its bulk density.

    Formula:
        straight lines between 0.675, 0.78, 0.895, 1.02 W/(m K) at 1600, 1760, 1920, 2080 kg/m3
    Args:
        density: [kg/m3] of the dry brick, 1600 to 2080.
    Returns:
        [W/(m K)]
    Raises:
        OutOfRange: the density lies outside the table.
    Source:
        ASHRAE Handbook of Fundamentals, fired clay brick, in the library ht 1.2.0.
    """
    if np.any((np.asarray(density) < 1600) | (np.asarray(density) > 2080)):
        raise OutOfRange("brick_conductivity: density must lie within 1600 to 2080 kg/m3")
    return np.interp(density, (1600, 1760, 1920, 2080), (0.675, 0.78, 0.895, 1.02))
