"""When the sun rises and sets, for plans that say which part of a firing falls in the dark."""

from __future__ import annotations

import math
from datetime import UTC, date, datetime, timedelta, tzinfo

SOURCE = "sunrise equation, solar position by the approximate formulas of the Astronomical Almanac"
HORIZON = -0.833
"""Degrees: refraction and the radius of the sun at rising and setting; from memory."""
_J2000 = datetime(2000, 1, 1, 12, tzinfo=UTC)


def sun_times(
    day: date, latitude: float, longitude: float, zone: tzinfo | None
) -> tuple[datetime, datetime] | None:
    """Sunrise and sunset of a day; None where the sun does not cross the horizon.

    Args:
        day: in the zone.
        latitude: degrees north, -90 to 90.
        longitude: degrees east.
        zone: of the answer.
    """
    if not (abs(latitude) <= 90 and abs(longitude) <= 360):
        return None
    noon = datetime(day.year, day.month, day.day, 12, tzinfo=UTC) - timedelta(hours=longitude / 15)
    days = (noon - _J2000).total_seconds() / 86400
    mean = math.radians((357.5291 + 0.98560028 * days) % 360)
    centre = 1.9148 * math.sin(mean) + 0.0200 * math.sin(2 * mean) + 0.0003 * math.sin(3 * mean)
    ecliptic = math.radians((math.degrees(mean) + centre + 180 + 102.9372) % 360)
    equation = 0.0053 * math.sin(mean) - 0.0069 * math.sin(2 * ecliptic)
    declination = math.asin(math.sin(ecliptic) * math.sin(math.radians(23.4397)))
    phi = math.radians(latitude)
    cosine = (math.sin(math.radians(HORIZON)) - math.sin(phi) * math.sin(declination)) / (
        math.cos(phi) * math.cos(declination)
    )
    if not -1 < cosine < 1:
        return None
    half = timedelta(days=math.degrees(math.acos(cosine)) / 360)
    transit = noon + timedelta(days=equation)
    return (transit - half).astimezone(zone), (transit + half).astimezone(zone)


def dark_hours(
    start: datetime, end: datetime, latitude: float, longitude: float
) -> list[tuple[datetime, datetime]]:
    """The parts of a span between sunset and sunrise, in order."""
    dark = []
    day = start.date() - timedelta(days=1)
    while day <= end.date():
        here = sun_times(day, latitude, longitude, start.tzinfo)
        after = sun_times(day + timedelta(days=1), latitude, longitude, start.tzinfo)
        if here is not None and after is not None:
            begins, ends = max(here[1], start), min(after[0], end)
            if begins < ends:
                dark.append((begins, ends))
        day += timedelta(days=1)
    return dark
