"""Where all the bricks are: how many stand at each station from the mould to the wall."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from fieldbook.advice.context import Context
from fieldbook.advice.events import BURNING, SHUT, phase_of
from fieldbook.advice.stock import PLACES, row, stock_of
from fieldbook.records import Firing
from fieldbook.text import columns

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


@dataclass
class Station:
    """One place on the way from clay to a brick in use."""

    name: str
    count: int | None = None
    """Bricks there, or entries where it holds none; None: not counted yet."""
    entries: list[str] = field(default_factory=list)
    """The addresses of what is there."""


def empty_map() -> tuple[Station, ...]:
    """The map before anything is counted."""
    return tuple(Station(name) for name in ("clays", "mixes", *PLACES, "builds"))


def stations_of(context: Context) -> tuple[Station, ...]:
    """The map with what stands at each station now."""
    stations = empty_map()
    by_name = {station.name: station for station in stations}
    for name in ("clays", "mixes", "builds"):
        found = [a for a in context.notebook.addresses if a.startswith(f"{name}/")]
        by_name[name].entries, by_name[name].count = found, len(found)
    for name, count in row(context).items():
        by_name[name].count = count
    for name, address in _places(context):
        if name in by_name and address not in by_name[name].entries:
            by_name[name].entries.append(address)
    return stations


def _places(context: Context) -> Iterator[tuple[str, str]]:
    """Each station with an entry whose bricks stand there."""
    stock = stock_of(context)
    for name, bricks in stock.batches.items():
        if bricks.green and not bricks.planned:
            review = context.review(f"batches/{name}")
            yield (
                (review.facts.get("green_phase", "drying") if review else "drying"),
                (f"batches/{name}"),
            )
    for firing in context.notebook.of(Firing):
        phase = phase_of(context, firing)
        if phase in BURNING:
            yield "in the kiln", firing.address
        elif phase in (*SHUT, "opened"):
            yield "cooling", firing.address
    for lot in stock.lots:
        if lot.left or lot.unsorted:
            yield ("fit" if lot.tested else "to test"), f"firings/{lot.firing}"


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
