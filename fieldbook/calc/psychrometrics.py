"""Moist air: what it holds, and how hard it pulls water out of a brick.

The psychrometry is that of PsychroLib (ASHRAE Handbook, Fundamentals 2017), loaded when first
needed. It is plain Python and loads in some ten milliseconds, unless numba is installed, which it
then loads too.
"""

from collections.abc import Callable
from functools import cache, lru_cache
from typing import Any

from fieldbook.calc.refusal import Value, not_positive, outside, refuse_if, refuse_outside
from fieldbook.calc.uncertainty import is_uncertain
from fieldbook.quantities import in_units

SEA_LEVEL = 101325.0
"""[Pa] Standard atmosphere; by definition."""


@cache
def _library() -> Any:
    import psychrolib

    psychrolib.SetUnitSystem(psychrolib.SI)
    return psychrolib


@lru_cache(maxsize=4096)
def _one(name: str, *numbers: float) -> float:
    return float(getattr(_library(), name)(*numbers))


def _each(name: str, *values: Value) -> Value:
    """One function of the library, for floats, arrays and uncertain numbers."""
    call: Callable[..., Any] = lambda *numbers: _one(name, *map(float, numbers))  # noqa: E731
    if any(is_uncertain(value) for value in values):
        import uncertainties

        return uncertainties.wrap(call)(*values)
    if any(getattr(value, "ndim", 0) for value in values):
        import numpy as np

        return np.vectorize(call, otypes=[float])(*values)
    return call(*values)


@in_units(elevation="m", returns="Pa")
def air_pressure(elevation: Value) -> Value:
    """Pressure of the standard atmosphere at a height.

    Formula:
        p = 101325 (1 - 2.25577e-5 z)^5.2559
    Args:
        elevation: [m] above the sea.
    Returns:
        [Pa]
    Raises:
        OutOfRange: outside -500 to 11000 m.
    Source:
        ASHRAE Handbook, Fundamentals 2017, chapter 1, by PsychroLib.
    Example:
        >>> print(f"{air_pressure.plain(1000.0):.0f}")
        89875
    """
    refuse_outside(
        outside(elevation, -500, 11000),
        "height must lie in -500 to 11000 m",
    )
    return _each("GetStandardAtmPressure", elevation)


@in_units(temperature="degC", returns="Pa")
def saturation_pressure(temperature: Value) -> Value:
    """Vapour pressure over water, over ice below its melting point.

    Formula:
        Hyland and Wexler
    Args:
        temperature: [degC] of the water.
    Returns:
        [Pa]
    Raises:
        OutOfRange: outside -100 to 200 degC.
    Source:
        ASHRAE Handbook, Fundamentals 2017, chapter 1, by PsychroLib.
    Example:
        >>> print(f"{saturation_pressure.plain(25.0):.1f}")
        3169.2
    """
    refuse_outside(
        outside(temperature, -100, 200),
        "temperature must lie in -100 to 200 degC",
    )
    return _each("GetSatVapPres", temperature)


@in_units(temperature="degC", humidity="%", returns="Pa")
def vapour_pressure(temperature: Value, humidity: Value) -> Value:
    """Pressure of the vapour in the air.

    Formula:
        p_v = RH p_sat(T)
    Args:
        temperature: [degC] of the air.
        humidity: [%] relative.
    Returns:
        [Pa]
    Raises:
        OutOfRange: a humidity outside 0 to 100 %.
    Source:
        Definition of relative humidity.
    Example:
        >>> print(f"{vapour_pressure.plain(25.0, 50.0):.1f}")
        1584.6
    """
    _refuse_bad_humidity(humidity)
    return humidity / 100 * saturation_pressure.plain(temperature)


@in_units(temperature="degC", humidity="%", pressure="Pa", returns="degC")
def wet_bulb(temperature: Value, humidity: Value, pressure: Value = SEA_LEVEL) -> Value:
    """Temperature that a wet brick in the shade takes while it dries at a constant rate.

    Formula:
        the wet-bulb balance, solved by bisection
    Args:
        temperature: [degC] of the air.
        humidity: [%] relative.
        pressure: [Pa] of the air.
    Returns:
        [degC]
    Raises:
        OutOfRange: a humidity outside 0 to 100 %.
    Source:
        ASHRAE Handbook, Fundamentals 2017, chapter 1, by PsychroLib.
    Example:
        >>> print(f"{wet_bulb.plain(25.0, 50.0):.2f}")
        17.89
    """
    _refuse_bad_humidity(humidity)
    _refuse_no_air(pressure)
    return _each("GetTWetBulbFromRelHum", temperature, humidity / 100, pressure)


@in_units(temperature="degC", humidity="%", returns="degC")
def dew_point(temperature: Value, humidity: Value) -> Value:
    """Temperature at which the vapour in the air begins to settle as water.

    Formula:
        p_sat(T_dew) = p_v
    Args:
        temperature: [degC] of the air.
        humidity: [%] relative, above 0.
    Returns:
        [degC]
    Raises:
        OutOfRange: a humidity outside 0 to 100 %.
    Source:
        ASHRAE Handbook, Fundamentals 2017, chapter 1, by PsychroLib.
    Example:
        >>> print(f"{dew_point.plain(25.0, 50.0):.2f}")
        13.86
    """
    _refuse_bad_humidity(humidity)
    refuse_outside(not_positive(humidity), "air without any vapour has no dew point")
    return _each("GetTDewPointFromRelHum", temperature, humidity / 100)


@in_units(temperature="degC", humidity="%", pressure="Pa", returns="1")
def humidity_ratio(temperature: Value, humidity: Value, pressure: Value = SEA_LEVEL) -> Value:
    """Vapour in the air, by mass of dry air.

    Formula:
        W = 0.621945 p_v / (p - p_v)
    Args:
        temperature: [degC] of the air.
        humidity: [%] relative.
        pressure: [Pa] of the air.
    Returns:
        [1] kg of vapour for each kg of dry air.
    Raises:
        OutOfRange: a humidity outside 0 to 100 %.
    Source:
        ASHRAE Handbook, Fundamentals 2017, chapter 1, by PsychroLib.
    Example:
        >>> print(f"{humidity_ratio.plain(25.0, 50.0):.6f}")
        0.009881
    """
    _refuse_bad_humidity(humidity)
    _refuse_no_air(pressure)
    return _each("GetHumRatioFromRelHum", temperature, humidity / 100, pressure)


@in_units(temperature="degC", humidity="%", pressure="Pa", returns="Pa")
def drying_force(temperature: Value, humidity: Value, pressure: Value = SEA_LEVEL) -> Value:
    """What pulls water out of a wet brick in the shade.

    Not the vapour pressure deficit of the air, which is several times as great: the brick is
    colder than the air, at its wet bulb.

    Formula:
        p_sat(T_wet bulb) - p_v
    Args:
        temperature: [degC] of the air.
        humidity: [%] relative.
        pressure: [Pa] of the air.
    Returns:
        [Pa]
    Raises:
        OutOfRange: a humidity outside 0 to 100 %.
    Source:
        Geankoplis, Transport Processes and Unit Operations, 9.6: the constant-rate period.
    Example:
        >>> print(f"{drying_force.plain(25.0, 50.0):.1f}")
        465.4
    """
    wet = wet_bulb.plain(temperature, humidity, pressure)
    return saturation_pressure.plain(wet) - vapour_pressure.plain(temperature, humidity)


@in_units(temperature="degC", returns="J/kg")
def latent_heat(temperature: Value) -> Value:
    """Heat that turns a kilogram of water into vapour.

    Formula:
        2500 - 2.41 T, in kJ/kg
    Args:
        temperature: [degC] of the water, 0 to 100.
    Returns:
        [J/kg]
    Raises:
        OutOfRange: outside 0 to 100 degC.
    Source:
        Zi Brick and Tile Industry International 10/2012, energy balances part 2, equation 18.
    Example:
        >>> print(f"{latent_heat.plain(25.0) / 1000:.0f}")
        2440
    """
    refuse_outside(outside(temperature, 0, 100), "water between 0 and 100 degC")
    return 1000 * (2500 - 2.41 * temperature)


def _refuse_bad_humidity(humidity: Value) -> None:
    refuse_outside(
        outside(humidity, 0, 100),
        "relative humidity must lie in 0 to 100 %",
    )


def _refuse_no_air(pressure: Value) -> None:
    refuse_if(not_positive(pressure), "the air pressure must be greater than zero")
