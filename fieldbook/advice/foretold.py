"""What the lines learnt of a mix foretell of more heat-work, and whether a test came out so."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from fieldbook.advice.context import Context
from fieldbook.advice.fired_fit import PRIORS, fit, heat_of, line_of, points_of
from fieldbook.records import Batch, Firing, Mix, Test

WORDS = {
    "cold_absorption": "absorption",
    "modulus_of_rupture": "strength in bending",
    "linear_firing_shrinkage": "firing shrinkage",
}
"""What is foretold, in words, in the order in which it matters to a wall."""
LEAST_TOLD = 0.5
"""of the half-width: a change that is smaller beside what is uncertain is not worth saying;
ours."""


class Foretold(NamedTuple):
    """One property beside what was expected of it."""

    what: str
    heat: float
    """degC of one hour."""
    found: float
    expected: float
    half: float
    """Coverage 2, of one more test."""
    unit: str
    points: int
    """Bars and tests the line is through, this test left out."""


def changes(mix: Mix, context: Context, kelvin: float) -> Iterator[str]:
    """What so much more heat-work is expected to do, one property at a time; nothing unlearnt.

    A line through one point has the slope of the prior alone: it tells nothing of this mix.
    """
    for what, words in WORDS.items():
        line = line_of(mix, context, what)
        if line is None or line.n < 2 or line.highest - line.lowest < 1:
            continue
        change, half = line.change(kelvin)
        if abs(change) >= LEAST_TOLD * half:
            yield f"{words} by {change:+.1f} ± {half:.1f} {PRIORS[what].unit}"


def foretold(test: Test, context: Context) -> Iterator[Foretold]:
    """What a test found, beside what the other bars and tests of its mix foretold."""
    batch = context.notebook.entry(f"batches/{test.batch}") if test.batch else None
    mix = context.notebook.entry(f"mixes/{batch.mix}") if isinstance(batch, Batch) else None
    firing = context.notebook.entry(f"firings/{test.firing}") if test.firing else None
    review = context.review(test.address)
    heat = heat_of(firing) if isinstance(firing, Firing) else None
    if not isinstance(mix, Mix) or review is None or heat is None:
        return
    for what in WORDS:
        found = review.number(what)
        points = [point for point in points_of(mix, context, what) if point.where != test.path]
        line = fit(points, PRIORS[what])
        if found is None or line is None:
            continue
        expected, half = line.at(heat)
        yield Foretold(what, heat, found, expected, half, PRIORS[what].unit, line.n)


def heat_for(mix: Mix, context: Context, what: str, wanted: float) -> float | None:
    """The heat-work [degC of one hour] from which a property is surely as wanted; None unlearnt.

    Absorption is to stay below `wanted`, strength to be above it. No further than the line's own
    points and a hundred kelvin beyond them: what lies there nobody has seen.
    """
    line = line_of(mix, context, what)
    if line is None or line.n < 2 or line.highest - line.lowest < 1:
        return None
    way = -1 if PRIORS[what].slope < 0 else 1
    for heat in range(round(line.lowest), round(line.highest) + 101, 5):
        value, half = line.at(float(heat))
        if way * (value - wanted) >= half:
            return float(heat)
    return None
