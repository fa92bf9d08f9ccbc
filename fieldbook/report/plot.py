"""A plot made of letters: curves over clock time, for a terminal with braille or without."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from datetime import datetime, timedelta
from itertools import pairwise
from typing import NamedTuple

LEFT = 7
"""Columns that the numbers of the upright axis take."""
HOURS = (0.25, 0.5, 1, 2, 3, 4, 6, 12, 24, 48, 72, 168)
"""Steps of the clock axis [h]."""
BRAILLE = 0x2800
DOTS = ((0x01, 0x08), (0x02, 0x10), (0x04, 0x20), (0x40, 0x80))
"""The dots of a braille cell, by row and column."""


class Curve(NamedTuple):
    """One curve, or one set of marks."""

    name: str
    hours: Sequence[float]
    values: Sequence[float]
    """In the unit of the axis."""
    pattern: tuple[int, int] = (1, 0)
    """So many points drawn, so many left out."""
    letter: str = "*"
    """What it is drawn with where there is no braille, and what its marks are."""
    is_marks: bool = False


class Frame(NamedTuple):
    """What the plot shows of the world, and on how many rows and columns."""

    origin: datetime
    """The moment that hours count from, in the zone to be shown."""
    first: float
    last: float
    lowest: float
    highest: float
    width: int
    height: int


def plot(curves: Sequence[Curve], frame: Frame, *, ascii_only: bool = False) -> list[str]:
    """Rows of the plot: the canvas with its numbers, the clock axis, the clock times."""
    canvas = _Canvas(frame, ascii_only=ascii_only)
    for curve in curves:
        canvas.draw(curve)
    ticks = dict(_value_ticks(frame))
    edge, joint = ("|", "+") if ascii_only else ("│", "┤")
    rows = []
    for number, text in enumerate(canvas.rows()):
        label = ticks.get(number, "")
        rows.append(f"{label:>{LEFT - 1}}{joint if label else edge}{text}".rstrip())
    return [*rows, *_clock_axis(frame, ascii_only=ascii_only)]


class _Canvas:
    """Cells, each with its dots or a letter."""

    def __init__(self, frame: Frame, *, ascii_only: bool) -> None:
        self.frame = frame
        self.columns, self.lines = frame.width - LEFT, frame.height - 2
        self.across, self.down = (1, 1) if ascii_only else (2, 4)
        self.dots = [[0] * self.columns for _ in range(self.lines)]
        self.letters: dict[tuple[int, int], str] = {}
        self.ascii_only = ascii_only

    def draw(self, curve: Curve) -> None:
        """A curve as a line from point to point, or as marks."""
        points = [self._point(x, y) for x, y in zip(curve.hours, curve.values, strict=True)]
        if curve.is_marks:
            for x, y in points:
                cell = (math.floor(y / self.down), math.floor(x / self.across))
                if self._holds(*cell):
                    self.letters[cell] = curve.letter
            return
        drawn, left = curve.pattern
        for number, (x, y) in enumerate(_along(points)):
            if number % (drawn + left) < drawn:
                self._set(x, y, curve.letter)

    def _point(self, hours: float, value: float) -> tuple[float, float]:
        frame = self.frame
        x = (hours - frame.first) / (frame.last - frame.first) * (self.columns * self.across - 1)
        y = (frame.highest - value) / (frame.highest - frame.lowest)
        return x, y * (self.lines * self.down - 1)

    def _holds(self, line: int, column: int) -> bool:
        return 0 <= line < self.lines and 0 <= column < self.columns

    def _set(self, x: int, y: int, letter: str) -> None:
        line, column = y // self.down, x // self.across
        if not self._holds(line, column):
            return
        if self.ascii_only:
            self.letters.setdefault((line, column), letter)
        else:
            self.dots[line][column] |= DOTS[y % 4][x % 2]

    def rows(self) -> Iterator[str]:
        """The canvas, line by line."""
        for line in range(self.lines):
            yield "".join(
                self.letters.get((line, column)) or self._dots(line, column)
                for column in range(self.columns)
            )

    def _dots(self, line: int, column: int) -> str:
        dots = self.dots[line][column]
        return chr(BRAILLE + dots) if dots else " "


def _along(points: Sequence[tuple[float, float]]) -> Iterator[tuple[int, int]]:
    """Every dot on the way from point to point, each once."""
    last = None
    for (x0, y0), (x1, y1) in pairwise(points):
        steps = max(1, math.ceil(max(abs(x1 - x0), abs(y1 - y0))))
        for step in range(min(steps, 5000) + 1):
            part = step / steps
            dot = (round(x0 + (x1 - x0) * part), round(y0 + (y1 - y0) * part))
            if dot != last:
                yield dot
            last = dot


def _value_ticks(frame: Frame) -> Iterator[tuple[int, str]]:
    """The rows with a number, and the number."""
    lines = frame.height - 2
    span = frame.highest - frame.lowest
    step = _round_step(span / max(2, lines / 2))
    value = math.ceil(frame.lowest / step) * step
    while value <= frame.highest:
        row = round((frame.highest - value) / span * (lines - 1))
        yield row, f"{value:.0f}"
        value += step


def _round_step(least: float) -> float:
    """The next step of 1, 2, 2.5 or 5 times a power of ten, and a whole number."""
    power = 10.0 ** math.floor(math.log10(least))
    steps = (1, 2, 2.5, 5, 10) if power >= 10 else (1, 2, 5, 10)
    return next(power * n for n in steps if power * n >= least)


def _clock_axis(frame: Frame, *, ascii_only: bool) -> list[str]:
    """The axis with its ticks, and the clock times below them."""
    columns = frame.width - LEFT
    dash, tick, corner = ("-", "+", "+") if ascii_only else ("─", "┴", "└")
    axis = [dash] * columns
    label = [" "] * (columns + LEFT)
    span = frame.last - frame.first
    step = next((s for s in HOURS if span / s * 8 <= columns), HOURS[-1])
    for hours, text in _clock_ticks(frame, step):
        column = round((hours - frame.first) / span * (columns - 1))
        start = column + LEFT - 2
        if start + len(text) <= columns + LEFT and 0 <= column < columns:
            axis[column] = tick
            label[start : start + len(text)] = text
    return [" " * (LEFT - 1) + corner + "".join(axis), "".join(label).rstrip()]


def _clock_ticks(frame: Frame, step: float) -> Iterator[tuple[float, str]]:
    """Full hours of the clock, a step apart; midnight as the day."""
    begin = frame.origin + timedelta(hours=frame.first)
    midnight = begin.replace(hour=0, minute=0, second=0, microsecond=0)
    hours = (begin - midnight).total_seconds() / 3600
    count = math.ceil(hours / step - 1e-9)
    while True:
        moment = midnight + timedelta(hours=count * step)
        at = (moment - frame.origin).total_seconds() / 3600
        if at > frame.last:
            return
        is_day = moment.hour == 0 and moment.minute == 0
        yield at, moment.strftime("%a %d" if is_day else "%H:%M")
        count += 1
