"""Entries side by side: what was done differently, then what came out differently."""

from __future__ import annotations

from collections.abc import Sequence

from fieldbook.report.compare import Row as Compared
from fieldbook.report.compare import came_out, done_differently
from fieldbook.report.values import spell
from fieldbook.text import beside, clean, wrap
from fieldbook.tui.look import Look
from fieldbook.tui.rows import Page, Row, plain, rows_of
from fieldbook.tui.sheet import Paper, Sheet

NAME_WIDTH = 20
LEAST_COLUMN = 18
"""Columns an entry needs at least; where there are fewer, entries stand below each other."""


class BesideSheet(Sheet):
    """Two or more entries of one kind."""

    name = "side by side"
    says = "Entries of one kind: what was done differently, then what came out differently."

    def __init__(self, addresses: Sequence[str]) -> None:
        self.addresses = tuple(addresses)

    @property
    def key(self) -> str:
        """What tells it from other sheets."""
        return f"beside {self.addresses}"

    def page(self, look: Look, paper: Paper) -> Page:
        """Differences first."""
        found = [(a, look.context.review(a)) for a in self.addresses]
        reviews = [review for _, review in found if review is not None]
        names = [a.partition("/")[2] for a, review in found if review is not None]
        recorded = [look.store.read(review.entry.address).data for review in reviews]
        done, out = done_differently(recorded), came_out(reviews, look.units)
        width = paper.width - 1
        rows = [plain(" done differently", "head"), *table(names, done, width)]
        if not done:
            rows.append(plain("  nothing that is written"))
        for verdict, head in HEADS:
            some = [row for row in out if row.verdict == verdict]
            if some:
                rows += [plain(""), plain(f" {head}", "head"), *table(names, some, width)]
        return Page("Side by side: " + " and ".join(names), tuple(rows))


HEADS = (
    ("differs", "came out differently"),
    ("within the error", "differs by less than the errors"),
    ("the same", "the same"),
    ("unknown here", "not known of all"),
)
"""The verdicts, differences first, and the words over each."""


def table(names: Sequence[str], compared: Sequence[Compared], width: int) -> list[Row]:
    """A column an entry, broken within it; below each other where there is no room."""
    room = (width - NAME_WIDTH - 2) // max(len(names), 1) - 2
    if room < LEAST_COLUMN:
        return _stacked(names, compared, width)
    rows = rows_of(_line("", names, room), "strong") if compared else []
    for row in compared:
        rows += rows_of(_line(spell(row.name), row.said, room))
    return rows


def _line(name: str, said: Sequence[str], room: int) -> list[str]:
    cells = [wrap(name, NAME_WIDTH), *(wrap(text, room) for text in said)]
    widths = [NAME_WIDTH, *[room] * len(said)]
    lines = []
    for number in range(max(len(cell) for cell in cells)):
        parts = (cell[number] if number < len(cell) else "" for cell in cells)
        lines.append(
            "  " + "  ".join(beside(part, w) for part, w in zip(parts, widths, strict=True))
        )
    return lines


def _stacked(names: Sequence[str], compared: Sequence[Compared], width: int) -> list[Row]:
    rows: list[Row] = []
    for row in compared:
        rows.append(plain(f"  {clean(spell(row.name))}", "strong"))
        for name, text in zip(names, row.said, strict=True):
            rows += rows_of(wrap(f"{name}: {text}", width, "      ", "    "))
    return rows
