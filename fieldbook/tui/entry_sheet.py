"""One entry: what is recorded and derived, and what cannot be right."""

from __future__ import annotations

from fieldbook.report.entry import problem_lines, review_lines
from fieldbook.tui import keys
from fieldbook.tui.look import Look
from fieldbook.tui.rows import Page, Row, plain, rows_of
from fieldbook.tui.sheet import Paper, Sheet


def sheet_for(address: str) -> Sheet:
    """The sheet that shows an entry."""
    if address.startswith("firings/"):
        from fieldbook.tui.firing_sheet import FiringSheet

        return FiringSheet(address)
    return EntrySheet(address)


class EntrySheet(Sheet):
    """The entry as `show` prints it."""

    name = "entry"
    keys = (keys.TEXT, keys.EDITOR, keys.HISTORY, keys.MARK, keys.BESIDE)

    def __init__(self, address: str) -> None:
        self.address = address

    def page(self, look: Look, paper: Paper) -> Page:
        """Recorded, derived, verdicts, problems."""
        file = look.store.read(self.address)
        review = look.context.review(self.address) if file.record else None
        width = paper.width - 1
        if review is None:
            rows = [plain(f" {self.address} cannot be read", "bad")]
            for problem in file.problems:
                rows += rows_of(problem_lines(problem, width))
            rows += [plain(""), plain(" its text stands below; E opens it in your editor")]
            return Page(self.address, (*rows, *text_rows(file.text)))
        problems = [*file.problems, *review.problems]
        lines = review_lines(review, file.data, problems, look.units, look.now, width)
        return Page(self.address, tuple(_headed(line) for line in lines))


class FileSheet(Sheet):
    """The file of an entry, as it stands on the disk."""

    name = "file"
    keys = (keys.EDITOR,)

    def __init__(self, address: str) -> None:
        self.address = address

    def page(self, look: Look, paper: Paper) -> Page:
        """Every line with its number."""
        return Page(f"{self.address}.toml", text_rows(look.store.read(self.address).text))


def text_rows(text: str) -> tuple[Row, ...]:
    """A file's lines with their numbers, as problems name them."""
    lines = text.replace("\r\n", "\n").split("\n")
    if lines and not lines[-1]:
        lines.pop()
    room = len(str(len(lines)))
    return tuple(plain(f"{number:>{room}}  {line}") for number, line in enumerate(lines, 1))


def _headed(line: str) -> Row:
    if line in ("recorded", "derived", "problems"):
        return plain(line, "head")
    return plain(line, "warn" if line.startswith("  caution: ") else "")
