"""What came of a clay, mix or kiln, in order; and what was seen and changed on one entry."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import UTC, datetime
from typing import Any, NamedTuple

from fieldbook.advice.context import Context
from fieldbook.advice.results import Result
from fieldbook.advice.review import Review
from fieldbook.records import Batch, Clay, Entry, Firing, Kiln, Mix, Test
from fieldbook.report.entry import word, word_of_line
from fieldbook.report.trend import trends
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


TRENDS = (
    "yield",
    "heat_work",
    "specific_energy",
    "cold_absorption",
    "modulus_of_rupture",
    "compressive_strength",
    "linear_drying_shrinkage",
)
"""The values whose trend is told."""


class Event(NamedTuple):
    """One entry in a history, or one thing that happened to an entry."""

    at: datetime | None
    address: str
    told: str
    by: str = ""


class Turn(NamedTuple):
    """What one moment of git's history did to an entry, its log left out."""

    at: datetime
    by: str
    path: str
    is_begun: bool
    is_gone: bool
    fields: tuple[tuple[str, Any, Any], ...]
    """Each field that changed: its path, what it was, what it became; None where it was not."""


def own_history(
    entry: Entry, log: Mapping[str, Any], turns: Sequence[Turn], seen_by: Mapping[str, str]
) -> list[Event]:
    """What was seen on an entry and what was changed in it, oldest first.

    Args:
        entry: as it is now; lines later than now are not in its log.
        log: the lines as they are written, by their key.
        turns: what git's history tells; empty where none is kept.
        seen_by: who kept each line that does not say who saw it, by its key.
    """
    events = [_turn(turn) for turn in turns]
    for line in entry.log:
        said = log.get(line.key)
        fields = dict(said) if isinstance(said, Mapping) else {"note": said}
        by = str(fields.pop("by", "") or seen_by.get(line.key, ""))
        events.append(Event(line.at, entry.address, word_of_line(fields), by))
    return sorted(events, key=lambda event: event.at or datetime.max.replace(tzinfo=UTC))


def _turn(turn: Turn) -> Event:
    said = [_changed(*field) for field in turn.fields]
    head = "begun" if turn.is_begun else "removed" if turn.is_gone else "changed"
    told = f"{head}: {'; '.join(said)}" if said else head
    return Event(turn.at, turn.path.removesuffix(".toml"), told, turn.by)


def _changed(path: str, was: Any, now: Any) -> str:
    name = spell(path)
    if now is None:
        return f"{name} taken out, was {word(was)}"
    return f"{name} {word(now)}" if was is None else f"{name} {word(was)} to {word(now)}"


def trends_of(entry: Entry, context: Context, units: Units) -> list[str]:
    """Whether what came of a clay, mix or kiln gets better or worse, in order."""
    reviews = sorted(_following(entry, context), key=lambda r: _order(r.entry, context))
    series: dict[str, list[Result]] = {}
    for review in reviews:
        if isinstance(review.entry, Firing) and review.facts.get("phase") != "unloaded":
            continue
        for name in TRENDS:
            result = review.get(name) if name in TOLD.get(review.entry.folder, ()) else None
            if result is not None:
                series.setdefault(name, []).append(result)
    return trends(series, units)


def _order(entry: Entry, context: Context) -> tuple[datetime, str]:
    return began(entry) or context.now.replace(year=1), entry.address


def history(entry: Entry, context: Context, units: Units) -> list[Event]:
    """The entries that follow from one, oldest first."""
    reviews = sorted(_following(entry, context), key=lambda r: _order(r.entry, context))
    return [_event(review, units, context) for review in reviews]


def _following(entry: Entry, context: Context) -> list[Review]:
    if not isinstance(entry, Clay | Mix | Kiln):
        return []
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
