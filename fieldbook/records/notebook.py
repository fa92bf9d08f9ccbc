"""A whole notebook, read as it is asked for."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from functools import cached_property
from typing import Protocol, TypeVar

from fieldbook.records.batch import Batch
from fieldbook.records.build import Build
from fieldbook.records.common import Entry
from fieldbook.records.earth import Clay, Mix
from fieldbook.records.firing import Firing
from fieldbook.records.kiln import Kiln
from fieldbook.records.settings import Settings
from fieldbook.records.test import Test

E = TypeVar("E", bound=Entry)


class Watch(Protocol):
    """Is told what of a notebook is looked at."""

    def looked_at(self, address: str, entry: Entry | None, following: datetime | None) -> None:
        """An entry was asked for, or all of a `FOLDER/`; and its first line later than now."""

    def passed(self, moment: datetime, is_past: bool) -> None:
        """A moment was compared with now."""

    def clock(self) -> None:
        """The time itself was asked for."""


KINDS: Mapping[str, type[Entry]] = {
    "clay": Clay,
    "mix": Mix,
    "kiln": Kiln,
    "batch": Batch,
    "firing": Firing,
    "test": Test,
    "build": Build,
}
"""The kinds of entry, by their singular name, in the order the work goes."""

FOLDERS: Mapping[str, str] = {record.folder: kind for kind, record in KINDS.items()}
"""The kind of each folder."""


@dataclass(kw_only=True)
class Notebook:
    """The settings and every entry that can be read; an entry is loaded when first asked for."""

    settings: Settings
    addresses: tuple[str, ...]
    load: Callable[[str], Entry | None] = field(repr=False)
    """Gives the entry at an address, or None where it cannot be read."""
    now: datetime | None = None
    """Log lines later than this are left out."""
    watch: Watch | None = field(default=None, repr=False)
    _entries: dict[str, tuple[Entry | None, datetime | None]] = field(
        default_factory=dict, repr=False
    )
    """Each entry as of now, with the time of its first later line."""

    def entry(self, address: str) -> Entry | None:
        """The entry at `FOLDER/NAME` as of `now`, or None."""
        if address not in self._entries:
            loaded = self.load(address) if address in self._known else None
            self._entries[address] = self._as_of_now(loaded) if loaded else (None, None)
        entry, following = self._entries[address]
        if self.watch is not None:
            self.watch.looked_at(address, entry, following)
        return entry

    @property
    def present(self) -> datetime | None:
        """`now`, for an answer that hangs on the time itself."""
        if self.watch is not None:
            self.watch.clock()
        return self.now

    def is_past(self, moment: datetime) -> bool:
        """Whether a moment has come; always, where the notebook is read as of no moment."""
        is_past = self.now is None or moment <= self.now
        if self.watch is not None:
            self.watch.passed(moment, is_past)
        return is_past

    def known(self, address: str) -> Entry | None:
        """The entry at an address where it was asked for before; nothing is loaded."""
        return self._entries.get(address, (None, None))[0]

    def as_of(self, then: datetime) -> Notebook:
        """The same notebook at an earlier moment."""
        return replace(self, now=then, _entries={})

    @cached_property
    def _known(self) -> frozenset[str]:
        return frozenset(self.addresses)

    @cached_property
    def _in_folders(self) -> dict[str, list[str]]:
        """The addresses of each folder: a kind is asked for far more often than it changes."""
        found: dict[str, list[str]] = {}
        for address in self.addresses:
            found.setdefault(address.partition("/")[0], []).append(address)
        return found

    def _as_of_now(self, entry: Entry) -> tuple[Entry, datetime | None]:
        # Lines of one second are kept apart by thousandths: all of that second are there.
        now = self.now and self.now.replace(microsecond=999_999)
        if now is None or not entry.log or entry.log[-1].at <= now:
            return entry, None
        seen = tuple(line for line in entry.log if line.at <= now)
        following = min(line.at for line in entry.log if line.at > now)
        return replace(entry, log=seen), following

    def of(self, record: type[E]) -> Iterator[E]:
        """Every entry of one kind, by name."""
        if self.watch is not None:
            self.watch.looked_at(f"{record.folder}/", None, None)
        for address in self._in_folders.get(record.folder, ()):
            entry = self.entry(address)
            if isinstance(entry, record):
                yield entry
