"""What came before and after an entry: every batch, firing and test of it in order."""

from __future__ import annotations

from fieldbook.tui import keys
from fieldbook.tui.look import Look
from fieldbook.tui.rows import Page
from fieldbook.tui.sheet import Paper, Sheet


class HistorySheet(Sheet):
    """The history of a clay, mix or kiln; of other entries, that of what they are of."""

    name = "history"
    says = (
        "Every batch, firing and test of a clay, mix or kiln, in order, with what came out and its "
        "trend; and what was seen and changed on the entry itself, by whom."
    )
    keys = (keys.OPEN, keys.MARK, keys.BESIDE)

    def __init__(self, address: str) -> None:
        self.address = address

    def page(self, look: Look, paper: Paper) -> Page:
        """Oldest first, with what came out."""
        from fieldbook.tui.history_page import history_page

        return history_page(self.address, look, paper)
