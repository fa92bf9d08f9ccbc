"""The newest lines of a log that hold a word, found in its text: a long log is not parsed whole."""

import tomllib
from collections.abc import Iterator, Mapping
from contextlib import suppress
from datetime import datetime
from typing import Any

from fieldbook.lines.limits import Record
from fieldbook.lines.toml_text import key_for, line_for

_LOOKED_AT = 200
"""Lines of a log that are looked at for one question; more hold no news; ours."""
_LONGEST = 8192
"""Bytes of a log line that can matter here; a longer one is a story; ours."""
Line = tuple[datetime, dict[str, Any]]


def end_of(record: Record) -> bytes:
    """The end of a log, with its newest lines; all of it where that is no dearer."""
    recent = getattr(record, "recent", None)
    end: bytes = recent() if recent else record()[1]
    return end


class Grown:
    """What an entry and its log say, with a line that is about to join them."""

    def __init__(self, record: Record, at: datetime, fields: dict[str, Any]) -> None:
        self.record = record
        self.added = f"\n{line_for(key_for(at, None, ()), fields)}\n".encode() if fields else b""

    def __call__(self) -> tuple[Mapping[str, Any], bytes]:
        """What stands before the log, and the text of the log."""
        head, log = self.record()
        return head, log + self.added

    def recent(self) -> bytes:
        """The end of the log."""
        return end_of(self.record) + self.added


def lines(log: bytes, words: tuple[bytes, ...], at: datetime) -> Iterator[Line]:
    """The lines that hold one of the words, from the end of the log; times in the zone of `at`."""
    for line in _texts(log, words):
        with suppress(ValueError, RecursionError):
            ((key, held),) = tomllib.loads(line.decode().strip()).items()
            seen = datetime.fromisoformat(key)
            if isinstance(held, dict):
                yield seen if seen.tzinfo else seen.replace(tzinfo=at.tzinfo), held


def _texts(log: bytes, words: tuple[bytes, ...]) -> Iterator[bytes]:
    """The text of such lines; a long log is searched, not cut into lines."""
    last = {word: log.rfind(word) for word in words}
    for _ in range(_LOOKED_AT):
        found = max(last.values())
        if found < 0:
            return
        begun = log.rfind(b"\n", 0, found) + 1
        line = log[begun : _end(log, found)]
        if len(line) <= _LONGEST:
            yield line
        for word, place in last.items():
            if place >= begun:
                last[word] = log.rfind(word, 0, begun)


def _end(log: bytes, place: int) -> int:
    end = log.find(b"\n", place)
    return len(log) if end < 0 else end


def when(seen: datetime, at: datetime) -> str:
    """The time of day, with the day where that is another than the one of `at`."""
    local = seen.astimezone(at.tzinfo)
    return f"{local:%H:%M}" if local.date() == at.date() else f"{local:%Y-%m-%d %H:%M}"
