"""Where each key of a TOML text stands.

`tomllib` is the judge of what a text says, but it does not tell the lines. This scanner reads a
text that `tomllib` has accepted and tells the line of every key, header and list item.
"""

import re
from collections.abc import Iterator
from functools import lru_cache
from typing import NamedTuple

Path = tuple[str | int, ...]
"""The keys that lead to a value; items of a list are counted from 1."""

_WORD = r"[A-Za-z0-9_-]++"
_BASIC = r'"(?:[^"\\\n]|\\.)*+"'
_LITERAL = r"'[^'\n]*+'"
_PART = rf"(?:{_WORD}|{_BASIC}|{_LITERAL})"
_KEY = rf"{_PART}(?:[ \t]*+\.[ \t]*+{_PART})*+"
_FLAT = rf"(?:[^\"'\[\]{{}}\n#]|{_BASIC}|{_LITERAL})*+"
_ENDS = r"[ \t]*+(?:\#[^\n]*+)?\r?(?:\n|\Z)"

_STATEMENT = re.compile(
    rf"""[ \t]*+(?:
      (?P<blank>(?:\#[^\n]*+)?\r?(?:\n|\Z))
    | (?P<open>\[\[?)[ \t]*+(?P<header>{_KEY})[ \t]*+\]\]?{_ENDS}
    | (?P<key>{_KEY})[ \t]*+=[ \t]*+
      (?P<simple>(?![^\n]*(?:\"\"\"|'''))
        (?:{_BASIC}|{_LITERAL}|\{{{_FLAT}\}}|\[{_FLAT}\]|[^\s\"'\[\]{{}}\#][^\"'\[\]{{}}\n\#]*+)
        {_ENDS})?
    )""",
    re.VERBOSE,
)
_TOKEN = re.compile(
    rf"""(?P<space>(?:[ \t\r\n]|\#[^\n]*+)++)
    | (?P<text>\"\"\"(?:[^\\]|\\.)*?\"\"\"(?:\"\")?(?!\")|\"\"\"(?:[^\\]|\\.)*?\"\"\"\"?(?!\")
      |'''.*?'''(?:'')?(?!')|'''.*?''''?(?!')|{_BASIC}|{_LITERAL})
    | (?P<mark>[\[\]{{}},])
    | (?P<bare>[^\s\"'\[\]{{}},\#]++)""",
    re.VERBOSE | re.DOTALL,
)
_KEY_EQUALS = re.compile(rf"[ \t]*+(?P<key>{_KEY})[ \t]*+=[ \t]*+")
_PARTS = re.compile(_PART)
_ONE_KEY = re.compile(rf"{_KEY}\Z")


class Statement(NamedTuple):
    """A header or a key with its value."""

    kind: str
    """`table`, `array` (a header in double brackets) or `key`."""
    path: Path
    line: int
    start: int
    """Where its first line begins."""
    end: int
    """Where the line after it begins."""


class Layout:
    """The statements of a text in order, and the line of every key."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.statements: list[Statement] = []
        self.lines: dict[Path, int] = {}
        """The line of each path that begins a line or stands in a value of several lines."""
        self._counts: dict[Path, int] = {}
        self._table: Path = ()
        self._scan()

    def line(self, path: Path) -> int | None:
        """Give the line of a path, or of the nearest one above it that is written."""
        while path:
            if path in self.lines:
                return self.lines[path]
            path = path[:-1]
        return None

    def headers(self) -> Iterator[Statement]:
        """The headers in order."""
        return (s for s in self.statements if s.kind != "key")

    def _scan(self) -> None:
        text, position, line = self.text, 0, 1
        while position < len(text):
            match = _STATEMENT.match(text, position)
            if match is None:
                raise ValueError(f"line {line} cannot be scanned")
            if match["blank"] is not None:
                position, line = match.end(), line + 1
                continue
            end = match.end()
            if match["header"] is not None:
                self._header(match, line, position)
            else:
                path = self._key_path(match["key"], self._table, line)
                if match["simple"] is None:
                    end = self._value(path, end, line)
                self.statements.append(Statement("key", path, line, position, end))
            line += text.count("\n", position, end)
            position = end

    def _header(self, match: re.Match[str], line: int, start: int) -> None:
        path: Path = ()
        parts = parts_of(match["header"])
        for index, part in enumerate(parts):
            path += (part,)
            self.lines.setdefault(path, line)
            if path in self._counts and (index < len(parts) - 1 or match["open"] == "["):
                path += (self._counts[path],)
        kind = "table"
        if match["open"] == "[[":
            kind = "array"
            self._counts[path] = self._counts.get(path, 0) + 1
            path += (self._counts[path],)
        # A header may follow its own sub-tables; what it names stands where it stands.
        self.lines[path] = line
        self._table = path
        self.statements.append(Statement(kind, path, line, start, match.end()))

    def _key_path(self, key: str, above: Path, line: int) -> Path:
        for part in parts_of(key):
            above += (part,)
            self.lines.setdefault(above, line)
        return above

    def _value(self, path: Path, position: int, line: int) -> int:
        """Walk over a value of any layout and give the position after its last line."""
        stack: list[_Open] = []
        text = self.text
        while True:
            if stack and stack[-1].is_table and stack[-1].wants_key:
                match = _KEY_EQUALS.match(text, position)
                if match:
                    stack[-1].at = self._key_path(match["key"], stack[-1].path, line)
                    stack[-1].wants_key = False
                    position = match.end()
                    continue
            token = _TOKEN.match(text, position)
            if token is None:
                raise ValueError(f"line {line} cannot be scanned")
            position = token.end()
            if token["space"] is None and token["mark"] not in ("]", "}", ","):
                self._item(stack, line)
            if token["mark"]:
                _step(stack, token["mark"], path)
            line += text.count("\n", token.start(), position)
            if not stack and token["space"] is None:
                newline = text.find("\n", position)
                return newline + 1 if newline >= 0 else len(text)

    def _item(self, stack: "list[_Open]", line: int) -> None:
        """Note the line of a list item that begins here."""
        if stack and not stack[-1].is_table and stack[-1].wants_key:
            stack[-1].count += 1
            stack[-1].at = (*stack[-1].path, stack[-1].count)
            stack[-1].wants_key = False
            self.lines[stack[-1].at] = line


class _Open:
    """A bracket or brace that is still open."""

    __slots__ = ("at", "count", "is_table", "path", "wants_key")

    def __init__(self, path: Path, is_table: bool) -> None:
        self.path = path
        self.is_table = is_table
        self.count = 0
        self.at: Path = path
        self.wants_key = True


def _step(stack: list[_Open], mark: str, path: Path) -> None:
    if mark in "[{":
        stack.append(_Open(stack[-1].at if stack else path, mark == "{"))
    elif mark == ",":
        stack[-1].wants_key = True
    else:
        stack.pop()


def is_key(text: str) -> bool:
    """Whether a text is a key as TOML writes it, dotted or not."""
    return bool(_ONE_KEY.match(text))


def parts_of(key: str) -> list[str]:
    """Take a dotted key as written apart."""
    if "." not in key and '"' not in key and "'" not in key:
        return [key.strip()]
    return [_unquoted(part) for part in _PARTS.findall(key)]


def statement_parts(statement: str) -> list[str]:
    """Give the parts of the key that a `KEY = VALUE` begins with."""
    match = _KEY_EQUALS.match(statement.lstrip(" \t"))
    return parts_of(match["key"]) if match else []


def _unquoted(part: str) -> str:
    if part[0] == "'":
        return part[1:-1]
    if part[0] != '"':
        return part
    if "\\" not in part:
        return part[1:-1]
    import tomllib

    return str(tomllib.loads(f"key = {part}")["key"])


_BARE = re.compile(r"[A-Za-z0-9_-]+\Z")


@lru_cache(4096)
def dotted(path: Path) -> str:
    """Give a path as text: `specimens.3.dry_mass`, parts that need it in quotes."""
    return ".".join(_shown_part(part) for part in path)


def _shown_part(part: str | int) -> str:
    if isinstance(part, int) or _BARE.match(part):
        return str(part)
    from fieldbook.lines.toml_text import text_value

    return text_value(part)
