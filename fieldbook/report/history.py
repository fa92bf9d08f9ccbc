"""Every batch and firing of a mix, kiln or clay, in order, with what came out."""

from __future__ import annotations

from datetime import datetime
from typing import NamedTuple

from fieldbook.advice.context import Context
from fieldbook.advice.review import Review
from fieldbook.records import Batch, Clay, Entry, Firing, Kiln, Mix, Test
from fieldbook.report.units import Units
from fieldbook.report.values import say, spell

TOLD = {
    "batches": ("moisture", "linear_drying_shrinkage", "ready"),
    "firings": ("peak", "heat_work", "yield", "specific_energy", "spread"),
    "tests": (
        "cold_absorption",
        "boiling_absorption",
        "modulus_of_rupture",
        "compressive_strength",
    ),
    "mixes": ("total_linear_shrinkage", "loss_on_ignition"),
}


class Event(NamedTuple):
    """One entry in a history."""

    at: datetime | None
    address: str
    told: str


def history(entry: Entry, context: Context, units: Units) -> list[Event]:
    """The entries that follow from one, oldest first."""
    events = [_event(review, units, context) for review in _following(entry, context)]
    never = context.now.replace(year=1)
    return sorted(events, key=lambda event: (event.at or never, event.address))


def _following(entry: Entry, context: Context) -> list[Review]:
    notebook = context.notebook
    mixes = {mix.name for mix in notebook.of(Mix) if _uses(mix, entry)}
    batches = {batch.name for batch in notebook.of(Batch) if batch.mix in mixes}
    firings = {
        firing.name
        for firing in notebook.of(Firing)
        if (isinstance(entry, Kiln) and firing.kiln == entry.name)
        or any(part.batch in batches for part in firing.load)
    }
    if isinstance(entry, Kiln):
        batches = set()
    tests = {
        test.name for test in notebook.of(Test) if test.batch in batches or test.firing in firings
    }
    wanted = {
        "mixes": mixes if isinstance(entry, Clay) else set(),
        "batches": batches,
        "firings": firings,
        "tests": tests,
    }
    addresses = [f"{folder}/{name}" for folder, names in wanted.items() for name in sorted(names)]
    found = (context.review(address) for address in addresses)
    return [review for review in found if review is not None]


def _uses(mix: Mix, entry: Entry) -> bool:
    if isinstance(entry, Clay):
        return any(part.clay == entry.name for part in mix.parts)
    return isinstance(entry, Mix) and mix.name == entry.name


def _event(review: Review, units: Units, context: Context) -> Event:
    told = [
        f"{spell(name)} {say(result, units, context.now)}"
        for name in TOLD.get(review.entry.folder, ())
        if (result := review.get(name)) is not None and not isinstance(result.value, list)
    ]
    told += [f"{v.standard} {v.grade}" for v in review.verdicts if v.grade]
    return Event(
        began(review.entry), review.entry.address, ", ".join(told) or "nothing derived yet"
    )


def began(entry: Entry) -> datetime | None:
    """When an entry began: as written, else its first log line."""
    if isinstance(entry, Batch) and entry.moulded is not None:
        return entry.moulded.at
    if isinstance(entry, Firing) and not entry.log and entry.plan and entry.plan.start:
        return entry.plan.start.at
    return entry.log[0].at if entry.log else None
