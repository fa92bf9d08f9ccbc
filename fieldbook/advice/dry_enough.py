"""Whether green bricks are dry enough to fire: below the target, or as dry as this air gets."""

from __future__ import annotations

from fieldbook.advice.green import doubt, target, wettest
from fieldbook.advice.rules import Case

MARGIN = 2.0
"""% of the dry mass above the target up to which a slow start is safe: dry to 3 to 5 %
(Merschmeyer, Drying of Clay Bricks and Tiles, GATE/BASIN 2000); common practice."""
LITTLE = 0.2
"""% a day: no more is gained by waiting; common practice."""


def is_dry(case: Case) -> bool:
    """Whether the wettest brick is below the target, and surely below what is still safe."""
    moisture, wanted = wettest(case), target(case)
    return moisture is not None and moisture <= wanted and moisture + doubt(case) <= wanted + MARGIN


def as_dry(case: Case) -> bool:
    """Whether this air dries them no further: by the fit, or near the target they lose no more."""
    moisture, rate = wettest(case), case.number("drying_rate")
    if case.fact("air_dry") or moisture is None or rate is None:
        return bool(case.fact("air_dry"))
    return moisture <= target(case) + MARGIN / 2 and abs(rate) * 24 <= LITTLE
