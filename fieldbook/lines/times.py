"""The time that an observation begins with: a clock time, a day and a time, or so long ago."""

import re
from datetime import UTC, datetime, timedelta, tzinfo
from typing import NamedTuple

from fieldbook.lines.pattern import pattern

AHEAD = timedelta(minutes=5)
"""How far clocks may disagree before a time counts as still to come (common practice)."""

_DAY = r"(?:(?P<day>today|yesterday|[0-9]{4}-[0-9]{2}-[0-9]{2})(?:\s*,?\s+|t(?=[0-9])))?"
_HALF = r"(?:\s?(?P<half>[ap])\.?m\b\.?)"
_OFFSET = r"(?:\s?(?P<offset>z\b|[+-][0-9]{2}:[0-9]{2}))?"
_CLOCK = pattern(
    rf"(?:at\s+|@\s*)?{_DAY}(?:at\s+|@\s*)?(?P<hour>[0-9]{{1,2}})"
    rf"(?:(?::(?P<minute>[0-9]{{2}})(?::(?P<second>[0-9]{{2}})(?:\.[0-9]+)?)?{_HALF}?)"
    rf"|(?P<whole>\s?[ap]\.?m\b\.?)){_OFFSET}(?=[\s,;:]|$)"
)
_UNIT = r"(?:d|days?|h|hrs?|hours?|m|mins?|minutes?)"
_LONG = rf"[0-9]{{1,6}}(?:[.,][0-9]{{1,3}})?\s?{_UNIT}"
_AGO = pattern(
    rf"-\s?(?P<back>{_LONG}(?:\s?{_LONG})*(?P<over>(?<=h)[0-9]{{1,2}})?)(?=[\s,;:]|$)"
    rf"|(?P<ago>{_LONG}(?:\s?{_LONG})*)\s+ago(?=[\s,;:]|$)"
)
_NUMBERS = (
    *("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven"),
    *("twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen"),
    *("nineteen", "twenty"),
)
_SPANS = {
    **{word: float(number) for number, word in enumerate(_NUMBERS, 1)},
    **{"twenty-five": 25.0, "thirty": 30.0, "thirty-five": 35.0, "forty": 40.0},
    **{"forty-five": 45.0, "fifty": 50.0, "fifty-five": 55.0, "ninety": 90.0},
    **{"a": 1.0, "an": 1.0, "half an": 0.5, "half a": 0.5, "a quarter of an": 0.25},
    **{"quarter of an": 0.25, "three quarters of an": 0.75},
}
"""Numbers in words, as they stand before `minutes ago` and `hour ago`."""
_IN_WORDS = pattern(
    r"(?:about\s+)?(?P<number>[a-z]+(?:[-\s]+(?!hour|min)[a-z]+){0,3})\s+"
    r"(?P<unit>hours?|minutes?|mins?)(?P<half>\s+and\s+a\s+half)?\s+ago(?=[\s,;:]|$)"
)
_SPAN = pattern(r"([0-9]+(?:[.,][0-9]+)?)\s?([a-z]+)")
_DAY_ALONE = pattern(r"(today|yesterday|[0-9]{4}-[0-9]{2}-[0-9]{2})(?=[\s,;:]|$)")
_MINUTES = {"d": 24 * 60, "h": 60, "m": 1}
"""Minutes in a unit, by its first letter."""


class TypedTime(NamedTuple):
    """A time found in a line."""

    at: datetime
    end: int
    """Where in the text it ends."""
    question: str
    """What must be asked before it can be taken; empty where it is clear."""


def read_time(low: str, start: int, now: datetime, zone: tzinfo) -> TypedTime | None:
    """Find a time at `start` of the lower-case text; None where none stands there."""
    match = _CLOCK.match(low, start)
    if match:
        return _clock(match, now.astimezone(zone), zone) or _no_time(match, now)
    match = _AGO.match(low, start)
    if match:
        return _ago(match, now.astimezone(zone), zone)
    match = _DAY_ALONE.match(low, start)
    if match:
        day = match.group(1)
        return TypedTime(now, match.end(), f"At what time? Write it after the day: {day} 14:10.")
    # Hardly a line holds the word, and compiling the pattern takes longer than looking for it.
    return _ago_in_words(low, start, now, zone) if " ago" in low else None


def _ago_in_words(low: str, start: int, now: datetime, zone: tzinfo) -> TypedTime | None:
    """Read `ten minutes ago` and `half an hour ago`."""
    match = _IN_WORDS.match(low, start)
    number = _SPANS.get(" ".join(match.group("number").split())) if match else None
    if match is None or number is None:
        return None
    size = (number + (0.5 if match.group("half") else 0)) * _MINUTES[match.group("unit")[0]]
    at = (now.astimezone(UTC) - timedelta(minutes=size)).astimezone(zone)
    return TypedTime(at, match.end(), "")


def _ago(match: re.Match[str], now: datetime, zone: tzinfo) -> TypedTime | None:
    minutes = float(match.group("over") or 0)
    for number, unit in _SPAN.findall(match.group("back") or match.group("ago")):
        minutes += float(number.replace(",", ".")) * _MINUTES[unit[0]]
    try:
        at = (now.astimezone(UTC) - timedelta(minutes=minutes)).astimezone(zone)
    except OverflowError:
        return None
    return TypedTime(at, match.end(), "")


def _clock(match: re.Match[str], now: datetime, zone: tzinfo) -> TypedTime | None:
    part = match.groupdict()
    hour, minute = int(part["hour"]), int(part["minute"] or 0)
    half = part["half"] or (part["whole"] or "").strip()[:1]
    if half:
        if not 1 <= hour <= 12:
            return None
        hour = hour % 12 + (12 if half == "p" else 0)
    day = _day(part["day"], now)
    if day is None or hour > 23 or minute > 59 or int(part["second"] or 0) > 59:
        return None
    local = day.replace(
        hour=hour, minute=minute, second=int(part["second"] or 0), microsecond=0, fold=0
    )
    try:
        at = _placed(local, part["offset"], zone)
        unsure = not half and not part["offset"] and len(part["hour"]) == 1
        question = _question(at, now, part, unsure)
    except (OverflowError, ValueError):
        return None
    return TypedTime(at, match.end(), question)


def _no_time(match: re.Match[str], now: datetime) -> TypedTime | None:
    """Ask about what is written as a time and is none; 60:40 is a blend."""
    part = match.groupdict()
    if part["minute"] and not part["day"] and int(part["hour"]) + int(part["minute"]) == 100:
        return None
    what = "day and time there is" if part["day"] else "time of day"
    asked = f"{match.group().strip()} is no {what}."
    question = f"{asked} Write one such as 14:10; a note begins with a colon."
    return TypedTime(now, match.end(), question)


def _day(word: str | None, now: datetime) -> datetime | None:
    if word in (None, "today"):
        return now
    try:
        if word == "yesterday":
            return now - timedelta(days=1)
        return datetime.fromisoformat(f"{word}T00:00:00").replace(tzinfo=now.tzinfo)
    except (ValueError, OverflowError):
        return None


def _placed(local: datetime, offset: str | None, zone: tzinfo) -> datetime:
    """Put the clock time into the zone, or at the offset typed with it."""
    if not offset:
        return local.replace(tzinfo=zone)
    naive = local.replace(tzinfo=None)
    return datetime.fromisoformat(naive.isoformat() + offset.upper()).astimezone(zone)


def _question(at: datetime, now: datetime, part: dict[str, str | None], unsure: bool) -> str:
    clock = f"{at:%H:%M}"
    instant = at.astimezone(UTC)
    if instant - now.astimezone(UTC) > AHEAD:
        if part["day"] in (None, "today"):
            return f"{clock} is still to come. Yesterday? Then write: yesterday {clock}."
        return f"{at:%Y-%m-%d %H:%M} is still to come. Which day is meant?"
    later = at + timedelta(hours=12)
    if unsure and at.hour and later.astimezone(UTC) <= now.astimezone(UTC) + AHEAD:
        return f"Morning or evening? Write {clock} or {later:%H:%M}."
    if not part["offset"] and at.utcoffset() != at.replace(fold=1).utcoffset():
        return _shifted_clock(at, clock)
    return ""


def _shifted_clock(at: datetime, clock: str) -> str:
    """Ask about a time that the clocks showed twice, or not at all, on the day of a change."""
    early, late = at, at.replace(fold=1)
    if early.astimezone(UTC) > late.astimezone(UTC):
        return f"The clocks were put forward over {clock} that day. What time is meant?"
    first, second = f"{early:%z}", f"{late:%z}"
    return (
        f"The clocks showed {clock} twice that day. Write {clock}{first[:3]}:{first[3:5]} "
        f"or {clock}{second[:3]}:{second[3:5]}."
    )
