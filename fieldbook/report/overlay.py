"""The curves of several firings laid over each other: by clock, since lighting, by temperature."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from datetime import datetime
from typing import Any, NamedTuple

from fieldbook.advice.results import Result
from fieldbook.advice.review import Review
from fieldbook.quantities import convert
from fieldbook.report.compare import verdict
from fieldbook.report.fire_curve import Point, coldest, hours_at, let_go
from fieldbook.report.plot import HOURS, LEFT, Curve, Frame, plot
from fieldbook.report.units import Units
from fieldbook.report.values import say
from fieldbook.text import clean, cut, wrap

CLOCK, LIGHTING, TEMPERATURE = "clock", "lighting", "temperature"
WAYS = (CLOCK, LIGHTING, TEMPERATURE)
"""By time of day; by hours since lighting; by hours at and above each temperature."""
HEADS = {
    CLOCK: "by the clock, from the midnight before each was lit",
    LIGHTING: "by hours since lighting",
    TEMPERATURE: "hours at or above each temperature",
}
MARKS = (100.0, 300.0, 573.0, 650.0, 800.0, 900.0, 950.0, 1000.0)
"""[°C] Water, dehydration, quartz, carbon, and where brick clay binds."""
STEP = 10.0
"""[K] Between two points of a curve of hours at and above."""
PATTERNS = ((1, 0), (4, 4), (1, 2), (8, 3))
LETTERS = "*o+x"


class Laid(NamedTuple):
    """One firing's curve, at the place that stayed coolest."""

    name: str
    place: str
    origin: datetime
    points: list[Point]
    end: float | None
    """[h] When the fire was let go."""


def laid(names: Sequence[str], reviews: Sequence[Review], now: datetime) -> list[Laid]:
    """The curves of firings; one without readings has none."""
    found = []
    for name, review in zip(names, reviews, strict=True):
        place, points = coldest(review)
        if points:
            origin = getattr(review.model, "origin", now).astimezone(now.tzinfo)
            found.append(Laid(name, place, origin, points, let_go(review)))
    return found


def line(one: Laid, way: str) -> list[tuple[float, float]]:
    """A curve as pairs: hours and °C."""
    if way == TEMPERATURE:
        top = max(point.value for point in one.points)
        steps = [top, *(i * STEP for i in range(int(top // STEP), 9, -1))]
        return [(hours_at(one.points, degrees, one.end)[0], degrees) for degrees in steps]
    ahead = _since_midnight(one.origin) if way == CLOCK else 0.0
    return [(point.hours + ahead, point.value) for point in one.points]


def _since_midnight(moment: datetime) -> float:
    return moment.hour + moment.minute / 60 + moment.second / 3600


def overlay(curves: Sequence[Laid], way: str, units: Units, width: int, height: int) -> list[str]:
    """The plot with its legend; nothing where no firing has two readings."""
    unit = units.of.get("temperature") or "degC"
    drawn = [_curve(one, way, unit, number) for number, one in enumerate(curves[: len(LETTERS)])]
    drawn = [curve for curve in drawn if len(curve.hours) > 1]
    if not drawn or width < 30 or height < 6:
        return []
    first = min(0.0 if way != CLOCK else 24.0, *(min(curve.hours) for curve in drawn))
    last = max(max(curve.hours) for curve in drawn)
    top = max(max(curve.values) for curve in drawn)
    frame = Frame(
        curves[0].origin, first, max(last, first + 1), convert(0.0, "degC", unit), top * 1.04,
        width, height,
    )  # fmt: skip
    rows = plot(drawn, frame, ascii_only=units.ascii_only)[:-2]
    labels = _of_the_day if way == CLOCK else _of_hours
    axis = _axis(frame, labels, ascii_only=units.ascii_only)
    return [*_legend(curves, drawn, unit, units, width), *rows, *axis]


def _curve(one: Laid, way: str, unit: str, number: int) -> Curve:
    pairs = line(one, way)
    return Curve(
        f"{one.name} {one.place}".rstrip(),
        [hours for hours, _ in pairs],
        [convert(degrees, "degC", unit) for _, degrees in pairs],
        PATTERNS[number],
        LETTERS[number],
    )


def _legend(
    curves: Sequence[Laid], drawn: Sequence[Curve], unit: str, units: Units, width: int
) -> Iterator[str]:
    """What each line is, one a row, so that a long name is no trouble."""
    sign = unit.removeprefix("deg") if units.ascii_only else "°" + unit.removeprefix("deg")
    for number, curve in enumerate(drawn):
        sample = curve.letter if units.ascii_only else SAMPLES[PATTERNS.index(curve.pattern)]
        head = f"{sign:>{LEFT - 2}}  " if number == 0 else " " * LEFT
        yield cut(clean(f"{head}{sample} {curve.name}"), width)
    if len(curves) > len(LETTERS):
        yield cut(" " * LEFT + f"and {len(curves) - len(LETTERS)} more that are not drawn", width)


SAMPLES = ("⠤⠤⠤⠤", "⠤⠤  ", "⠄⠠⠀⠄", "⠤⠤⠤ ")


def _of_the_day(hours: float) -> str:
    day, hour = divmod(round(hours * 60), 1440)
    return f"day {day + 1}" if hour == 0 and day else f"{hour // 60:02d}:{hour % 60:02d}"


def _of_hours(hours: float) -> str:
    return f"{hours:g} h"


def _axis(frame: Frame, label: Callable[[float], str], *, ascii_only: bool) -> list[str]:
    """An axis of hours, with what `label` makes of each full step."""
    columns, span = frame.width - LEFT, frame.last - frame.first
    step = next((s for s in HOURS if span / s * 8 <= columns), HOURS[-1])
    dash, tick, corner = ("-", "+", "+") if ascii_only else ("─", "┴", "└")
    axis, below = [dash] * columns, [" "] * (frame.width)
    for number in range(math.ceil(frame.first / step), math.floor(frame.last / step) + 1):
        column = round((number * step - frame.first) / span * (columns - 1))
        text = label(number * step)
        start = min(column + LEFT - 2, frame.width - len(text))
        if all(letter == " " for letter in below[max(0, start - 1) : start + len(text)]):
            axis[column] = tick
            below[start : start + len(text)] = text
    return [" " * (LEFT - 1) + corner + "".join(axis), "".join(below).rstrip()]


def hours_rows(curves: Sequence[Laid]) -> list[tuple[float, tuple[Result, ...]]]:
    """Of each temperature that says something: how long each firing was at or above it."""
    top = max((max(p.value for p in one.points) for one in curves), default=0.0)
    rows = []
    for mark in MARKS:
        if mark <= top + STEP:
            found = (hours_at(one.points, mark, one.end) for one in curves)
            rows.append((mark, tuple(_hours(hours, half) for hours, half in found)))
    return rows


def hours_lines(curves: Sequence[Laid], units: Units, width: int) -> list[str]:
    """The same in words, each with whether the difference is more than the readings leave open."""
    if len(curves) < 2:
        return []  # one alone differs from nothing
    lines = [""]
    for mark, found in hours_rows(curves):
        said = " and ".join(say(result, units) for result in found)
        lines += wrap(f"at or above {units.say(mark, '°C', 1.0)}: {said}: {verdict(found)}", width)
    return lines


def _hours(hours: float, half: float) -> Result:
    return Result(name="time above", value=hours, unit="h", plus_minus=half or None)


def json_of(curves: Sequence[Laid], way: str) -> dict[str, Any]:
    """As `compare --curves --json` prints it: hours and °C."""
    return {
        "by": way,
        "entries": [
            {
                "entry": one.name,
                "place": one.place,
                "points": [[round(x, 4), round(y, 2)] for x, y in line(one, way)],
            }
            for one in curves
        ],
    }
