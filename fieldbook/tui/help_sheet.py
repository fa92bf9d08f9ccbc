"""Help: the keys that hold where one is, and the words of the trade."""

from __future__ import annotations

from collections.abc import Iterable

from fieldbook.text import beside
from fieldbook.tui import keys
from fieldbook.tui.keys import Key
from fieldbook.tui.look import Look
from fieldbook.tui.rows import Page, Row, plain, wrapped
from fieldbook.tui.sheet import Paper, Sheet

LINES = (
    ("1040F top", "a temperature, and where in the kiln"),
    ("dull red middle", "the colour of the glow"),
    ("+2 armload oak", "fuel put on"),
    ("steam, no steam, white smoke", "what comes out of the top"),
    ("lit, peak, sealed, opened, unloaded", "what happened"),
    ("#3 4.10lb", "marked brick 3, its mass"),
    ("14:10 1040F", "at an earlier time; also -20m, yesterday 21:00"),
    ("not now: wood is wet", "declines the advice in view"),
    (": anything", "a note as it stands"),
)


class HelpSheet(Sheet):
    """Keys and words for the sheet it was called from."""

    name = "help"

    def __init__(self, about: Sheet) -> None:
        self.about = about
        self.address = about.address
        self.station = about.station

    def page(self, look: Look, paper: Paper) -> Page:
        """Keys of the sheet, of everywhere, of the prompt; what may be typed; words."""
        width = paper.width - 1
        rows = [plain(f" Keys here ({self.about.name})", "head"), *_keys(self.about.keys, width)]
        rows += [plain(" Keys everywhere", "head"), *_keys(keys.EVERYWHERE, width)]
        rows += [plain(" While a line is typed", "head"), *_keys(keys.AT_THE_PROMPT, width)]
        rows.append(plain(" What may be typed", "head"))
        for typed, means in LINES:
            rows += wrapped(f"{beside(typed, 29)} {means}", width, " ")
        return Page("Help", tuple(rows))


def _keys(some: Iterable[Key], width: int) -> list[Row]:
    rows: list[Row] = []
    for key in some:
        rows += wrapped(f"{beside(key.shown, 12)} {key.says}", width, " ")
    return rows
