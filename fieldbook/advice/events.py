"""What a log says has happened: how far a firing, a batch, a test has got."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from typing import Any

from fieldbook.advice.context import Context
from fieldbook.advice.firing_phase import events_of
from fieldbook.records import Batch, Entry, Firing, FiringLine, Load, Test

BURNING = ("lit", "climbing", "holding")
"""Phases of a firing with a fire that is fed."""
SHUT = ("sealed", "cooling")
"""Phases of a firing that is let go and not yet open."""


def phase_of(context: Context, firing: Firing) -> str:
    """How far a firing has got, by its noted events alone: enough to tell planned from fired.

    `planned`, `lit`, `holding` (the peak is noted), `sealed`, `cooling`, `opened`, `unloaded`.
    """
    noted = events_of(firing, context.notebook).at
    for event in ("unloaded", "opened", "cooling", "sealed"):
        if event in noted:
            return event
    if "peak" in noted:
        return "holding"
    return "lit" if "lit" in noted else "planned"


def lines_of(firing: Firing) -> tuple[FiringLine, ...]:
    """The log lines of a firing."""
    return tuple(line for line in firing.log if isinstance(line, FiringLine))


def happened(firing: Firing, event: str) -> datetime | None:
    """When an event was last noted, or None."""
    times = [line.at for line in lines_of(firing) if line.event == event]
    return times[-1] if times else None


def lit_at(context: Context, firing: Firing) -> datetime | None:
    """When the fire was lit: by the event, or by the first sign of fire."""
    return events_of(firing, context.notebook).lit


def last(entry: Entry, attribute: str, value: Any = None) -> Any:
    """The last log line that holds something in a field, or that very value; None without."""
    for line in reversed(entry.log):
        held = getattr(line, attribute, None)
        if held == value if value is not None else held not in (None, False):
            return line
    return None


def loads_of(context: Context, batch: Batch) -> Iterator[tuple[Firing, Load]]:
    """Every load of a batch, in whichever firing."""
    for firing in context.notebook.of(Firing):
        for load in firing.load:
            if load.batch == batch.name:
                yield firing, load


def in_fire(context: Context, batch: Batch) -> list[Firing]:
    """The firings that were lit with bricks of this batch in them."""
    found = {firing.name: firing for firing, _ in loads_of(context, batch)}
    return [firing for firing in found.values() if phase_of(context, firing) != "planned"]


def unfired(context: Context, batch: Batch) -> int | None:
    """Bricks of a batch that no fire has had yet; None where the count is not written."""
    if batch.count is None:
        return None
    gone = sum(getattr(line, "broken", None) or 0 for line in batch.log)
    fired = 0
    for firing, load in loads_of(context, batch):
        if phase_of(context, firing) != "planned":
            fired += batch.count if load.count is None else load.count
    return max(0, batch.count - fired - (gone if not fired else 0))


def planned_for(context: Context, batch: Batch) -> Firing | None:
    """A firing not yet lit that this batch is meant for."""
    for firing, _ in loads_of(context, batch):
        if phase_of(context, firing) == "planned":
            return firing
    return None


def firings_in(context: Context, kiln_name: str) -> list[Firing]:
    """The firings of one kiln, the planned ones too."""
    return [firing for firing in context.notebook.of(Firing) if firing.kiln == kiln_name]


def tests_of(context: Context, firing: Firing) -> list[Test]:
    """The tests of bricks of a firing."""
    return [test for test in context.notebook.of(Test) if test.firing == firing.name]
