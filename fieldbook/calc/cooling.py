"""Cooling of the whole kiln: a fit to the falling curve, and when it may be opened."""

from typing import Any

import numpy as np

from fieldbook.errors import NotPossible, OutOfRange
from fieldbook.frozen import frozen
from fieldbook.quantities import in_units

OPEN_BELOW = 100.0  # degC; common practice
UNLOAD_BELOW = 50.0  # degC, from memory


@in_units(start="degC", end="degC", air="degC", time_constant="h", returns="h")
def cooling_time(start: Any, end: Any, air: Any, time_constant: Any) -> Any:
    """Hours in which a kiln falls from one temperature to another.

    Formula:
        t = tau ln[(T0 - Ta) / (T - Ta)]
    Args:
        start: [degC]
        end: [degC] above that of the air.
        air: [degC]
        time_constant: [h] of this kiln.
    Returns:
        [h]
    Raises:
        OutOfRange: the end is not above the air, or the start is below the end.
    Source:
        Lumped cooling; any heat transfer text, such as Geankoplis, ch. 5.2.
    """
    if np.any(np.asarray(end) <= np.asarray(air)):
        raise OutOfRange("cooling_time: a kiln never falls to the temperature of the air")
    if np.any(np.asarray(start) < np.asarray(end)):
        raise OutOfRange("cooling_time: the kiln is colder than that already")
    return time_constant * np.log((start - air) / (end - air))


def fall_time(start: float, end: float, air: float, time_constant: float) -> float:
    """Hours to fall below a temperature; zero when it is there, infinite when the air is hotter."""
    if start <= end:
        return 0.0
    if end <= air:
        return float("inf")
    return float(cooling_time.plain(start, end, air, time_constant))


@in_units(
    start="degC",
    air="degC",
    film="W/(m2 K)",
    area="m2",
    heat_capacity="J/K",
    time="s",
    returns="degC",
)
def lumped_temperature(
    *, start: Any, air: Any, film: Any, area: Any, heat_capacity: Any, time: Any
) -> Any:
    """Temperature of a body that is the same throughout, some time after it began to cool.

    Formula:
        T = Ta + (T0 - Ta) exp(-h A t / (m c))
    Args:
        start: [degC]
        air: [degC]
        film: [W/(m2 K)] film coefficient.
        area: [m2] of its faces.
        heat_capacity: [J/K] mass times specific heat.
        time: [s]
    Returns:
        [degC]
    Source:
        Lumped cooling; Geankoplis, ch. 5.2.
    """
    return air + (start - air) * np.exp(-film * area * time / heat_capacity)


@frozen
class Fit:
    """A time constant, how sure it is, and how many readings it comes from."""

    time_constant: float
    """h."""
    low: float
    high: float
    n: int
    last_time: float
    last_temperature: float


def fit_cooling(time: Any, temperature: Any, air: float, last: int = 6) -> Fit:
    """The time constant of a falling curve, from its last readings.

    The early part falls faster, by radiation and draught; so only the last readings count, and
    the band runs over the slopes between neighbours, never narrower than 10 %.

    Args:
        time: h, increasing.
        temperature: degC, falling.
        air: degC.
        last: how many readings at most.
    """
    time, temperature = np.asarray(time, float)[-last:], np.asarray(temperature, float)[-last:]
    if len(time) < 2:
        raise NotPossible("one reading does not show how fast the kiln cools; read again")
    if np.any(temperature <= air) or temperature[-1] >= temperature[0]:
        raise NotPossible("the readings do not fall towards the air: nothing to fit")
    level = np.log(temperature - air)
    away = time - time.mean()
    slope = float((away * level).sum() / (away**2).sum())
    fell = -np.diff(level)
    each = np.diff(time)[fell > 0] / fell[fell > 0]
    middle = -1 / slope
    low = min(float(each.min()), middle * 0.9) if len(each) else middle * 0.7
    high = max(float(each.max()), middle * 1.1) if len(each) else middle * 1.4
    return Fit(middle, low, high, len(time), float(time[-1]), float(temperature[-1]))


def opens(fit: Fit, air: float, below: float = OPEN_BELOW) -> tuple[float, float, float]:
    """When the kiln falls below a temperature: early, likely, late, on the clock of the fit."""
    early, likely, late = (
        fit.last_time + fall_time(fit.last_temperature, below, air, tau)
        for tau in (fit.low, fit.time_constant, fit.high)
    )
    return early, likely, late
