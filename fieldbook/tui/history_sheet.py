"""What came before and after an entry: every batch, firing and test of it in order."""

from __future__ import annotations

from functools import partial

from fieldbook.records import Batch, Entry, Firing, Test
from fieldbook.report.history import history
from fieldbook.report.units import clock
from fieldbook.text import clean
from fieldbook.tui import keys
from fieldbook.tui.entry_sheet import sheet_for
from fieldbook.tui.look import Look
from fieldbook.tui.rows import Item, Page, Row, plain, wrapped
from fieldbook.tui.sheet import Paper, Sheet


class HistorySheet(Sheet):
    """The history of a clay, mix or kiln; of other entries, that of what they are of."""

    name = "history"
    says = "Every batch, firing and test of a clay, mix or kiln, in order, with what came out."
    keys = (keys.OPEN, keys.MARK, keys.BESIDE)

    def __init__(self, address: str) -> None:
        self.address = address

    def page(self, look: Look, paper: Paper) -> Page:
        """Oldest first, with what came out."""
        entry = _root(look, self.address)
        rows: list[Row] = []
        items: list[Item] = []
        for event in history(entry, look.context, look.units) if entry else []:
            when = clock(event.at, look.now) if event.at else "no date"
            number = len(items)
            rows.append(plain(f" {when}  {event.address}", "strong", number))
            rows += wrapped(event.told, paper.width - 1, "    ", item=number)
            opens = partial(sheet_for, event.address)
            items.append(Item(event.address, event.address, opens=opens))
        if not rows:
            rows = [plain(" nothing came of it yet")]
        of = entry.address if entry else self.address
        return Page(f"History of {clean(of)}", tuple(rows), tuple(items))


def _root(look: Look, address: str) -> Entry | None:
    """The mix of a batch, the kiln of a firing, else the entry itself."""
    notebook = look.context.notebook
    entry = notebook.entry(address)
    if isinstance(entry, Test):
        entry = notebook.entry(f"batches/{entry.batch}") or entry
    if isinstance(entry, Batch):
        return notebook.entry(f"mixes/{entry.mix}") or entry
    if isinstance(entry, Firing):
        return notebook.entry(f"kilns/{entry.kiln}") or entry
    return entry
