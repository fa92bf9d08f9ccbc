"""How far a fire may go to its next reading: the allowed climb, the gates, the limit."""

from __future__ import annotations

from datetime import timedelta
from typing import Any, NamedTuple

from fieldbook.advice.fire import (
    Spot,
    burning,
    coldest,
    fuel_words,
    hottest,
    peak_limit,
    wanted_peak,
)
from fieldbook.advice.results import Result
from fieldbook.advice.review import Review
from fieldbook.advice.rules import Case
from fieldbook.calc.stoking import KEPT

DRY_CORE = 1.0
"""% of the dry mass at the core, below which steam can no longer burst it; from memory."""
BOILING_FACE = 120.0
"""degC that the face is held at while the core is wet: 97 kPa of steam above the air."""
MARGIN = 15.0
"""K below the peak limit at which feeding stops: what a kiln still climbs on its embers; common
practice."""
LEAST_FEED = 0.05
"""kg: less than that is no feed; common practice."""


class Step(NamedTuple):
    """How far the fire may go to the next reading."""

    cold: Spot
    rate: float
    """K/h advised."""
    rise: float
    """K until the next reading."""
    hours: float
    why: str
    """What keeps the climb from being faster."""


def next_step(case: Case) -> Step | None:
    """The climb to the next reading; None where it is not known or the peak is near."""
    aimed, peak = case.result("aimed_climb"), wanted_peak(case)
    faces = case.result("face_temperature")
    cold, hot = coldest(faces), hottest(faces)
    if not burning(case) or cold is None or hot is None:
        return None
    if aimed is None or peak is None or too_late(case) or cold.value >= peak - MARGIN:
        return None
    hours = reading_hours(case)
    rate = max(aimed.number, 0.0)
    room = peak_limit(case) - KEPT - hot.value
    rise = max(0.0, min(rate * hours, peak - cold.value, room))
    return Step(cold, rate, rise, hours, str(aimed.extra.get("limited_by", "")))


def too_late(case: Case) -> bool:
    """Whether the next reading is so overdue that the fire must be read before it is fed."""
    due = case.time("next_reading")
    return due is not None and case.now - due > timedelta(minutes=15)


def long_unread(case: Case) -> bool:
    """Whether the reading is an hour overdue: how fast it climbed then says nothing of now."""
    due = case.time("next_reading")
    return due is not None and case.now - due > timedelta(hours=1)


def reading_hours(case: Case) -> float:
    """Hours to the next reading, at least a quarter; half an hour if unknown."""
    due = case.time("next_reading")
    return max(0.25, (due - case.now).total_seconds() / 3600) if due else 0.5


AT_LIMIT = {"climb": 0.2, "fall": 0.1}
"""Of what is allowed: within it a climb or fall is at the limit, not past it; common practice."""


def too_fast(review: Review | None, word: str) -> bool:
    """Whether a `climb` or `fall` is past what is allowed, by more than is told at the limit.

    Its uncertainty is no excuse: the less is known, the less wood is put on.

    The one judgement of it: the order of the fire and the sheet of the fire both ask here.
    """
    rate = review.get(word) if review else None
    allowed = review.get(f"allowed_{word}") if review else None
    if rate is None or allowed is None:
        return False
    return rate.number > allowed.number * (1 + AT_LIMIT[word])


class Feed(NamedTuple):
    """The wood to the next reading, in words and in numbers."""

    words: str
    """`about 12 kg split ash in 3 feeds`; empty where it is not known."""
    numbers: dict[str, list[Any]]
    """`fuel` and `feeds`; empty where it is not known."""


def next_feed(case: Case) -> Feed:
    """What to put on until the next reading, by this kiln's own answer to wood so far."""
    found = case.result("next_feed")
    if found is None:
        return Feed("", {})
    feeds = int(found.extra.get("feeds", 1))
    if found.number < LEAST_FEED:
        until = case.say.clock(case.in_hours(reading_hours(case)))
        return Feed(f"no more wood before {until}", {"fuel": [0.0, "kg"], "feeds": [0, "feeds"]})
    parts = f" in {feeds} feeds" if feeds > 1 else ""
    return Feed(
        f"about {amount_of_wood(case, found)}{parts}",
        {"fuel": [found.number, "kg"], "feeds": [feeds, "feeds"]},
    )


def wants_wood(case: Case) -> bool:
    """Whether wood may be put on before the next reading; so too where it is not known."""
    found = case.result("next_feed")
    return found is None or found.number >= LEAST_FEED


def amount_of_wood(case: Case, found: Result) -> str:
    """`12 kg split ash`, and `(0.6 barrow)` where the maker counts in a measure of their own."""
    measure, name = found.extra.get("measure"), found.extra.get("measure_name")
    counted = f" ({measure:.1f} {name})" if measure and name else ""
    return f"{case.say.mass(found.number)} {fuel_words(case)}{counted}"


def steam_minutes(case: Case) -> float | None:
    """Minutes until the core is dry at the present temperature, where the stages tell."""
    result = case.result("stages")
    for stage in result.value if result and isinstance(result.value, list) else ():
        left = stage.get("time_left") or stage.get("left_hours")
        if str(stage.get("name", "")).startswith("water") and isinstance(left, int | float):
            return float(left) * 60
    return None


def by_limit(limited: str) -> str:
    """What limits a climb or a fall, in words: a rule by its name, or what the maker set."""
    return "by the group's own limit" if limited == "the maker" else f"by the {limited} rule"
