"""How many bricks are moulded next of a mix, and for which build."""

from __future__ import annotations

import math
from typing import Any

from fieldbook.advice.events import loads_of, phase_of, unfired
from fieldbook.advice.green import half_load, small_rest
from fieldbook.advice.rules import Case
from fieldbook.advice.rules.build import under_test
from fieldbook.records import Batch, Build, Kiln

MOST_SOUND, LEAST_SOUND = 0.95, 0.50
"""of what is moulded: no more and no less is counted on, whatever one firing gave; common
practice."""
TESTED = 5
"""bricks that a test may break; common practice."""


def batches_of(case: Case) -> list[Batch]:
    """The batches moulded of this mix."""
    return [b for b in case.context.notebook.of(Batch) if b.mix == case.entry.name]


def untested_left(case: Case, build: Build) -> bool:
    """Whether bricks lie there of which nobody knows if they are fit, and a test would tell."""
    review = case.context.review(build.address)
    stock = review.get("bricks_fit") if review else None
    unknown = stock and stock.extra.get("in_stock", {}).get("unknown")
    return bool(unknown) and under_test(Case(build, review, case.context))


def proven(case: Case, build: Build) -> bool:
    """Whether bricks of the mix were found fit for a build, there or laid already."""
    review = case.context.review(build.address)
    fit = review.number("bricks_fit") if review else None
    return bool(fit) or any(getattr(line, "laid", None) for line in build.log)


def to_mould(case: Case, build: Build, lacking: int) -> tuple[int, int]:
    """Bricks to mould for so many that lack; five days' work at most.

    With the usual losses, what chance adds to them in 19 cases of 20, and those a test takes. The
    second number is how many the last load must have, where that is why there are more.
    """
    review = case.context.review(build.address)
    needed = review.get("bricks_needed") if review else None
    yields: dict[str, float] = needed.extra.get("yields", {}) if needed else {}
    sound = min(MOST_SOUND, max(LEAST_SOUND, math.prod(yields.values())))
    made = lacking / sound
    by_chance = 2 * math.sqrt(made * sound * (1 - sound))
    enough = math.ceil(made + by_chance + TESTED)
    most = day_count(case) * 5
    more, fewest = to_fill(case, enough, lacking)
    return (enough + more, fewest) if enough + more <= most else (most, 0)


def to_fill(case: Case, count: int, lacking: int) -> tuple[int, int]:
    """Bricks to add to so many so that the last load fills half a kiln, and how many that is.

    None where so many lack that a larger kiln is advised.
    """
    from fieldbook.advice.rules.kiln import MANY_FIRINGS

    kilns = [kiln for kiln in case.context.notebook.of(Kiln) if kiln.capacity]
    largest = max((kiln.capacity or 0 for kiln in kilns), default=0)
    if lacking > MANY_FIRINGS * largest:
        return 0, 0
    half = min(half_load(kiln) or 0 for kiln in kilns)
    last_load = count if count <= largest else count % largest
    return (half - last_load, half) if 0 < last_load < half else (0, 0)


def short_builds(case: Case) -> list[tuple[Build, int]]:
    """Builds meant for this mix that lack bricks, with how many."""
    found = []
    for build in case.context.notebook.of(Build):
        review = case.context.review(build.address) if build.mix == case.entry.name else None
        if review is None:
            continue
        needed = review.number("bricks_needed")
        laid = sum(getattr(line, "laid", None) or 0 for line in build.log)
        fit = review.number("bricks_fit") or 0.0
        if needed and needed - laid - fit >= 1:
            found.append((build, int(needed - laid - fit)))
    return found


def waiting(case: Case) -> bool:
    """Whether bricks of this mix are to be fired, or in a kiln; a small rest waits for nobody."""
    for batch in batches_of(case):
        left, firings = unfired(case.context, batch), loads_of(case.context, batch)
        rest = small_rest(case.context, batch) if firings else 1
        if left is None or left >= rest:
            return True
        if any(phase_of(case.context, firing) != "unloaded" for firing, _ in firings):
            return True
    return False


def day_count(case: Case) -> int:
    """Bricks moulded in a day: as the maker set it, or 300, a lone hand's informal figure."""
    practice: Any = case.context.notebook.settings.practice
    return int(practice.moulded_per_day or 300) if practice else 300
