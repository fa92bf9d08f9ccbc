"""What heat-work did to a mix: absorption, shrinkage and strength along the maker's own firings."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from fieldbook.advice.context import Context
from fieldbook.advice.events import lines_of
from fieldbook.calc.heat_work import ENERGY, one_hour_temperature, wanted_temperature, work_along
from fieldbook.records import Bar, Batch, Firing, Mix, Test


class Prior(NamedTuple):
    """What is believed of a slope before any bar is fired, with where that is from."""

    slope: float
    """Per kelvin of one-hour temperature."""
    half: float
    scatter: float
    """Of one bar or firing about the line, one standard deviation."""
    unit: str
    source: str


PRIORS = {
    "cold_absorption": Prior(
        -0.03, 0.03, 1.5, "%",
        "between -0.014 %/K (density 1.61 to 1.77 g/cm³ from 700 to 1100 °C, Karaman 2006) and "
        "-0.07 %/K (porosity 39 to 6 % from 1000 to 1250 °C, Johari 2010)",
    ),
    "linear_firing_shrinkage": Prior(
        0.01, 0.01, 0.5, "%", "rises with temperature, linear: Karaman 2006; slope from memory"
    ),
    "modulus_of_rupture": Prior(0.02, 0.02, 2.0, "MPa", "rises with temperature; from memory"),
}  # fmt: skip
"""For each property of a fired brick."""


class Point(NamedTuple):
    """One bar, or the mean of one test: its heat-work and what came of it."""

    heat: float
    """degC, the temperature which, held for one hour, does the same work."""
    value: float
    where: str


class Line(NamedTuple):
    """A straight line through the points of one mix, leaning on the prior where they are few."""

    middle: float
    """degC the line is anchored at: the mean of the points."""
    level: float
    slope: float
    level_sd: float
    slope_sd: float
    scatter: float
    n: int
    lowest: float
    highest: float

    def at(self, heat: float) -> tuple[float, float]:
        """Expected value and its half-width, coverage 2: that of one more bar or firing."""
        away = heat - self.middle
        variance = self.level_sd**2 + (away * self.slope_sd) ** 2 + self.scatter**2
        return self.level + self.slope * away, 2 * math.sqrt(variance)

    def change(self, kelvin: float) -> tuple[float, float]:
        """Expected change for so much more heat-work, and its half-width, coverage 2."""
        return self.slope * kelvin, 2 * abs(kelvin) * self.slope_sd


def fit(points: list[Point], prior: Prior) -> Line | None:
    """The line through the points; None where there are none, for a prior alone tells no level.

    Slope by weighted mean of what the points say and the prior; with one point, or all at one
    heat, the slope is the prior's. The scatter is the prior's until there are three points, then
    theirs, the prior's counting as two more.
    """
    if not points:
        return None
    n = len(points)
    middle = sum(point.heat for point in points) / n
    level = sum(point.value for point in points) / n
    spread = sum((point.heat - middle) ** 2 for point in points)
    cross = sum((point.heat - middle) * point.value for point in points)
    scatter, slope = prior.scatter, prior.slope
    sure = 1 / (prior.half / 2) ** 2
    for _ in range(3 if n > 2 else 1):
        told = spread / scatter**2
        slope = (sure * prior.slope + cross / scatter**2) / (sure + told)
        if n > 2:
            left = sum((p.value - level - slope * (p.heat - middle)) ** 2 for p in points)
            scatter = math.sqrt((left + 2 * prior.scatter**2) / n)
    heats = [point.heat for point in points]
    return Line(
        middle, level, slope, scatter / math.sqrt(n), math.sqrt(1 / (sure + spread / scatter**2)),
        scatter, n, min(heats), max(heats),
    )  # fmt: skip


def points_of(mix: Mix, context: Context, what: str) -> list[Point]:
    """What bars and tests of a mix tell of one property, by heat-work."""
    return sorted([*_from_bars(mix, what), *_from_tests(mix, context, what)])


def line_of(mix: Mix, context: Context, what: str) -> Line | None:
    """The line of one property against heat-work; None where nothing was fired and measured."""
    return fit(points_of(mix, context, what), PRIORS[what])


def _from_bars(mix: Mix, what: str) -> Iterator[Point]:
    for name, bar in mix.bars.items():
        at, value = bar.fired_at, _of_bar(bar, what)
        if at is None or at.is_bound or value is None or bar.went not in (None, "sound"):
            continue
        hold = bar.hold.value if bar.hold and not bar.hold.is_bound else 0.0
        yield Point(wanted_temperature(at.value, hold or 1.0), value, mix.where(f"bars.{name}"))


def _of_bar(bar: Bar, what: str) -> float | None:
    if what == "cold_absorption" and bar.fired_mass and bar.soaked_mass:
        return 100 * (bar.soaked_mass.value / bar.fired_mass.value - 1)
    if what == "linear_firing_shrinkage" and bar.dry and bar.fired:
        return 100 * (1 - bar.fired.value / bar.dry.value)
    if what == "modulus_of_rupture" and bar.breaking_load and bar.span:
        width, height = bar.width, bar.height
        if width and height:
            top = 3 * bar.breaking_load.value * bar.span.value
            return top / (2 * width.value * height.value**2) / 1e6
    return None


def _from_tests(mix: Mix, context: Context, what: str) -> Iterator[Point]:
    batches = {batch.name for batch in context.notebook.of(Batch) if batch.mix == mix.name}
    for test in context.notebook.of(Test):
        if test.batch not in batches or not test.firing:
            continue
        review = context.review(test.address)
        firing = context.notebook.entry(f"firings/{test.firing}")
        value = review.number(what) if review else None
        heat = heat_of(firing) if isinstance(firing, Firing) else None
        if value is not None and heat is not None:
            yield Point(heat, value, test.path)


def heat_of(firing: Firing) -> float | None:
    """Heat-work of the coldest place [degC of one hour], from its readings alone.

    No march through the brick: near the peak the core trails by little, and a line through many
    firings is not worth a march through each.
    """
    places: dict[str, list[tuple[float, float]]] = {}
    for line in lines_of(firing):
        shown = line.temperature
        if shown is not None and not shown.is_bound and line.probe not in ("wall", "flue"):
            row = (line.at.timestamp() / 3600, shown.value)
            places.setdefault(line.place or "", []).append(row)
    works = [_work(rows) for rows in places.values() if len(rows) > 1]
    least = min(works, default=0.0)
    return float(one_hour_temperature.plain(least, ENERGY)) if least > 0 else None


def _work(rows: list[tuple[float, float]]) -> float:
    hours, celsius = zip(*rows, strict=True)
    return float(work_along(np.array(hours), np.array(celsius))[-1])
