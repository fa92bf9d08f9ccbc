"""How much sand or grog brings a fat clay to what a brick needs."""

from __future__ import annotations

from typing import Any

from fieldbook.advice.derive import Known, as_number, as_result, default, work
from fieldbook.advice.results import Result
from fieldbook.advice.review import Review
from fieldbook.calc import mix
from fieldbook.errors import NotPossible

SHRINKAGE_WANTED = 7.0
"""[%] Linear drying shrinkage of a hand-moulded brick clay: FAO."""
CLAY_WANTED = 30.0
"""[%] Clay by dry mass: the upper end of IS 2117:1991."""
SOURCES = {
    "shrinkage": "FAO, Farm structures in tropical climates, chapter 3: below 7 %",
    "clay": "IS 2117:1991, as restated in lecture notes: 20 to 30 % clay",
}
NO_TEMPER = "No temper is needed for it."


def temper_for(review: Review) -> Result:
    """Sand or grog, for each 100 of clay by dry mass, that brings shrinkage or clay down.

    By shrinkage where bars were measured, else by the clay content of the jar.
    """
    routes = [
        _route(review, "shrinkage", "linear_drying_shrinkage", SHRINKAGE_WANTED),
        _route(review, "clay", "clay_fraction", CLAY_WANTED),
    ]
    known = [route for route in routes if route is not None]
    if not known:
        return Result(
            name="temper_for", value=None, unit="%", needs=("bars", "jar"),
            method="sand or grog for each 100 of clay by dry mass",
        )  # fmt: skip
    result = known[0]
    if len(known) > 1:
        other = {"by": known[1].extra["by"], "value": known[1].value, "unit": "%"}
        result = result.but(extra={**result.extra, "other_route": other})
    return result


def _route(review: Review, by: str, name: str, wanted: float) -> Result | None:
    found = review.get(name)
    if found is None or not isinstance(found.value, int | float):
        return None
    formula = mix.temper_for_shrinkage if by == "shrinkage" else mix.temper_for_clay
    extra: dict[str, Any] = {"by": by, "wanted": wanted, "per": "100 of clay by dry mass"}
    now = Known(name, as_number(found), "%", found.inputs)
    goal = default("wanted", wanted, "%", f"{wanted:g} %", SOURCES[by])
    try:
        temper = work(formula, now=now, wanted=goal)
    except NotPossible:
        return Result(
            name="temper_for", value=0.0, unit="%", method=NO_TEMPER, source=SOURCES[by],
            formula=formula.formula, inputs=(*now.inputs, *goal.inputs), from_=found.from_,
            extra=extra,
        )  # fmt: skip
    extra["trial"] = "5 to 10 bricks each of clay to sand 4:1, 3:1, 2:1 and 1:1 by volume"
    return as_result("temper_for", temper, "%", formula, extra=extra)
