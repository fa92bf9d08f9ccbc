"""A whole notebook, read as it is asked for."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import TypeVar

from fieldbook.records.batch import Batch
from fieldbook.records.build import Build
from fieldbook.records.common import Entry
from fieldbook.records.earth import Clay, Mix
from fieldbook.records.firing import Firing
from fieldbook.records.kiln import Kiln
from fieldbook.records.settings import Settings
from fieldbook.records.test import Test

E = TypeVar("E", bound=Entry)

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
    _entries: dict[str, Entry | None] = field(default_factory=dict, repr=False)

    def entry(self, address: str) -> Entry | None:
        """The entry at `FOLDER/NAME` as of `now`, or None."""
        if address not in self._entries:
            loaded = self.load(address) if address in self.addresses else None
            self._entries[address] = loaded and self._as_of_now(loaded)
        return self._entries[address]

    def _as_of_now(self, entry: Entry) -> Entry:
        if self.now is None or not entry.log or entry.log[-1].at <= self.now:
            return entry
        return replace(entry, log=tuple(line for line in entry.log if line.at <= self.now))

    def of(self, record: type[E]) -> Iterator[E]:
        """Every entry of one kind, by name."""
        for address in self.addresses:
            if address.startswith(f"{record.folder}/"):
                entry = self.entry(address)
                if isinstance(entry, record):
                    yield entry
