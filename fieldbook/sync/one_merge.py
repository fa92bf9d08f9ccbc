"""One merge in view: its two sides, what it made of them, and what became of that since."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC
from typing import NamedTuple

from fieldbook.errors import FieldbookError
from fieldbook.lines.toml_text import read_key, value_text
from fieldbook.sync.log_lines import LogLine
from fieldbook.sync.merge import version
from fieldbook.sync.merging import Parted
from fieldbook.sync.objects import New, Objects, descendants

Seen = tuple[str, str]
"""One observation: its second, and what it says."""


class Merge(NamedTuple):
    """A moment at which two came together."""

    commit: str
    parents: tuple[str, str]


class View(NamedTuple):
    """One merge in view: what came together in it, and what is to be otherwise."""

    objects: Objects
    merge: Merge
    way: Parted
    bases: list[str]
    renamed: tuple[dict[str, str], dict[str, str]]
    """What each parent renamed since they parted."""
    head: str
    found: dict[str, New]

    @property
    def merged(self) -> str:
        """The moment of the merge."""
        return self.merge.commit

    def at(self, moment: str, path: str) -> bytes | None:
        """An entry as it was at a moment; None where it was not there."""
        return self.objects.read(f"{moment}:{path}")

    def sides(self, *names: str) -> tuple[bytes | None, bytes | None]:
        """An entry as both parents have it; under one name, or one for each."""
        ours, theirs = self.merge.parents
        return self.at(ours, names[0]), self.at(theirs, names[-1])

    def names(self, path: str) -> tuple[str, str]:
        """What both parents call an entry."""
        mine, others = self.renamed
        return mine.get(path, path), others.get(path, path)

    def now(self, path: str) -> bytes | None:
        """An entry as it stands, or is to be already."""
        known = self.found.get(path)
        return known if isinstance(known, bytes) else self.at(self.head, path)

    def is_unreadable_now(self, path: str) -> bool:
        """Whether an entry is there now, and cannot be read."""
        now = self.now(path)
        return now is not None and is_unreadable(now)

    def change(self, path: str, how: Callable[[bytes], bytes]) -> None:
        """Change an entry that can be read, as it stands or is to be already."""
        now = self.now(path)
        if now is not None and not is_unreadable(now) and (data := how(now)) != now:
            self.found[path] = data

    def since(self, *names: str) -> list[str]:
        """The moments after the merge that came from it and touched some files."""
        return descendants(self.objects, self.merged, self.head, names)


def lines(data: bytes | None) -> dict[Seen, LogLine]:
    """The observations of an entry; none where it cannot be read."""
    try:
        log = version(data, "").log if data else {}
    except FieldbookError:
        return {}
    return {(second(line.key), value_text(line.fields)): line for line in log.values()}


def second(key: str) -> str:
    """The second a key of a log stands for, in world time; the key itself where it is no time."""
    try:
        return read_key(key, UTC).astimezone(UTC).isoformat(" ", "seconds")
    except FieldbookError:
        return key


def is_unreadable(data: bytes) -> bool:
    """Whether an entry cannot be read."""
    try:
        version(data, "")
    except FieldbookError:
        return True
    return False
