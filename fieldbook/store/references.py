"""Which entries an entry names, and where."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, NamedTuple

from fieldbook.records import Entry, specs
from fieldbook.store.places import Path, dotted
from fieldbook.store.reading import attributes


class Reference(NamedTuple):
    """One field that names another entry."""

    path: Path
    folders: tuple[str, ...]
    """Where the entry may be."""
    name: str
    line: int | None

    @property
    def field(self) -> str:
        """The field as a message names it."""
        return dotted(self.path[2:] if self.path[0] == "log" else self.path)

    def is_to(self, address: str) -> bool:
        """Whether this may mean the entry at `address`."""
        folder, _, name = address.partition("/")
        return name == self.name and folder in self.folders


def references(entry: Entry) -> Iterator[Reference]:
    """Every reference an entry makes, in its fields and its log."""
    for path, folders, name in _walk(entry, ()):
        yield Reference(path, folders, name, entry.lines_of.get(dotted(path)))
    for line in entry.log:
        number = line.where.rpartition(":")[2]
        for path, folders, name in _walk(line, ("log", line.key)):
            yield Reference(path, folders, name, int(number) if number.isdecimal() else None)


def _walk(record: Any, above: Path) -> Iterator[tuple[Path, tuple[str, ...], str]]:
    kind: type = type(record)
    names = attributes(kind)
    for key, spec in specs(kind).items():
        value = getattr(record, names[key])
        path = (*above, key)
        if not value:
            continue
        if spec.holds == "name":
            yield path, tuple(spec.refers.split()), value
        elif spec.holds == "table":
            yield from _walk(value, path)
        elif spec.holds == "rows":
            for name, row in value.items():
                yield from _walk(row, (*path, name))
        elif spec.holds == "items":
            for number, item in enumerate(value, 1):
                yield from _walk(item, (*path, number))
