"""A firing at the kiln: the plot against the plan, and what matters now."""

from __future__ import annotations

from fieldbook.report.fire import fire_lines, fire_plot
from fieldbook.text import beside
from fieldbook.tui import keys
from fieldbook.tui.look import Look
from fieldbook.tui.now_sheet import action_rows, item_of
from fieldbook.tui.rows import Item, Page, Row, plain, rows_of, wrapped
from fieldbook.tui.sheet import Paper, Sheet

ABOUT = 9
"""Columns of the word that a line begins with."""


class FiringSheet(Sheet):
    """What a firing does now. All that is recorded of it is one key away."""

    name = "fire"
    keys = (keys.WHY, keys.ANSWER, keys.NOT_NOW, keys.ALL, keys.TEXT, keys.HISTORY, keys.MARK)
    is_live = True

    def __init__(self, address: str) -> None:
        self.address = address

    def page(self, look: Look, paper: Paper) -> Page:
        """The first action, the plot, then line by line what is known."""
        review = look.context.review(self.address)
        if review is None:
            return Page(self.address, (plain(f" {self.address} cannot be read", "bad"),))
        rows: list[Row] = []
        items: list[Item] = []
        for action in look.advice.actions:
            if action.entry == self.address:
                rows += action_rows(action, look, paper, len(items))
                items.append(item_of(action))
        first = [row for row in rows if row.item == 0]
        later = [row for row in rows if row.item > 0]
        said: list[Row] = []
        for line in fire_lines(review, look.units, look.now):
            style = "warn" if line.is_warning else ""
            lines = wrapped(line.text, paper.width - ABOUT - 2, style=style)
            said += _labelled(line.about, lines)
        room = paper.height - len(first) - len(said)
        height = min(max(room, 9), 16)
        drawn = fire_plot(
            review, look.units, look.now, paper.width - 1, height, ascii_only=paper.ascii_only
        )
        return Page(self.address, (*first, *rows_of(drawn), *said, *later), tuple(items))


def _labelled(about: str, lines: list[Row]) -> list[Row]:
    labelled = []
    for number, row in enumerate(lines):
        head = beside(f" {about}" if number == 0 else "", ABOUT)
        style = row.parts[0][1] or "strong"
        labelled.append(Row(((head, style), *row.parts)))
    return labelled
