"""Where all the bricks are: how many stand at each station from the mould to the wall."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import TYPE_CHECKING

from fieldbook.text import columns

if TYPE_CHECKING:
    from fieldbook.advice.context import Context
    from fieldbook.advice.review import Review
    from fieldbook.advice.stock import Stock
    from fieldbook.records import Firing
    from fieldbook.report.units import Units

STATIONS = (
    "clays",
    "mixes",
    "moulded",
    "drying",
    "ready",
    "in the kiln",
    "cooling",
    "to test",
    "fit",
    "builds",
)
"""From clay to a brick in use."""

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


WORTH_KNOWING = {
    "mixes": ("total_linear_shrinkage", "peak_limit"),
    "batches": ("moisture", "ready"),
    "firings": ("peak", "yield"),
    "tests": ("cold_absorption",),
    "builds": ("bricks_needed", "fit_for_use"),
}
"""The derived values that an entry is known by in a list."""


@dataclass
class Station:
    """One place on the way from clay to a brick in use."""

    name: str
    count: int | None = None
    """Bricks there, or entries where it holds none; None: not counted yet."""
    entries: dict[str, int | None] = field(default_factory=dict)
    """The addresses of what is there, each with its bricks; None where it holds none."""


def empty_map() -> tuple[Station, ...]:
    """The map before anything is counted."""
    return tuple(Station(name) for name in STATIONS)


def stations_of(context: Context) -> tuple[Station, ...]:
    """The map with what stands at each station now."""
    from fieldbook.advice.stock import row

    stations = empty_map()
    by_name = {station.name: station for station in stations}
    for name in ("clays", "mixes", "builds"):
        found = [a for a in context.notebook.addresses if a.startswith(f"{name}/")]
        by_name[name].entries, by_name[name].count = dict.fromkeys(found), len(found)
    for name, count in row(context).items():
        by_name[name].count = count
    for name, address, count in _places(context):
        if name in by_name:
            entries = by_name[name].entries
            entries[address] = (entries.get(address) or 0) + count
    return stations


def _places(context: Context) -> Iterator[tuple[str, str, int]]:
    """Each station with an entry whose bricks stand there, and how many."""
    from fieldbook.advice.events import BURNING, SHUT, phase_of
    from fieldbook.advice.stock import stock_of
    from fieldbook.records import Firing

    stock = stock_of(context)
    for name, bricks in stock.batches.items():
        if bricks.green and not bricks.planned:
            review = context.review(f"batches/{name}")
            phase = review.facts.get("green_phase", "drying") if review else "drying"
            yield phase, f"batches/{name}", bricks.green
    for firing in context.notebook.of(Firing):
        phase = phase_of(context, firing)
        if phase in BURNING:
            yield "in the kiln", firing.address, _loaded(stock, firing)
        elif phase in (*SHUT, "opened"):
            yield "cooling", firing.address, _loaded(stock, firing)
    for lot in stock.lots:
        if lot.left or lot.unsorted:
            name = "fit" if lot.tested else "to test"
            yield name, f"firings/{lot.firing}", lot.left + lot.unsorted


def _loaded(stock: Stock, firing: Firing) -> int:
    """Bricks set in a firing; the whole batch where no count is written."""
    whole = (stock.of_batch(load.batch or "").moulded for load in firing.load)
    counts = (load.count for load in firing.load)
    return sum(n if n is not None else w or 0 for n, w in zip(counts, whole, strict=True))


def gist(review: Review, units: Units, now: datetime) -> str:
    """What is most worth knowing of an entry, in a few words."""
    from fieldbook.report.values import moment_text, spell

    said = [f"{verdict.standard} {verdict.grade}" for verdict in review.verdicts if verdict.grade]
    for name in WORTH_KNOWING.get(review.entry.folder, ()):
        result = review.get(name)
        if result is None:
            continue
        if isinstance(result.value, int | float):
            half = result.plus_minus or (result.n and result.sd) or None
            value = units.say(result.number, result.unit, half)
        else:
            value = moment_text(str(result.value), now)
        said.append(f"{spell(name)} {value}")
    return ", ".join(said)


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
