"""A firing at the kiln: the plot against the plan, and what matters now."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from fieldbook.report.actions import due
from fieldbook.report.plot import LEFT
from fieldbook.text import beside, columns
from fieldbook.tui import keys
from fieldbook.tui.look import Look
from fieldbook.tui.now_sheet import action_rows, item_of
from fieldbook.tui.rows import Page, Row, plain, rows_of, wrapped
from fieldbook.tui.sheet import Paper, Sheet

if TYPE_CHECKING:
    from fieldbook.advice.actions import Action

LEAST_PLOT, MOST_PLOT = 7, 18
"""Rows of the plot with its axis."""
ABOUT = 9
"""Columns of the word that a line begins with."""


class FiringSheet(Sheet):
    """What a firing does now. All that is recorded of it is one key away."""

    name = "fire"
    says = "A firing: what to do, the plot against the plan, climb, water, carbon, wood, battery."
    keys = (keys.WHY, keys.ANSWER, keys.NOT_NOW, keys.ALL, keys.TEXT, keys.HISTORY, keys.MARK)

    def __init__(self, address: str) -> None:
        self.address = address

    def page(self, look: Look, paper: Paper) -> Page:
        """The first action, the plot, then line by line what is known."""
        from fieldbook.report.fire import fire_lines, fire_plot, phase_text

        review = look.context.review(self.address)
        if review is None:
            return Page(self.address, (plain(f" {self.address} cannot be read", "bad"),))
        actions = [a for a in look.advice.actions if a.entry == self.address]
        rows = [brief(actions[0], look, paper)] if actions else []
        said: list[Row] = []
        for line in fire_lines(review, look.units, look.now):
            style = "warn" if line.is_warning else ""
            said += _labelled(line.about, wrapped(line.text, paper.width - ABOUT - 2, style=style))
        later: list[Row] = []
        for number, action in enumerate(actions):
            later += action_rows(action, look, paper, number)
        height = min(max(paper.height - len(said) - sum(map(len, rows)), LEAST_PLOT), MOST_PLOT)
        drawn = fire_plot(
            review, look.units, look.now, paper.width - 1, height, ascii_only=paper.ascii_only
        )
        title = f"{review.entry.name}: {phase_text(review, look.now)}"
        plotted = with_legend(drawn.rows, drawn.legend, paper.width - 1)
        if plotted is None:
            title += f"  {drawn.legend}"
        top = [row for some in rows for row in some]
        body = (*top, *rows_of(plotted or drawn.rows), *said, plain(""), *later)
        return Page(title, body, tuple(item_of(action) for action in actions))


def with_legend(rows: Sequence[str], legend: str, width: int) -> list[str] | None:
    """The plot with its legend where it begins, on a row that is free there; None: none is."""
    end = LEFT + columns(legend) + 2
    for number, row in enumerate(rows[:3]):
        if legend and end < width and not row[LEFT:end].strip():
            told = f"{row[:LEFT]} {legend} {row[end:]}".rstrip()
            return [*rows[:number], told, *rows[number + 1 :]]
    return None


def brief(action: Action, look: Look, paper: Paper) -> list[Row]:
    """What is to be done first, in as few lines as it takes."""
    when = due(action, look.now)
    lines = wrapped(f"{when}: {action.do}", paper.width - 2, " ", "strong")
    if action.caution:
        lines += wrapped(f"! {action.caution}", paper.width - 2, " ", "warn")
    return lines


def _labelled(about: str, lines: list[Row]) -> list[Row]:
    labelled = []
    for number, row in enumerate(lines):
        head = beside(f" {about}" if number == 0 else "", ABOUT)
        style = row.parts[0][1] or "strong"
        labelled.append(Row(((head, style), *row.parts)))
    return labelled
