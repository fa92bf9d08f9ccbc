"""Whose an entry is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from fieldbook.records import Entry


class Makers(NamedTuple):
    """Whose each entry is: as written in it, else who began it."""

    me: str
    begun: Mapping[str, str]
    """Who began each entry, by its address."""

    def of(self, entry: Entry) -> str:
        """Whose an entry is; one that no history knows yet is one's own."""
        return entry.maker or self.begun.get(entry.address, self.me)

    def is_mine(self, entry: Entry) -> bool:
        """Whether it is one's own."""
        return self.of(entry).casefold() == self.me.casefold()


def with_makers(names: Sequence[str], entries: Sequence[Entry], makers: Makers) -> list[str]:
    """Names of entries, each with its maker where they are of several."""
    whose = [makers.of(entry) for entry in entries]
    if len({maker.casefold() for maker in whose}) < 2:
        return list(names)
    return [f"{n} ({maker})" if maker else n for n, maker in zip(names, whose, strict=True)]
