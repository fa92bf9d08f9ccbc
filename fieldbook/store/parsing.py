"""Bytes of a file to TOML data; where that fails, at which line and column, and what to do."""

import re
import tomllib
from typing import Any

from fieldbook.errors import FieldbookError
from fieldbook.store.names import shown

BOM = b"\xef\xbb\xbf"
MOST_DOTS = 100
"""A dotted key of more parts is refused: reading one takes a time that grows with its square."""

_PART = r"(?:[A-Za-z0-9_-]++|\"(?:[^\"\\\n]|\\.)*+\"|'[^'\n]*+')"
_CONFLICT = re.compile(rb"^(?:<{7}|={7}|>{7}|\|{7})(?:[ \r].*)?$", re.MULTILINE)
_PLACE = re.compile(r" \(at (?:line (\d+), column (\d+)|(end of document))\)$")


class NotToml(FieldbookError):
    """A file that cannot be read as TOML, with the place and the way out."""

    def __init__(self, what: str, remedy: str, line: int | None = None, column: int = 0) -> None:
        at = f" at column {column}" if column else ""
        self.what = f"cannot be read{at}: {what}"
        self.remedy = remedy
        self.line = line
        self.column = column
        super().__init__(f"{self.what}\n    {remedy}")


def parse(data: bytes) -> dict[str, Any]:
    """Read the bytes of a TOML file."""
    return parse_text(decode(data), data)


def decode(data: bytes) -> str:
    """Give the text of a file, without a byte-order mark, its line ends as they are."""
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line, column = _place(data, error.start + (3 if data.startswith(BOM) else 0))
        if b"\0" in data:
            raise _binary(data) from error
        raise NotToml(
            f"byte 0x{data[error.start]:02x} is not UTF-8; the file was saved in another encoding",
            "Save it as UTF-8 in the editor, or: iconv -f latin1 -t utf-8 OLD > NEW",
            line,
            column,
        ) from error
    if "\0" in text:
        raise _binary(data)
    return text


def _binary(data: bytes) -> NotToml:
    line, column = _place(data, data.index(b"\0"))
    return NotToml(
        "it holds NUL bytes, so it is not a text file",
        "Put back a good copy, or move it out of the notebook.",
        line,
        column,
    )


def parse_text(text: str, data: bytes | None = None) -> dict[str, Any]:
    """Read the text of a TOML file; `data` are its bytes, where they are at hand."""
    if text.count(".") > MOST_DOTS:
        _refuse_long_keys(text)
    try:
        return tomllib.loads(text)
    except RecursionError as error:
        raise NotToml(
            "brackets are nested too deep", "Delete the brackets.", _deepest_line(text)
        ) from error
    except ValueError as error:
        raise _explained(str(error), text, data) from error


def _refuse_long_keys(text: str) -> None:
    pattern = rf"^[ \t]*\[*[ \t]*(?:{_PART}[ \t]*\.[ \t]*){{{MOST_DOTS}}}"
    inside = rf"[{{,][ \t]*(?:{_PART}[ \t]*\.[ \t]*){{{MOST_DOTS}}}"
    for expression in (pattern, inside):
        if match := re.search(expression, text, re.MULTILINE):
            raise NotToml(
                f"a key has more than {MOST_DOTS} parts",
                "Delete the key.",
                text.count("\n", 0, match.end()) + 1,
            )


def _deepest_line(text: str) -> int:
    lines = text.split("\n")
    return max(range(len(lines)), key=lambda n: lines[n].count("[") + lines[n].count("{")) + 1


def conflict_line(data: bytes) -> int | None:
    """Give the line of the first mark that a failed merge left, if there is one."""
    if not (b"<" in data and b"<<<<<<<" in data) and not (b">" in data and b">>>>>>>" in data):
        return None  # a single byte is looked for ten times as fast
    match = _CONFLICT.search(data)
    return data.count(b"\n", 0, match.start()) + 1 if match else None


def has_conflict(line: int) -> NotToml:
    """Say that a merge left its marks from `line` on."""
    return NotToml(
        "two versions were merged and the conflict marks still stand",
        "Keep the lines that are right and delete the lines with <<<<<<<, ======= and >>>>>>>.",
        line,
        1,
    )


def _explained(message: str, text: str, data: bytes | None) -> NotToml:
    marked = conflict_line(text.encode("utf-8", "surrogatepass") if data is None else data)
    if marked:
        return has_conflict(marked)
    match = _PLACE.search(message)
    line, column = None, 0
    if match and match[3]:
        line = text.rstrip("\n").count("\n") + 1
    elif match:
        line, column = int(match[1]), int(match[2])
    elif digits := re.search(r"\d{4000}", text):
        line = text.count("\n", 0, digits.start()) + 1
        message = "a number has thousands of digits"
    what = shown(_PLACE.sub("", message))
    return NotToml(what[:1].lower() + what[1:], _remedy(message), line, column)


_REMEDIES = (
    ("overwrite a value", "Two lines have the same key: delete or rename one of them."),
    ("Duplicate", "A key stands there twice: delete or rename one of them."),
    ("twice", "Two headers have the same name: put their lines under one of them."),
    ("expand", "A key is written in two ways: put its lines under one header."),
    ("mutate", "A key is written in two ways: put its lines under one header."),
    ("Unclosed array", "Close the bracket: ]"),
    ("Unclosed inline table", "Close the brace on the same line: }"),
    ("Unterminated string", 'Close the text with a quote: "'),
    ("Illegal character '\\n'", 'Close the text with a quote on the same line: "'),
    ("Expected '='", 'Write KEY = VALUE, or a note as note = "…", or a remark after #.'),
    ("Invalid value", 'Write text in quotes, such as "8 %" or "oak"; a number without.'),
    ("initial character for a key", 'Write KEY = VALUE, or a note as note = "…".'),
    ("newline or end of document", "Put each key on a line of its own, and text in quotes."),
    ("Invalid date", "Write a date that exists, such as 2026-05-03."),
    ("escape", "Write \\\\ for a backslash, or put the text in single quotes: '…'"),
    ("Unescaped", "Write \\\\ for a backslash, or put the text in single quotes: '…'"),
)


def _remedy(message: str) -> str:
    for part, remedy in _REMEDIES:
        if part in message:
            return remedy
    return "Put the line right, or put a # before it."


def _place(data: bytes, at: int) -> tuple[int, int]:
    start = data.rfind(b"\n", 0, at) + 1
    return data.count(b"\n", 0, at) + 1, at - start + 1
