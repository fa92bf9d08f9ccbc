"""Three versions of an entry made one, by meaning: observations a union, fields one by one."""

from __future__ import annotations

from difflib import SequenceMatcher
from typing import Any, NamedTuple

from fieldbook.errors import FieldbookError, Problem
from fieldbook.lines.toml_text import text_value, value_text
from fieldbook.store.change import Change, same
from fieldbook.store.edit import edited_bytes
from fieldbook.store.parsing import BOM, NotToml, decode, parse_text
from fieldbook.store.places import Layout, Statement
from fieldbook.sync.log_lines import LogLine, merge_logs, next_free
from fieldbook.sync.remarks import with_remarks
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
    base, ours, theirs = _with_one_end(base, ours, theirs)
    was = version(base, file) if base is not None else Version("", {}, "", {}, b"")
    mine, other = version(ours, file), version(theirs, file)
    head = _merged_head(was, mine, other, file)
    lines = merge_logs(was.log, mine.log, other.log)
    return _joined(mine, head, mine.header or other.header, lines, file, other.mark)


def _with_one_end(
    base: bytes | None, ours: bytes, theirs: bytes
) -> tuple[bytes | None, bytes, bytes]:
    """The same line ends in all three: those of both sides, or else those of the ancestor."""
    is_dos = [data.count(b"\r\n") * 2 > data.count(b"\n") for data in (ours, theirs, base or b"")]
    end = b"\r\n" if is_dos[0] + is_dos[1] + is_dos[2] > 1 else b"\n"
    mine, other, was = (
        data.replace(b"\r\n", b"\n").replace(b"\n", end) for data in (ours, theirs, base or b"")
    )
    return None if base is None else was, mine, other


def _joined(
    mine: Version, head: str, header: str, lines: list[LogLine], file: str, mark: bytes = b""
) -> bytes:
    """The parts of an entry made one, with the line ends of one version."""
    end = "\r\n" if "\r\n" in mine.head + mine.header else "\n"
    if lines or header:
        head = _ended(head, end) + (header or f"{end}[log]{end}")
    text = head + "".join(_ended(line.above + line.text, end) for line in lines)
    _prove(text, lines, file)
    return (mine.mark or mark) + text.encode()


def with_lines(data: bytes, lines: list[LogLine], file: str) -> bytes:
    """An entry with lines added; a key that is taken gives way to the next free one."""
    now = version(data, file)
    log = dict(now.log)
    for line in lines:
        free = line if line.key not in log else line.under(next_free(line.key, log))
        log[free.key] = free
    return _joined(now, now.head, now.header, list(log.values()), file)


def _prove(text: str, lines: list[LogLine], file: str) -> None:
    """The result must parse and hold every line; an odd layout may prevent it."""
    log = parse_text(text).get("log", {})
    if not same(log, {line.key: line.fields.get("", line.fields) for line in lines}):
        raise FieldbookError(
            f"{file} is laid out in a way in which two versions of it cannot be merged\n"
            "    Put [log] last, with one line for each observation, then sync"
        )


def _ended(text: str, end: str) -> str:
    text = text.replace("\r\n", "\n").replace("\n", end)
    return text if not text or text.endswith("\n") else text + end


def version(data: bytes, file: str) -> Version:
    """An entry taken apart.

    Raises:
        FieldbookError: it cannot be read; the message names `file`.
    """
    try:
        text = decode(data)
        parsed = parse_text(text)
    except NotToml as error:
        problem = Problem(file, error.line, error.what, error.remedy)
        raise FieldbookError(str(problem), (problem,)) from error
    mark = BOM if data.startswith(BOM) else b""
    if not isinstance(parsed.get("log"), dict):
        return Version(text, parsed, "", {}, mark)
    return _without_log(text, parsed, parsed.pop("log"), mark)


def log_texts(data: bytes) -> set[str]:
    """The lines of an entry's log as written, without their line ends.

    Raises:
        FieldbookError: the entry cannot be read.
    """
    return {line.text.strip() for line in version(data, "").log.values()}


def _without_log(text: str, data: dict[str, Any], log: Any, mark: bytes) -> Version:
    """Take the statements of the log out of the text; what stands above a line stays with it."""
    statements = Layout(text).statements
    own = [each for each in statements if each.path[0] == "log"]
    headers = [each for each in own if each.kind != "key"]
    if len(headers) != 1 or own[0] is not headers[0] or any(len(e.path) != 2 for e in own[1:]):
        return _written_anew(text, own, data, log, mark)
    head, header = "", ""
    lines: dict[str, LogLine] = {}
    position = 0
    for statement in own:
        before = text[position : statement.start]
        whole = text[statement.start : statement.end]
        if statement.kind == "table":
            head += before
            header = whole
        else:
            header, lines = _take(before, whole, str(statement.path[1]), log, header, lines)
        position = statement.end
    rest = text[position:]
    return Version(head + rest if rest.strip() else head, data, header, lines, mark)


def _written_anew(
    text: str, own: list[Statement], data: dict[str, Any], log: Any, mark: bytes
) -> Version:
    """A log laid out in tables of its own, or in one value: each of its lines as we write them."""
    for statement in reversed(own):
        text = text[: statement.start] + text[statement.end :]
    lines = {
        key: LogLine(
            key,
            value if isinstance(value, dict) else {"": value},
            f"{text_value(key)} = {value_text(value)}\n",
        )
        for key, value in log.items()
    }
    return Version(text, data, "[log]\n", lines, mark)


def _take(
    before: str, whole: str, key: str, log: Any, header: str, lines: dict[str, LogLine]
) -> tuple[str, dict[str, LogLine]]:
    """A log line; remarks above the first stay under the header, others above their line."""
    above = before if before.strip() else ""
    if above and not lines:
        header, above = header + above, ""
    fields = log.get(key)
    fields = fields if isinstance(fields, dict) else {"": fields}
    lines[key] = LogLine(key, fields, whole, above)
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
    more = with_remarks(head, base.head, theirs.head)
    if more != head and _says(more, parse_text(head)):
        head = more
    return head + _table_of_disputed(fresh, head) if fresh else head


def _table_of_disputed(disputed: dict[str, Any], head: str) -> str:
    """A table of its own, last before the log, so that a person sees it."""
    end = "\r\n" if "\r\n" in head else "\n"
    rows = [f"{text_value(path)} = {value_text(both)}" for path, both in disputed.items()]
    is_apart = head.endswith(end + end)  # as it is where the log follows
    gap = "" if not head or is_apart else end if head.endswith("\n") else end + end
    return gap + end.join(["[disputed]", *rows]) + end + (end if is_apart else "")


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
    merged: list[str] = []
    at = 0
    added: tuple[int, tuple[str, ...]] = (-1, ())
    for start, end, lines in sorted({*_edits(was, mine), *_edits(was, other)}):
        if start < at:
            return None
        known = added[1] if added[0] == start == end else ()
        # A remark that both sides added in one place stands once.
        new = [line for line in lines if line not in known or not line.lstrip().startswith("#")]
        merged += was[at:start] + new
        at, added = end, (start, lines)
    return "".join(merged + was[at:])


Edit = tuple[int, int, tuple[str, ...]]
"""From which line to which, and what is to stand there."""


def _edits(was: list[str], now: list[str]) -> list[Edit]:
    matcher = SequenceMatcher(None, was, now, autojunk=False)
    opcodes = matcher.get_opcodes()
    return [(i, j, tuple(now[k:m])) for tag, i, j, k, m in opcodes if tag != "equal"]
