"""How a fire was led, as its readings tell: climb, hold, fall, hours at and above a temperature.

Straight lines between readings, and of each number how far the readings leave it open.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from typing import Any, NamedTuple

from fieldbook.advice.results import Result
from fieldbook.advice.review import Review

HELD_WITHIN = 15.0
"""[K] Under the peak that still counts as held there; common practice."""
SOUND = 900.0
"""[°C] From which brick clay binds well (Beamish & Donovan, Village-Level Brickmaking)."""
SHORTEST = 0.4
"""[h] A stretch of readings shorter than this tells little of a climb; common practice."""


class Point(NamedTuple):
    """One reading."""

    hours: float
    """Since the firing began."""
    value: float
    """[°C]"""
    half: float
    """[K] What is not known of it."""
    step: float
    """[K] The part of that which no other reading of the thermometer shares."""


def coldest(review: Review) -> tuple[str, list[Point]]:
    """The place that stayed coolest, and what was read there; empty without readings."""
    readings: dict[str, Any] = getattr(review.model, "readings", {}) or {}
    found = {place: points_of(rows) for place, rows in readings.items() if rows}
    if not found:
        return "", []
    place = min(found, key=lambda name: (max(p.value for p in found[name]), name))
    return place, found[place]


def points_of(rows: Iterable[Any]) -> list[Point]:
    """Readings as points."""
    return [Point(float(r.hours), float(r.value), float(r.half), float(r.step)) for r in rows]


def traits(review: Review) -> Iterator[Result]:
    """What the maker did with the fire, at the place that stayed coolest."""
    place, points = coldest(review)
    if not points:
        return
    top = max(points, key=lambda p: p.value)
    up = [p for p in points if p.hours <= top.hours]
    down = [p for p in points if p.hours >= top.hours]
    if (rise := climb(up)) is not None:
        yield _result("climb", rise, "K/h", place, "from the first reading to the hottest")
    if (rise := steepest(up)) is not None:
        yield _result("fastest climb", rise, "K/h", place, "between two readings")
    yield _result("peak", (top.value, top.half), "°C", place, "the hottest reading")
    end = let_go(review)
    held = hours_at(points, top.value - HELD_WITHIN, end)
    yield _result("hold", held, "h", place, "hours within 15 K of the hottest reading")
    yield _result(
        "time above", hours_at(points, SOUND, end), "h", place, "hours at or above 900 °C"
    )
    if (drop := steepest([p._replace(value=-p.value) for p in down])) is not None:
        yield _result("fastest cooling", drop, "K/h", place, "between two readings")


def _result(name: str, found: tuple[float, float], unit: str, place: str, method: str) -> Result:
    return Result(
        name=name,
        value=found[0],
        unit=unit,
        plus_minus=found[1],
        extra={"place": place},
        method=method,
    )


def climb(points: Sequence[Point]) -> tuple[float, float] | None:
    """Mean climb [K/h] of a rising stretch, with how far it may be out.

    The error the whole thermometer has falls out of a difference; when the top was reached is
    known to half the gap before its reading.
    """
    if len(points) < 2 or points[-1].hours - points[0].hours < SHORTEST:
        return None
    first, last = points[0], points[-1]
    hours = last.hours - first.hours
    rate = (last.value - first.value) / hours
    late = (last.hours - points[-2].hours) / 2
    return rate, math.hypot(math.hypot(first.step, last.step) / hours, rate * late / hours)


def steepest(points: Sequence[Point]) -> tuple[float, float] | None:
    """The fastest rise [K/h] between readings that are far enough apart to tell, and its bounds."""
    best: tuple[float, float] | None = None
    for number, first in enumerate(points):
        later = (p for p in points[number + 1 :] if p.hours - first.hours >= SHORTEST)
        last = next(later, None)
        if last is None:
            break
        hours = last.hours - first.hours
        found = (last.value - first.value) / hours, math.hypot(first.step, last.step) / hours
        if found[0] > 0 and (best is None or found[0] - found[1] > best[0] - best[1]):
            best = found
    return best


def hours_at(
    points: Sequence[Point], temperature: float, end: float | None = None
) -> tuple[float, float]:
    """Hours [h] at or above a temperature, and how far that may be out.

    When it was passed is known to half the gap between two readings; and a reading that is below
    it by less than its own error may have been above it. At `end` [h] the fire was let go: the
    last heat held until then, and fell from there.
    """
    total, squares = 0.0, 0.0
    for one, other in pairwise(points):
        gap = other.hours - one.hours
        above = [p.value >= temperature for p in (one, other)]
        if all(above):
            total += gap
        elif above[0] and end is not None and one.hours <= end < other.hours:
            part = (one.value - temperature) / (one.value - other.value)
            held, fell = end - one.hours, (other.hours - end) * part
            total += held + fell
            squares += (held / 2) ** 2 + fell**2
        elif any(above):
            high, low = max(one.value, other.value), min(one.value, other.value)
            total += gap * (high - temperature) / (high - low)
            squares += (gap / 2) ** 2
        elif max(one.value + one.half, other.value + other.half) >= temperature:
            squares += (gap / 2) ** 2
    return total, math.sqrt(squares)


def let_go(review: Review) -> float | None:
    """Hours from the start to when the fire was let go; None where that is not written."""
    events = review.facts.get("events") or {}
    at, origin = (
        events.get("sealed") or events.get("cooling"),
        getattr(review.model, "origin", None),
    )
    return (at - origin).total_seconds() / 3600 if at and origin else None
