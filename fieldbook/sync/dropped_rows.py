"""Specimens and marked bricks that a merge dropped: one line each, as observations are."""

from __future__ import annotations

from collections.abc import Container, Iterable
from typing import Any

from fieldbook.errors import FieldbookError
from fieldbook.store.change import Change
from fieldbook.store.edit import edited_bytes
from fieldbook.store.parsing import parse
from fieldbook.sync.objects import Objects

TABLES = ("specimens", "marked", "bars")
Row = tuple[str, str]
"""A table, and the name of a row in it."""


def rows(data: bytes | None) -> dict[Row, Any]:
    """The rows of an entry; none where it cannot be read."""
    if not data or not any(name.encode() in data for name in TABLES):
        return {}
    try:
        read = parse(data)
    except FieldbookError:
        return {}
    tables = {name: read[name] for name in TABLES if isinstance(read.get(name), dict)}
    return {(name, row): value for name, table in tables.items() for row, value in table.items()}


def lacking(
    objects: Objects, merged: str, parents: Iterable[str], bases: Iterable[str], path: str
) -> dict[Row, Any]:
    """The rows that a merge has not, though a parent had them and none took them away."""
    sides = [rows(objects.read(f"{parent}:{path}")) for parent in parents]
    was = {row for base in bases for row in rows(objects.read(f"{base}:{path}"))}
    has = rows(objects.read(f"{merged}:{path}"))
    wanted = {row: value for side in sides for row, value in side.items()}
    return {
        row: value
        for row, value in wanted.items()
        if row not in has and (row not in was or all(row in side for side in sides))
    }


def with_rows(now: bytes, path: str, missing: dict[Row, Any], since: Container[Row]) -> bytes:
    """An entry with the rows that are missing, but those that were there again and taken away."""
    there = rows(now)
    changes = [
        Change(row, value)
        for row, value in missing.items()
        if row not in there and row not in since
    ]
    return edited_bytes(now, path, lambda _: changes).bytes if changes else now
