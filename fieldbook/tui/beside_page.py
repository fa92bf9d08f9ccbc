"""The page of entries side by side: what was done differently, then what came out so."""

from __future__ import annotations

from collections.abc import Sequence

from fieldbook.errors import FieldbookError
from fieldbook.report.compare import DIFFERS, SAME, UNKNOWN, WITHIN, Side, aside, compare
from fieldbook.report.compare import Row as Compared
from fieldbook.report.makers import Makers, with_makers
from fieldbook.report.overlay import HEADS as WORDS
from fieldbook.report.overlay import LIGHTING, TEMPERATURE, hours_lines, laid, overlay
from fieldbook.report.values import spell
from fieldbook.sync.looked import whose
from fieldbook.text import beside, clean, wrap
from fieldbook.tui.look import Look
from fieldbook.tui.rows import Page, Row, plain, rows_of
from fieldbook.tui.sheet import Paper

NAME_WIDTH = 20
LEAST_COLUMN = 18
"""Columns an entry needs at least; where there are fewer, entries stand below each other."""


def beside_page(addresses: Sequence[str], look: Look, paper: Paper) -> Page:
    """Differences first; of firings the curves last."""
    found = [(a, look.context.review(a)) for a in addresses]
    sides = [Side(a.partition("/")[2], r, look.context) for a, r in found if r is not None]
    names, width = _names(sides, look), paper.width - 1
    laid_out = compare(sides, look.units)
    done = laid_out.done_differently
    rows = [row for line in laid_out.unfinished() for row in rows_of(wrap(line, width, " "))]
    rows += [plain(" done differently", "head"), *table(names, done, width)]
    if not done:
        rows.append(plain("  nothing, as far as it is written"))
    for head, alike in aside(laid_out):
        said = ", ".join(spell(row.name) for row in alike)
        rows += rows_of(wrap(f"{head}: {said}", width, "    ", "  "))
    for verdict, head in HEADS:
        if some := laid_out.rows(verdict):
            rows += [plain(""), plain(f" {head}", "head"), *table(names, some, width)]
    for line in laid_out.alone(names):
        rows += [plain(""), *rows_of(wrap(line, width, "    ", "  "))]
    rows += curves(sides, look, paper)
    return Page("Side by side: " + " and ".join(names), tuple(rows))


def _names(sides: Sequence[Side], look: Look) -> list[str]:
    """What stands over each column; makers too where there are several."""
    names = [side.name for side in sides]
    try:
        makers = Makers(*whose(look.store.folder, look.store.settings.maker))
    except FieldbookError:
        return names  # what is wrong with the history is said on the sheet of the group
    return with_makers(names, [side.review.entry for side in sides], makers)


HEADS = (
    (DIFFERS, "came out differently"),
    (WITHIN, "came out the same to within the bounds"),
    (SAME, "the same"),
    (UNKNOWN, "not known of all"),
)
"""The verdicts, differences first, and the words over each."""


def curves(sides: Sequence[Side], look: Look, paper: Paper) -> list[Row]:
    """The curves of firings laid over each other, since lighting and by temperature."""
    names, reviews = [side.name for side in sides], [side.review for side in sides]
    drawn = laid(names, reviews, look.now)
    units = look.units._replace(ascii_only=look.units.ascii_only or paper.ascii_only)
    rows: list[Row] = []
    for way in (LIGHTING, TEMPERATURE):
        lines = overlay(drawn, way, units, paper.width - 1, paper.height)
        if lines:
            rows += [plain(""), plain(f" {WORDS[way]}", "head"), *rows_of(lines)]
    if rows:
        rows += rows_of(hours_lines(drawn, units, paper.width - 1))
    return rows


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
