"""Lines that were saved and that another program's save dropped since."""

from __future__ import annotations

from fieldbook.text import cut
from fieldbook.tui import keys
from fieldbook.tui.look import Look
from fieldbook.tui.rows import Item, Page, Row, plain, wrapped
from fieldbook.tui.sheet import Paper, Sheet


class LostSheet(Sheet):
    """Each line, to be put back or left out for good."""

    name = "dropped lines"
    says = "Lines that were saved and that another program wrote over."
    keys = (keys.PUT_BACK, keys.LEAVE_OUT)

    def page(self, look: Look, paper: Paper) -> Page:
        """Which line, of which entry."""
        rows: list[Row] = []
        items: list[Item] = []
        for line in look.lost:
            number = len(items)
            rows.append(plain(f" {line.address}", "strong", number))
            rows.append(plain(cut(f"   {line.text}", paper.width - 1), item=number))
            items.append(Item(f"{line.address} {line.key}", line.address))
        text = "These lines were saved, and a program that had the file open wrote over them."
        head = wrapped(text, paper.width - 1, " ") if items else [plain(" no line is missing")]
        return Page("Dropped lines", (*head, plain(""), *rows), tuple(items))
