"""The file of an entry, as it stands on the disk."""

from __future__ import annotations

from fieldbook.text import clean, cut
from fieldbook.tui import keys
from fieldbook.tui.look import Look
from fieldbook.tui.rows import Page, Row, plain
from fieldbook.tui.sheet import Paper, Sheet


class FileSheet(Sheet):
    """The file of an entry, as it stands on the disk."""

    name = "file"
    says = "The file of an entry, as it stands on the disk."
    keys = (keys.EDITOR,)

    def __init__(self, address: str) -> None:
        self.address = address

    def page(self, look: Look, paper: Paper) -> Page:
        """Every line with its number."""
        return Page(
            f"{self.address}.toml", text_rows(look.store.read(self.address).text, paper.width - 1)
        )


def text_rows(text: str, width: int) -> tuple[Row, ...]:
    """A file's lines with their numbers, as problems name them; long ones go on below."""
    lines = text.replace("\r\n", "\n").split("\n")
    if lines and not lines[-1]:
        lines.pop()
    room = len(str(len(lines)))
    rows = []
    for number, line in enumerate(lines, 1):
        head = f"{number:>{room}}  "
        for piece in _pieces(clean(line), width - room - 2):
            rows.append(plain(head + piece))
            head = " " * (room + 2)
    return tuple(rows)


def _pieces(line: str, width: int) -> list[str]:
    """A line cut where the paper ends, nothing lost."""
    pieces = []
    while line:
        piece = cut(line, max(width, 2), "") or line[0]
        pieces.append(piece)
        line = line[len(piece) :]
    return pieces or [""]
