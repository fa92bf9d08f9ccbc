"""Whether a value rises or falls from one firing, batch or test to the next, beyond the scatter."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import NamedTuple

from fieldbook.advice.results import Result
from fieldbook.report.units import Units
from fieldbook.report.values import spell

FEWEST = 4
"""Values; of three a line through two of them says next to nothing; common practice."""
STUDENT = (
    12.706, 4.303, 3.182, 2.776, 2.571, 2.447, 2.365, 2.306, 2.262, 2.228,
    2.201, 2.179, 2.160, 2.145, 2.131, 2.120, 2.110, 2.101, 2.093, 2.086,
)  # fmt: skip
"""Student's t for 95 in 100, both sides, by degrees of freedom from 1 on (NIST/SEMATECH 1.3.6.7.2);
beyond the last, the last, which is a little too wide."""


class Slope(NamedTuple):
    """How much a value changes from one to the next."""

    each: float
    half: float
    """What the scatter leaves open, in 95 of 100 cases."""
    n: int

    @property
    def is_clear(self) -> bool:
        """Whether it is more than the scatter."""
        return abs(self.each) > self.half


def slope(values: Sequence[float]) -> Slope | None:
    """The straight line through values in their order, by least squares; None of too few."""
    n = len(values)
    if n < FEWEST:
        return None
    middle, mean = (n - 1) / 2, math.fsum(values) / n
    spread = math.fsum((i - middle) ** 2 for i in range(n))
    each = math.fsum((i - middle) * (v - mean) for i, v in enumerate(values)) / spread
    rest = math.fsum((v - mean - each * (i - middle)) ** 2 for i, v in enumerate(values))
    error = math.sqrt(rest / (n - 2) / spread)
    return Slope(each, STUDENT[min(n - 2, len(STUDENT)) - 1] * error, n)


def trend_text(name: str, results: Sequence[Result], units: Units) -> str | None:
    """In words: how much it rises or falls each time, or that the scatter hides what it does."""
    found = slope([result.number for result in results])
    if found is None:
        return None
    unit = "K" if results[0].unit == "°C" else results[0].unit
    if not found.is_clear:
        return f"{spell(name)}: no trend beyond the scatter of {found.n}"
    way = "rises" if found.each > 0 else "falls"
    said = units.say(abs(found.each), unit, found.half, with_half=True)
    return f"{spell(name)}: {way} by {said} each time, of {found.n}"


def trends(series: Mapping[str, Sequence[Result]], units: Units) -> list[str]:
    """The trend of each value that is known often enough."""
    found = (trend_text(name, results, units) for name, results in series.items())
    return [text for text in found if text is not None]
