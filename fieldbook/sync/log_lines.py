"""The log lines of three versions made one: a union by time and content."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import UTC, timedelta
from typing import Any, NamedTuple

from fieldbook.errors import FieldbookError
from fieldbook.lines.toml_text import key_for, read_key


class LogLine(NamedTuple):
    """One line of a log: its key, what it says, and its text as written."""

    key: str
    fields: Mapping[str, Any]
    text: str
    above: str = ""
    """The remarks that stand above it."""

    def under(self, key: str) -> LogLine:
        """The same line under another key."""
        value = self.text.partition("=")[2] if "=" not in self.key else ""
        if not value:
            raise FieldbookError(f'the line "{self.key}" cannot be given another time')
        return LogLine(key, self.fields, f'"{key}" ={value}', self.above)


Log = Mapping[str, LogLine]


def merge_logs(base: Log, ours: Log, theirs: Log) -> list[LogLine]:
    """All lines of both sides: those of the ancestor in its order, then what came since by key."""
    kept: dict[str, LogLine] = {}
    second: list[LogLine] = []
    for key, line in base.items():
        _merge_old(line, ours.get(key), theirs.get(key), kept, second)
    added = {key for side in (ours, theirs) for key in side if key not in base}
    for key in sorted(added):
        _merge_new(ours.get(key), theirs.get(key), kept, second)
    _drop_doubles(kept, ours, theirs, added)
    for line in sorted(second, key=lambda line: line.text):
        moved = line.under(next_free(line.key, kept))
        kept[moved.key] = moved
    return list(kept.values())


def _merge_old(
    was: LogLine,
    ours: LogLine | None,
    theirs: LogLine | None,
    kept: dict[str, LogLine],
    second: list[LogLine],
) -> None:
    """A line of the ancestor: changed on one side it is that; deleted against changed, it stays."""
    changed = [side for side in (ours, theirs) if side is not None and side.fields != was.fields]
    if len(changed) == 2 and changed[0].fields != changed[1].fields:
        first, other = sorted(changed, key=lambda line: line.text)
        kept[was.key] = first
        second.append(other)
    elif changed:
        kept[was.key] = changed[0]
    elif ours is not None and theirs is not None:
        kept[was.key] = ours


def _merge_new(
    ours: LogLine | None, theirs: LogLine | None, kept: dict[str, LogLine], second: list[LogLine]
) -> None:
    sides = [side for side in (ours, theirs) if side is not None]
    if len(sides) == 2 and sides[0].fields != sides[1].fields:
        first, other = sorted(sides, key=lambda line: line.text)
        kept[first.key] = first
        second.append(other)
    else:
        kept[sides[0].key] = min(sides, key=lambda line: line.text)


def _drop_doubles(kept: dict[str, LogLine], ours: Log, theirs: Log, added: Iterable[str]) -> None:
    """A line added on both sides within one second with the same content is one observation."""
    mine = [ours[key] for key in sorted(added) if key in ours and key not in theirs]
    others = [theirs[key] for key in sorted(added) if key in theirs and key not in ours]
    for line in mine:
        for other in others:
            if line.fields == other.fields and _within_a_second(line.key, other.key):
                if line.key in kept and other.key in kept:
                    del kept[max(line.key, other.key)]
                break


def _within_a_second(one: str, other: str) -> bool:
    try:
        apart = read_key(one, UTC) - read_key(other, UTC)
    except FieldbookError:
        return False
    return abs(apart) < timedelta(seconds=1)


def next_free(key: str, taken: Mapping[str, LogLine]) -> str:
    """The next free millisecond after a key; of a key that is no time, the next free number."""
    try:
        at = read_key(key, UTC)
    except FieldbookError:
        number = 2
        while f"{key} {number}" in taken:
            number += 1
        return f"{key} {number}"
    offset = at.tzinfo
    free = at + timedelta(milliseconds=1)
    while (found := key_for(free, offset, taken)) in taken or found == key:
        free += timedelta(milliseconds=1)
    return found
