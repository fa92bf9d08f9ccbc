"""The pull of the noted weather on wet bricks."""

from __future__ import annotations

from datetime import datetime
from functools import lru_cache

from fieldbook.advice.context import Context
from fieldbook.calc.drying import Weather
from fieldbook.calc.psychrometrics import SEA_LEVEL, air_pressure, drying_force
from fieldbook.errors import OutOfRange
from fieldbook.records import Batch, BatchLine

HOTTEST_AIR = 60.0
"""[°C] No yard is hotter, nor as far below freezing; a note beyond it is a slip."""


def weather_of(batch: Batch, start: datetime, context: Context) -> tuple[Weather, int] | None:
    """The pull of the air over the hours since `start`, and from how many notes; None without."""
    pressure = _pressure(context)
    noted: dict[float, float] = {}
    for line in batch.log:
        if not isinstance(line, BatchLine) or not (line.air and line.humidity):
            continue
        if line.air.is_bound or line.humidity.is_bound or abs(line.air.value) > HOTTEST_AIR:
            continue
        hours = (line.at - start).total_seconds() / 3600
        try:
            noted[hours] = pull(line.air.value, line.humidity.value, pressure)
        except OutOfRange:
            continue
    if not noted or max(noted.values()) <= 0:
        return None
    times = sorted(noted)
    return Weather(times, [noted[time] for time in times]), len(times)


@lru_cache(maxsize=4096)
def pull(air: float, humidity: float, pressure: float) -> float:
    """p_sat at the wet bulb less p_v [Pa]; never below zero."""
    return max(0.0, float(drying_force.plain(air, humidity, pressure)))


def _pressure(context: Context) -> float:
    site = context.notebook.settings.site
    elevation = site.elevation if site else None
    if elevation is None or elevation.is_bound:
        return SEA_LEVEL
    return float(air_pressure.plain(elevation.value))
