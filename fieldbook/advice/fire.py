"""What rules ask of a firing: how far, hottest and coldest place, limits, load."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from typing import NamedTuple

from fieldbook.advice.events import BURNING, SHUT, phase_of
from fieldbook.advice.firing_phase import is_out
from fieldbook.advice.firing_readings import KILN
from fieldbook.advice.results import Result
from fieldbook.advice.rules import Case
from fieldbook.records import Batch, Kiln, Load, Mix

NOTHING_KNOWN = 1050.0
"""degC, the peak limit of a clay nobody has tried: common red clay softens from 900 to 1250."""
TARGET = 3.0
"""% of the dry mass: dry enough to fire where the maker has set nothing; common practice."""


class Spot(NamedTuple):
    """A value at one place of the kiln."""

    place: str
    value: float

    @property
    def at(self) -> str:
        """` at the top`, or nothing where the place has no name."""
        return f" at {self.place}" if self.place not in ("", "kiln") else ""


def phase(case: Case) -> str:
    """How far the firing of a case has come."""
    return str(case.fact("phase") or phase_of(case.context, case.entry))


def planned(case: Case, within: timedelta = timedelta(days=14)) -> bool:
    """Whether the firing is still to be lit, and near enough that getting ready makes sense.

    A firing without a start counts as near; one whose bricks are not moulded yet does not.
    """
    if phase(case) != "planned":
        return False
    plan = case.entry.plan
    start = plan.start.at if plan and plan.start else None
    if start is not None and start - case.now > within:
        return False
    days = [batch.moulded for _, batch in batches_in(case) if batch.moulded]
    return all(day.at - timedelta(hours=day.half_hours) <= case.now for day in days)


def gone_out(case: Case) -> bool:
    """Whether nothing was noted for so long that the fire must be out and cold."""
    return is_out(case.entry, phase(case), case.context.notebook)


def burning(case: Case) -> bool:
    """Whether a fire is fed, or has just reached its peak."""
    return phase(case) in BURNING and not gone_out(case)


def shut(case: Case) -> bool:
    """Whether the fire is let go and the kiln not yet open."""
    return phase(case) in SHUT and not gone_out(case)


def spots(result: Result | None) -> list[Spot]:
    """A result place by place; the value alone where it has no places.

    A reading that names no place is of none that wood could be put under: beside named places it
    is left out.
    """
    if result is None:
        return []
    found: list[Spot] = []
    for place, held in result.each.items():
        value = held.get("value") if isinstance(held, dict) else held
        if isinstance(value, int | float):
            found.append(Spot(str(place), float(value)))
    found = [spot for spot in found if spot.place != KILN] or found
    return found or ([Spot("", result.number)] if isinstance(result.value, int | float) else [])


def hottest(result: Result | None) -> Spot | None:
    """The place with the highest value; None where nothing is known."""
    return max(spots(result), key=lambda spot: spot.value, default=None)


def coldest(result: Result | None) -> Spot | None:
    """The place with the lowest value; None where nothing is known."""
    return min(spots(result), key=lambda spot: spot.value, default=None)


def batches_in(case: Case) -> Iterator[tuple[Load, Batch]]:
    """The loads of a firing with the batch each is of."""
    for load in case.entry.load:
        batch = case.context.notebook.entry(f"batches/{load.batch}") if load.batch else None
        if isinstance(batch, Batch):
            yield load, batch


def mixes_in(case: Case) -> list[Mix]:
    """The mixes in the load of a firing."""
    names = {batch.mix for _, batch in batches_in(case) if batch.mix}
    found = (case.context.notebook.entry(f"mixes/{name}") for name in sorted(names))
    return [mix for mix in found if isinstance(mix, Mix)]


def kiln_of(case: Case) -> Kiln | None:
    """The kiln of a firing."""
    kiln = case.context.notebook.entry(f"kilns/{case.entry.kiln}") if case.entry.kiln else None
    return kiln if isinstance(kiln, Kiln) else None


def peak_limit(case: Case) -> float:
    """The temperature [degC] that no action takes the hottest place above."""
    own = case.number("peak_limit")
    if own is not None:
        return own
    reviews = (case.context.review(mix.address) for mix in mixes_in(case))
    known = [review.number("peak_limit") for review in reviews if review is not None]
    return min([limit for limit in known if limit is not None], default=NOTHING_KNOWN)


def wanted_peak(case: Case) -> float | None:
    """The peak wanted at the coldest place [degC], or None where the plan has none."""
    plan = case.entry.plan
    known = plan is not None and plan.peak is not None and not plan.peak.is_bound
    return float(plan.peak.value) if known else None


def wanted_hold(case: Case) -> float:
    """The hold wanted at the peak [h]; 1 h where the plan has none."""
    plan = case.entry.plan
    known = plan is not None and plan.hold is not None and not plan.hold.is_bound
    return float(plan.hold.value) if known else 1.0


def fuel_words(case: Case) -> str:
    """What the fire is fed with, in words: the fuel put on last, else the first in the list."""
    used = [line.of_ for line in case.entry.log if getattr(line, "of_", None)]
    named = [*reversed(used), *(fuel.name for fuel in case.entry.fuel if fuel.name)]
    return next((str(name) for name in named if not is_bad_wood(str(name))), "clean wood")


BAD_WOOD = ("paint", "varnish", "creosote", "plywood", "chipboard", "driftwood", "salt", "treated")
"""Words in the name of a fuel that give it away."""


def is_bad_wood(name: str) -> bool:
    """Whether a fuel is, by its name, painted, treated or salt-soaked."""
    words = name.lower().replace("untreated", "").replace("unpainted", "")
    return any(word in words for word in BAD_WOOD)


def wettest_load(case: Case) -> tuple[str, float, float] | None:
    """Batch, moisture of its wettest brick and target [% of the dry mass]; None if unknown."""
    found = []
    practice = case.context.notebook.settings.practice
    general = practice.target_moisture if practice else None
    for load, batch in batches_in(case):
        wanted = next((a.value for a in (batch.target_moisture, general) if a), TARGET)
        if load.moisture and not load.moisture.is_bound:
            found.append((batch.name, load.moisture.value, wanted))
            continue
        review = case.context.review(batch.address)
        result = review.get("moisture") if review else None
        if result is not None:
            found.append((batch.name, max(spot.value for spot in spots(result)), wanted))
    return max(found, key=lambda each: each[1] - each[2], default=None)
