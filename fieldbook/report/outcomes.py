"""What came of an entry: the derived values that can be held against those of another."""

from __future__ import annotations

import math
from collections.abc import Iterator

from fieldbook.advice.context import Context
from fieldbook.advice.results import Result
from fieldbook.advice.review import Review
from fieldbook.records import Firing, Test
from fieldbook.report.values import spell
from fieldbook.report.ways import findings_of

OF_THE_MOMENT = frozenset({
    "climb", "steepest", "fall", "peak", "hold", "time_above", "peak_limit", "heat_needed",
    "fuel_needed", "face_temperature", "core_temperature", "lag", "free_water_left",
    "bound_water_left", "carbon_left", "carbonate_left", "heat_work_left", "allowed_fall",
    "fall_is_limited_by", "allowed_climb", "climb_is_limited_by", "time_left", "next_reading",
    "opens", "unload_at", "fuel_to_go", "air_needed", "air_ratio_allowed", "draught", "fan_power",
    "battery", "plan", "crossings", "stages", "losses", "next_feed", "aimed_climb",
})  # fmt: skip
"""Of a firing that is out: how it stood at one moment, or what is told as done."""
OF_TESTS = (
    "cold_absorption",
    "boiling_absorption",
    "saturation_coefficient",
    "modulus_of_rupture",
    "compressive_strength",
)
"""What a firing is known by from the tests of its bricks."""
COUNTED = ("sound", "cracked", "soft", "overfired", "lost")
ENOUGH = 20
"""Bricks; fewer say too little of a share; common practice."""
Z = 1.96
"""Of 95 in 100."""


def is_under_way(review: Review) -> bool:
    """Whether it is a firing whose bricks are not out yet."""
    return isinstance(review.entry, Firing) and review.facts.get("phase") != "unloaded"


def outcomes(
    review: Review, context: Context, *, then_and_now: bool = False, beside_one_out: bool = False
) -> dict[str, Result]:
    """What came out, by name; of one entry then and now, how it stood as well.

    Beside a firing that is out, how one under way stands at the moment is held against nothing.
    """
    entry = review.entry
    derived = dict(review.results.items())
    said = {spell(name) for name in derived}
    findings = findings_of(review, context).items()
    found = {name: trait.result for name, trait in findings if name not in said}
    is_out = isinstance(entry, Firing) and not is_under_way(review)
    passing = OF_THE_MOMENT if (is_out or beside_one_out) and not then_and_now else frozenset()
    for name, result in derived.items():
        is_time = result.unit == "time" and not then_and_now
        if not isinstance(result.value, list) and not is_time and name not in passing:
            found[name] = result
    if isinstance(entry, Firing) and is_out:
        found |= {result.name: result for result in of_firing(review, context)}
    return found


def of_firing(review: Review, context: Context) -> Iterator[Result]:
    """What a firing that is out gave: sound bricks, wood, and the tests of its bricks."""
    entry = review.entry
    assert isinstance(entry, Firing)
    if (share := sound_share(entry)) is not None:
        yield share
    if (wood := wood_per_brick(review, entry)) is not None:
        yield wood
    tests = [t for t in context.notebook.of(Test) if t.firing == entry.name]
    reviews = [found for t in tests if (found := context.review(t.address)) is not None]
    for name in OF_TESTS:
        known = [result for test in reviews if (result := test.get(name)) is not None]
        if known:
            yield max(known, key=lambda result: result.n or 0)


def counts(firing: Firing) -> dict[str, int]:
    """Bricks by how they came out."""
    return {name: sum(getattr(row, name) or 0 for row in firing.unloaded) for name in COUNTED}


def sound_share(firing: Firing) -> Result | None:
    """Sound bricks of those counted [%], with the bounds of a share of so many bricks."""
    found = counts(firing)
    total = sum(found.values())
    if total < ENOUGH:
        return None
    low, high = share_bounds(found["sound"], total)
    return Result(
        name="yield",
        value=100 * found["sound"] / total,
        unit="%",
        low=100 * low,
        high=100 * high,
        n=total,
        method="sound bricks of all counted",
        source="bounds of a share: Wilson 1927, J. Am. Stat. Assoc. 22, 209-212",
    )


def share_bounds(part: int, total: int) -> tuple[float, float]:
    """Bounds of a share, 0 to 1, that hold in 95 of 100 cases (Wilson 1927)."""
    share, square = part / total, Z**2 / total
    middle = (share + square / 2) / (1 + square)
    half = Z * math.sqrt(share * (1 - share) / total + square / (4 * total)) / (1 + square)
    return max(0.0, middle - half), min(1.0, middle + half)


def wood_per_brick(review: Review, firing: Firing) -> Result | None:
    """Fuel [kg] for each brick that was in the kiln."""
    used = review.get("fuel_used")
    count = sum(counts(firing).values()) or sum(part.count or 0 for part in firing.load)
    if used is None or used.unit != "kg" or not count:
        return None
    half = used.plus_minus / count if used.plus_minus is not None else None
    return Result(
        name="wood per brick",
        value=used.number / count,
        unit="kg",
        plus_minus=half,
        method="fuel put on over bricks unloaded",
        from_=used.from_,
    )
