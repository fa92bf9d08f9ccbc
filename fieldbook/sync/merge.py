"""Three versions of an entry made one, by meaning: observations a union, fields one by one."""

from __future__ import annotations

from difflib import SequenceMatcher
from typing import Any, NamedTuple

from fieldbook.errors import FieldbookError, Problem
from fieldbook.lines.toml_text import text_value, value_text
from fieldbook.store.change import Change
from fieldbook.store.edit import edited_bytes
from fieldbook.store.parsing import BOM, NotToml, decode, parse_text
from fieldbook.store.places import Layout
from fieldbook.sync.log_lines import LogLine, merge_logs
from fieldbook.sync.values import Missing, changes_between, merge_values

DISPUTED = "disputed"


class Version(NamedTuple):
    """One version of an entry, its log apart from the rest."""

    head: str
    """The text without the log."""
    data: dict[str, Any]
    """What the head says."""
    header: str
    """The line that begins the log, with what stands above its first line; empty without a log."""
    log: dict[str, LogLine]
    mark: bytes
    """The byte-order mark, where there is one."""


def merge(base: bytes | None, ours: bytes, theirs: bytes, file: str) -> bytes:
    """The merged bytes of an entry; without a common ancestor `base` is None.

    Raises:
        FieldbookError: a version cannot be read, so nothing is merged.
    """
    if theirs in (ours, base):
        return ours
    if ours == base:
        return theirs
    was = _version(base, file) if base is not None else Version("", {}, "", {}, b"")
    mine, other = _version(ours, file), _version(theirs, file)
    head = _merged_head(was, mine, other, file)
    lines = merge_logs(was.log, mine.log, other.log)
    end = "\r\n" if "\r\n" in mine.head + mine.header else "\n"
    if lines or mine.header or other.header:
        head = _ended(head, end) + (mine.header or other.header or f"{end}[log]{end}")
    text = head + "".join(_ended(line.text, end) for line in lines)
    parse_text(text)  # the result must always parse; what does not is a fault of ours
    return (mine.mark or other.mark) + text.encode()


def _ended(text: str, end: str) -> str:
    text = text.replace("\r\n", "\n").replace("\n", end)
    return text if not text or text.endswith("\n") else text + end


def _version(data: bytes, file: str) -> Version:
    try:
        text = decode(data)
        parsed = parse_text(text)
    except NotToml as error:
        problem = Problem(file, error.line, error.what, error.remedy)
        raise FieldbookError(str(problem), (problem,)) from error
    mark = BOM if data.startswith(BOM) else b""
    log = parsed.pop("log", {})
    if not log and "[log]" not in text:
        return Version(text, parsed, "", {}, mark)
    return _without_log(text, parsed, log, mark)


def _without_log(text: str, data: dict[str, Any], log: Any, mark: bytes) -> Version:
    """Take the statements of the log out of the text; what stands above a line stays with it."""
    statements = Layout(text).statements
    head, header = "", ""
    lines: dict[str, LogLine] = {}
    position, last = 0, None
    for statement in statements:
        path = statement.path
        if path and path[0] == "log" and len(path) <= 2:
            before = text[position : statement.start]
            whole = text[statement.start : statement.end]
            if statement.kind == "table":
                head += before
                header = whole
            else:
                header, lines = _take(before, whole, str(path[1]), log, header, lines)
            position, last = statement.end, statement
    head += text[position:]
    if last is not None and not text[position:].strip():
        head = head[: len(head) - len(text[position:])]
    return Version(head, data, header, lines, mark)


def _take(
    before: str, whole: str, key: str, log: Any, header: str, lines: dict[str, LogLine]
) -> tuple[str, dict[str, LogLine]]:
    """A log line; remarks above the first stay under the header, others above their line."""
    if before.strip() and not lines:
        header += before
    fields = log.get(key)
    lines[key] = LogLine(key, fields if isinstance(fields, dict) else {"": fields}, whole)
    return header, lines


def _merged_head(base: Version, ours: Version, theirs: Version, file: str) -> str:
    disputes: dict[tuple[str, ...], list[Any]] = {}
    goal = merge_values(base.data, ours.data, theirs.data, (), disputes)
    if disputes:
        table = dict(goal.get(DISPUTED, {}))
        table.update({".".join(path): values for path, values in disputes.items()})
        goal = {**goal, DISPUTED: table}
    text = _by_lines(base.head, ours.head, theirs.head)
    if text is not None and _says(text, goal):
        return text
    fresh = {} if DISPUTED in ours.data else goal.pop(DISPUTED, {})
    wanted = changes_between(ours.data, goal)
    changes = [Change(path, None if isinstance(v, Missing) else v) for path, v in wanted]
    head = edited_bytes(ours.head.encode(), file, lambda _: changes).bytes.decode()
    return head + _table_of_disputed(fresh, head) if fresh else head


def _table_of_disputed(disputed: dict[str, Any], head: str) -> str:
    """A table of its own, last before the log, so that a person sees it."""
    end = "\r\n" if "\r\n" in head else "\n"
    rows = [f"{text_value(path)} = {value_text(both)}" for path, both in disputed.items()]
    gap = "" if not head or head.endswith("\n") else end
    return gap + end + end.join(["[disputed]", *rows]) + end


def _says(text: str, goal: dict[str, Any]) -> bool:
    try:
        return not changes_between(parse_text(text), goal)
    except NotToml:
        return False


def _by_lines(base: str, ours: str, theirs: str) -> str | None:
    """The three texts merged line by line, as long as no place changed on both sides."""
    if ours == base or theirs in (base, ours):
        return theirs if ours == base else ours
    was, mine, other = (text.splitlines(keepends=True) for text in (base, ours, theirs))
    edits = sorted([*_edits(was, mine), *_edits(was, other)])
    merged: list[str] = []
    at = 0
    for start, end, lines in edits:
        if start < at:
            return None
        merged += was[at:start] + lines
        at = end
    return "".join(merged + was[at:])


def _edits(was: list[str], now: list[str]) -> list[tuple[int, int, list[str]]]:
    matcher = SequenceMatcher(None, was, now, autojunk=False)
    return [(i, j, now[k:m]) for tag, i, j, k, m in matcher.get_opcodes() if tag != "equal"]
