"""One entry: its fields with their problems beside them, and what follows from them."""

from __future__ import annotations

from fieldbook.tui import keys
from fieldbook.tui.look import Look
from fieldbook.tui.rows import Page, wrapped
from fieldbook.tui.sheet import Paper, Sheet


def sheet_for(address: str) -> Sheet:
    """The sheet that shows an entry."""
    if address.startswith("firings/"):
        from fieldbook.tui.firing_sheet import FiringSheet

        return FiringSheet(address)
    return EntrySheet(address)


class EntrySheet(Sheet):
    """Fields, derived values, verdicts, and the fields not written yet."""

    name = "entry"
    says = "An entry: its fields, what cannot be right, what follows, what is not written yet."
    keys = (keys.WHY, keys.FIELD, keys.TEXT, keys.EDITOR, keys.HISTORY, keys.MARK, keys.BESIDE)

    def __init__(self, address: str, order: str = "") -> None:
        self.address = address
        self.order = order
        """What is being answered here; it stays in view above the fields."""

    def page(self, look: Look, paper: Paper) -> Page:
        """All of it; what cannot be right stands under the field it is about."""
        from fieldbook.tui.entry_page import entry_page

        page = entry_page(self.address, look, paper)
        order = wrapped(self.order, paper.width - 1, " ", "strong") if self.order else []
        return page._replace(rows=(*order, *page.rows))
