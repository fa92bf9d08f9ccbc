"""Changes in the text of an entry: only the lines they concern are touched.

A line that holds the changed value is taken out, changed by tomlkit and put back; a new line goes
under its header; a new header goes before the log.
"""

from __future__ import annotations

import re
import tomllib
from typing import Any

import tomlkit
from tomlkit.items import Array, InlineTable, Item

from fieldbook.lines.toml_text import text_value, value_text
from fieldbook.store.change import Change, meant, value_at
from fieldbook.store.places import Layout, Path, Statement, statement_parts


def changed_text(text: str, changes: list[Change]) -> str:
    """Give the text with the changes made; line ends as the text has them."""
    end = "\r\n" if "\r\n" in text else "\n"
    is_open = bool(text) and not text.endswith("\n")
    head, log = _without_log(text + end if is_open else text)
    for change in changes:
        if change.path[0] == "log" or not log:
            head, log = head + log, ""
        head = _Text(head, end, bool(log)).changed(change)
    # A log that was not touched keeps its end as well, a missing newline included.
    return head + log.removesuffix(end) if is_open and log else head + log


def _without_log(text: str) -> tuple[str, str]:
    """Split a text before the header of its log, where that is the last one."""
    headers = list(Layout(text).headers())
    if headers and headers[-1].path == ("log",):
        return text[: headers[-1].start], text[headers[-1].start :]
    return text, ""


class _Text:
    """A text with its layout; each change gives a new text."""

    def __init__(self, text: str, end: str, is_head: bool) -> None:
        self.text = text
        self.end = end
        self.is_head = is_head
        """Whether a log follows that is not part of the text."""
        self.statements = Layout(text).statements

    def changed(self, change: Change) -> str:
        """Make one change."""
        path, value = change
        holder = self._holder(path)
        if holder and holder.path != path:
            return self._within(holder, path, value)
        if holder and value is not None:
            return self._within(holder, path, value)
        inside = [s for s in self.statements if s.path[: len(path)] == path]
        if not inside:
            return self.text if value is None else self._added(path, value)
        if value is not None and inside[0].kind == "array" and isinstance(path[-1], int):
            return self.changed(self._whole_list(change))
        left = self._without(inside)
        if value is None and not self._is_last_of_its_table(path, len(inside)):
            return left
        rest = change if value is not None else Change(path[:-1], _empty(path[-1]))
        return _Text(left, self.end, self.is_head).changed(rest)

    def _is_last_of_its_table(self, path: Path, gone: int) -> bool:
        """Whether a table without a header would go with the last of its keys."""
        beside = [s for s in self.statements if s.path[: len(path) - 1] == path[:-1]]
        return len(path) > 1 and len(beside) == gone

    def _whole_list(self, change: Change) -> Change:
        """Turn the change of one item that has a header of its own into one of the whole list."""
        goal = meant(tomllib.loads(self.text), [change])
        return Change(change.path[:-1], value_at(goal, change.path[:-1]))

    def _holder(self, path: Path) -> Statement | None:
        """Find the line whose value holds what stands at a path."""
        for statement in self.statements:
            if statement.kind == "key" and statement.path == path[: len(statement.path)]:
                return statement
        return None

    def _within(self, holder: Statement, path: Path, value: Any) -> str:
        snippet = self.text[holder.start : holder.end]
        changed = _changed_snippet(snippet, path[len(holder.path) :], value)
        if self.end == "\r\n":
            changed = changed.replace("\r\n", "\n").replace("\n", "\r\n")
        return self.text[: holder.start] + changed + self.text[holder.end :]

    def _without(self, gone: list[Statement]) -> str:
        text = self.text
        for statement in reversed(gone):
            text = text[: statement.start] + text[statement.end :]
        return text

    def _added(self, path: Path, value: Any) -> str:
        """Add a line, under the header nearest above its path."""
        for length in range(len(path) - 1, 0, -1):
            above = path[:length]
            if any(s.path == above and s.kind != "key" for s in self.statements):
                return self._under_header(above, path[length:], value)
            beside = [s for s in self.statements if s.path[:length] == above]
            if beside and isinstance(path[length], int):
                return self._another_item(beside[-1], path, length, value)
            if beside and beside[-1].kind == "key" and self._begins_at(beside[-1]) <= length:
                return self._beside(beside[-1], path, length, value)
        if len(path) > 1 and isinstance(path[1], str):
            return self._new_table(path, value)
        return self._at_top(path, value)

    def _under_header(self, header: Path, rest: Path, value: Any) -> str:
        at, under = 0, False
        indent = ""
        for statement in self.statements:
            if statement.kind != "key":
                under = statement.path == header
            if under:
                at = statement.end
                indent = _indent(self.text[statement.start : statement.end])
        return self._insert(at, indent + _line(rest, value))

    def _begins_at(self, key: Statement) -> int:
        """How much of the path of a key stands in the header above it."""
        return len(key.path) - len(statement_parts(self.text[key.start : key.end]))

    def _beside(self, last: Statement, path: Path, length: int, value: Any) -> str:
        """Add a dotted key after the last one of the same table, which has no header."""
        table = self._begins_at(last)
        key = ".".join(_key(part) for part in path[table : length + 1])
        line = f"{key} = {value_text(_nested(path[length + 1 :], value))}"
        return self._insert(last.end, _indent(self.text[last.start : last.end]) + line)

    def _another_item(self, last: Statement, path: Path, length: int, value: Any) -> str:
        """Add an item to a list whose items have headers of their own."""
        rest = path[length + 1 :]
        item = _nested(rest, value)
        header = ".".join(map(_key, path[:length]))
        lines = [f"[[{header}]]", *(_line((key,), item[key]) for key in item)]
        return self._insert(last.end, *lines, apart=True)

    def _new_table(self, path: Path, value: Any) -> str:
        return self._insert(
            self._before_remarks(len(self.text)),
            f"[{_key(path[0])}]",
            _line(path[1:], value),
            apart=True,
        )

    def _at_top(self, path: Path, value: Any) -> str:
        """Add a line that belongs to no table: after the last of its kind."""
        headers = [s for s in self.statements if s.kind != "key"]
        first = headers[0].start if headers else len(self.text)
        keys = [s for s in self.statements if s.end <= first]
        if keys:
            return self._insert(keys[-1].end, _line(path, value))
        return self._insert(self._after_title(), _line(path, value), "")

    def _after_title(self) -> int:
        """Give the place after the remarks a file begins with and the blank line under them."""
        at = 0
        for line in self.text.splitlines(keepends=True):
            at += len(line)
            if not line.startswith("#"):
                return at if not line.strip() else 0
        return at

    def _before_remarks(self, at: int) -> int:
        """Go back over the remarks that stand right above a header."""
        lines = self.text[:at].splitlines(keepends=True)
        while lines and lines[-1].lstrip(" \t").startswith("#"):
            at -= len(lines.pop())
        return at

    def _insert(self, at: int, *lines: str, apart: bool = False) -> str:
        before, after = self.text[:at], self.text[at:]
        added = "".join(line + self.end for line in lines)
        if apart and before and not before.endswith(("\n\n", "\n\r\n")):
            added = self.end + added
        follows = after or self.is_head
        if apart and follows and not after.startswith(("\n", "\r\n")):
            added += self.end
        return before + added + after


def _empty(part: str | int) -> Any:
    return [] if isinstance(part, int) else {}


def _indent(line: str) -> str:
    return line[: len(line) - len(line.lstrip(" \t"))]


def _nested(path: Path, value: Any) -> Any:
    """Wrap a value into the tables and lists that lead to it."""
    for part in reversed(path):
        value = [value] if isinstance(part, int) else {part: value}
    return value


def _key(part: str | int) -> str:
    """Write a key; one that begins with a digit, such as the name of a brick, in quotes."""
    return str(part) if _PLAIN.match(str(part)) else text_value(str(part))


_PLAIN = re.compile(r"[A-Za-z_][A-Za-z0-9_-]*\Z")


def _line(path: Path, value: Any) -> str:
    return f"{_key(path[0])} = {value_text(_nested(path[1:], value))}"


def _changed_snippet(snippet: str, path: Path, value: Any) -> str:
    """Change a value inside of one `KEY = VALUE`; its remarks and spelling stay."""
    document = tomlkit.parse(snippet)
    keys: Path = (*statement_parts(snippet), *path)
    container: Any = document
    for index, part in enumerate(keys[:-1]):
        if part not in container if isinstance(part, str) else part > len(container):
            if value is not None:
                _set(container, part, _nested(keys[index + 1 :], value))
            return tomlkit.dumps(document)
        container = container[part if isinstance(part, str) else part - 1]
    if value is None:
        _remove(container, keys[-1])
        return _tidy(tomlkit.dumps(document))
    _set(container, keys[-1], value)
    return tomlkit.dumps(document)


def _tidy(text: str) -> str:
    """Take out the second space that a removed key leaves, where no value holds such spaces."""
    tidy = text.replace("{  ", "{ ").replace("  }", " }").replace("{ }", "{}")
    return tidy if tomllib.loads(tidy) == tomllib.loads(text) else text


def _set(container: Any, key: str | int, value: Any) -> None:
    item: Item = tomlkit.value(value_text(value))
    if isinstance(key, int):
        assert isinstance(container, Array)
        if key > len(container):
            container.append(item)
        else:
            container[key - 1] = item
        return
    is_new = key not in container
    # tomlkit gives a new last key no space before the brace, where the others have one.
    roomy = isinstance(container, InlineTable) and container.as_string().endswith(" }")
    container[key] = item
    if is_new and isinstance(container, InlineTable) and (roomy or len(container) == 1):
        item.trivia.trail = " "


def _remove(container: Any, key: str | int) -> None:
    position = key - 1 if isinstance(key, int) else key
    if isinstance(key, int) or key in container:
        del container[position]
