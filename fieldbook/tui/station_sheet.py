"""What stands at one station of the map: bricks by entry, then the other entries of its kinds."""

from __future__ import annotations

from functools import partial

from fieldbook.report.stock import Station, gist
from fieldbook.text import clean, cut
from fieldbook.tui import keys
from fieldbook.tui.entry_sheet import sheet_for
from fieldbook.tui.look import Look
from fieldbook.tui.rows import Item, Page, Row, plain
from fieldbook.tui.sheet import Paper, Sheet

KINDS = {
    "clays": ("clays",),
    "mixes": ("mixes",),
    "moulded": ("batches",),
    "drying": ("batches",),
    "ready": ("batches",),
    "in the kiln": ("kilns", "firings"),
    "cooling": ("firings",),
    "to test": ("tests",),
    "fit": ("tests",),
    "builds": ("builds",),
}
"""The folders whose other entries are listed at a station."""


class StationSheet(Sheet):
    """The entries at a station."""

    name = "station"
    says = "What stands at one place of the map, then the other entries of its kinds."
    keys = (keys.OPEN, keys.ADD, keys.HISTORY, keys.MARK, keys.BESIDE)

    def __init__(self, station: str) -> None:
        self.station = station

    def page(self, look: Look, paper: Paper) -> Page:
        """Entries with bricks here first, then the others."""
        found = (each for each in look.stations if each.name == self.station)
        station = next(found, Station(self.station))
        here = station.entries
        others = [
            a for a in look.context.notebook.addresses if a.split("/")[0] in KINDS[self.station]
        ]
        rows: list[Row] = []
        items: list[Item] = []
        is_of_bricks = self.station not in ("clays", "mixes", "builds")
        if is_of_bricks:
            rows.append(plain(f" {station.count or 0} bricks {_said(self.station)}", "strong"))
        for address, count in here.items():
            _add(rows, items, address, count, look, paper)
        rest = [address for address in others if address not in here]
        if rest and is_of_bricks:
            rows += [plain(""), plain(f" other {' and '.join(KINDS[self.station])}", "head")]
        for address in rest:
            _add(rows, items, address, None, look, paper)
        if not items:
            rows.append(plain(" none yet; A begins one"))
        return Page(self.station.capitalize(), tuple(rows), tuple(items))


def _said(station: str) -> str:
    return {"fit": "fit for use", "moulded": "moulded lately"}.get(station, station)


def _add(
    rows: list[Row], items: list[Item], address: str, count: int | None, look: Look, paper: Paper
) -> None:
    """An entry: how many of its bricks stand here, its title, and what is worth knowing of it."""
    number = len(items)
    items.append(Item(address, address, opens=partial(sheet_for, address)))
    if not look.is_all:
        rows.append(plain(f"  {address}", item=number))
        return
    entry, review = look.context.notebook.entry(address), look.context.review(address)
    if entry is None or review is None:
        text = f"  {address}  cannot be read: open it to see why"
        rows.append(plain(cut(text, paper.width - 1), "bad", number))
        return
    parts = [f"  {address}", f"{count} bricks" if count else ""]
    parts += [clean(text) for text in (entry.title or "", gist(review, look.units, look.now))]
    rows.append(plain(cut("  ".join(part for part in parts if part), paper.width - 1), "", number))
