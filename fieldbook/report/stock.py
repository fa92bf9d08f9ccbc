"""Where all the bricks are: how many stand at each station from the mould to the wall."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from fieldbook.advice.context import Context
from fieldbook.advice.events import phase_of, unfired
from fieldbook.records import Batch, Build, Firing, Test
from fieldbook.text import columns

BRICKS = ("moulded", "drying", "ready", "in the kiln", "cooling", "to test", "fit")
"""Stations that bricks pass, in the order of the work."""
WIDE = {
    "clays": "clay",
    "mixes": "mix",
    "in the kiln": "in kiln",
    "builds": "build",
}
NARROW = {
    "clays": "clay",
    "mixes": "mix",
    "moulded": "mould",
    "drying": "dry",
    "in the kiln": "kiln",
    "cooling": "cool",
    "to test": "test",
    "builds": "use",
}
FRESH_FOR = 72.0
"""Hours after moulding in which bricks count as moulded, not yet drying; common practice."""


@dataclass
class Station:
    """One place on the way from clay to a brick in use."""

    name: str
    count: int | None = None
    """Bricks there, or entries where it holds none; None: not counted yet."""
    entries: list[str] = field(default_factory=list)
    """The addresses of what is there."""

    def add(self, count: int, address: str) -> None:
        """Bricks of an entry are here."""
        if count > 0:
            self.count = (self.count or 0) + count
            if address not in self.entries:
                self.entries.append(address)


def empty_map() -> tuple[Station, ...]:
    """The map before anything is counted."""
    return tuple(Station(name) for name in ("clays", "mixes", *BRICKS, "builds"))


def stations_of(context: Context) -> tuple[Station, ...]:
    """The map with what stands at each station now."""
    stations = empty_map()
    by_name = {station.name: station for station in stations}
    for station in stations:
        station.count = 0
    for name in ("clays", "mixes", "builds"):
        found = [a for a in context.notebook.addresses if a.startswith(f"{name}/")]
        by_name[name].entries, by_name[name].count = found, len(found)
    for batch in context.notebook.of(Batch):
        waiting = unfired(context, batch)
        by_name[_waiting_at(context, batch)].add(waiting or 0, batch.address)
    for firing in context.notebook.of(Firing):
        for name, count in _fired(context, firing):
            by_name[name].add(count, firing.address)
    return stations


def _waiting_at(context: Context, batch: Batch) -> str:
    """Where the bricks of a batch are that no fire has had."""
    review = context.review(batch.address)
    moisture = review.number("moisture") if review else None
    practice = context.notebook.settings.practice
    target = batch.target_moisture or (practice.target_moisture if practice else None)
    if moisture is not None and moisture <= (target.value if target else 3.0):
        return "ready"
    age = context.hours_since(batch.moulded.at) if batch.moulded else None
    return "moulded" if age is not None and age < FRESH_FOR else "drying"


def _fired(context: Context, firing: Firing) -> Iterator[tuple[str, int]]:
    phase = phase_of(context, firing)
    if phase in ("lit", "holding"):
        yield "in the kiln", _loaded(context, firing)
    elif phase in ("sealed", "cooling", "opened"):
        yield "cooling", _loaded(context, firing)
    elif phase == "unloaded":
        sound = sum(row.sound or 0 for row in firing.unloaded)
        yield ("fit" if _is_graded(context, firing) else "to test"), sound - _gone(context, firing)


def _loaded(context: Context, firing: Firing) -> int:
    total = 0
    for load in firing.load:
        batch = context.notebook.entry(f"batches/{load.batch}")
        whole = batch.count if isinstance(batch, Batch) else None
        total += load.count if load.count is not None else whole or 0
    return total


def _is_graded(context: Context, firing: Firing) -> bool:
    """Whether a test of bricks of this firing gave a grade."""
    for test in context.notebook.of(Test):
        if test.firing == firing.name:
            review = context.review(test.address)
            if review and any(verdict.grade for verdict in review.verdicts):
                return True
    return False


def _gone(context: Context, firing: Firing) -> int:
    """Bricks of a firing that were laid."""
    lines = (line for build in context.notebook.of(Build) for line in build.log)
    return sum(getattr(x, "laid", None) or 0 for x in lines if getattr(x, "of_", "") == firing.name)


class Cell(tuple[str, str, str]):
    """A station on the map: its name, its word, its number."""

    __slots__ = ()


def map_cells(stations: Sequence[Station], width: int) -> list[Cell]:
    """Word over number of each station, in columns that fit the width."""
    for words in (WIDE, NARROW):
        cells = []
        for station in stations:
            word = words.get(station.name, station.name)
            number = "…" if station.count is None else str(station.count)
            room = max(columns(word), columns(number))
            cells.append(Cell((station.name, word.rjust(room), number.rjust(room))))
        if sum(columns(cell[1]) + 1 for cell in cells) < width:
            return cells
    return cells
