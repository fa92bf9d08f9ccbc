"""Help: the keys that hold where one is, and the words of the trade."""

from __future__ import annotations

import re
from collections.abc import Iterable

from fieldbook.tables import load
from fieldbook.text import beside, columns, wrap
from fieldbook.tui import keys
from fieldbook.tui.keys import Key
from fieldbook.tui.look import Look
from fieldbook.tui.rows import Page, Row, plain, wrapped
from fieldbook.tui.sheet import Paper, Sheet
from fieldbook.tui.terminal import plainly

LINES = (
    ("1040F top", "a temperature, and where in the kiln"),
    ("dull red middle", "the colour of the glow"),
    ("+2 armload oak", "fuel put on"),
    ("steam, no steam, white smoke", "what comes out of the top"),
    ("lit, peak, sealed, opened, unloaded", "what happened"),
    ("#3 4.10lb", "marked brick 3, its mass"),
    ("560C top, 540C bottom, steam", "a whole round on one line, with commas between"),
    ("14:10 1040F", "at an earlier time; also -20m, yesterday 21:00"),
    ("not now: wood is wet", "declines the advice in view"),
    ("1250C top !", "! at the end: keeps what would be asked about, as it stands"),
    (": anything", ": at the start: a note as it stands"),
)


class HelpSheet(Sheet):
    """Keys and words for the sheet it was called from."""

    name = "help"
    says = "Keys, what may be typed, and the words of the trade."

    def __init__(self, about: Sheet, page: Page) -> None:
        self.about = about
        self.said = "\n".join(row.text for row in page.rows)
        """What stands on the sheet, to explain its words."""
        self.address = about.address
        self.station = about.station

    def page(self, look: Look, paper: Paper) -> Page:
        """Keys of the sheet, of everywhere, of the prompt; what may be typed; words."""
        width = paper.width - 1
        rows = [plain(f" Keys here ({self.about.name})", "head"), *_keys(self.about.keys, paper)]
        rows += [plain(" Keys everywhere", "head"), *_keys(keys.EVERYWHERE, paper)]
        rows += [plain(" While a line is typed", "head"), *_keys(keys.AT_THE_PROMPT, paper)]
        rows.append(plain(" What may be typed", "head"))
        for typed, means in LINES:
            rows += paired(typed, means, 29, width)
        rows += _words(self.said, width)
        return Page("Help", tuple(rows))


def paired(head: str, text: str, room: int, width: int) -> list[Row]:
    """A word or a key, and beside it what it means."""
    if columns(head) > room:
        return [plain(f" {head}", "strong"), *wrapped(text, width, " " * (room + 2))]
    first, *rest = wrap(text, width - room - 2) or [""]
    top = Row(((f" {beside(head, room)} ", "strong"), (first, "")))
    return [top, *(plain(" " * (room + 2) + line) for line in rest)]


def _words(said: str, width: int) -> list[Row]:
    """The words of the trade that stand on a sheet, each explained."""
    words: dict[str, str] = load("glossary")["words"]
    used = [word for word in words if re.search(rf"\b{re.escape(word)}(s|es)?\b", said, re.I)]
    rows = [plain(" Words used here", "head")] if used else []
    for word in used:
        rows += wrapped(f"{word}: {words[word]}", width, "   ")
    return rows


def _keys(some: Iterable[Key], paper: Paper) -> list[Row]:
    rows: list[Row] = []
    for key in some:
        shown = plainly(key.shown) if paper.ascii_only else key.shown
        rows += paired(shown, key.says, 12, paper.width - 1)
    return rows
