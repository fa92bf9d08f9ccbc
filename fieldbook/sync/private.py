"""What a maker keeps to themselves: entries, and fields, that never leave the folder.

An entry with `private = true` is not kept in the history at all. Of one with a list of fields the
history has the rest; git's own `add` leaves the fields out as well, by a filter set up here, and
lays them out again from what it left out.
"""

from __future__ import annotations

import re
from typing import Any

from fieldbook.errors import FieldbookError
from fieldbook.store.change import ABSENT, Change, value_at
from fieldbook.store.edit import edited_bytes
from fieldbook.store.names import SETTINGS_FILE
from fieldbook.store.parsing import NotToml, parse

COORDINATES = ("site.latitude", "site.longitude")
"""Of the settings these are private, unless `private` there says otherwise."""
_SAYS_SO = re.compile(rb"^[ \t]*private[ \t]*=", re.MULTILINE)


def private_fields(path: str, data: bytes) -> tuple[str, ...] | None:
    """The fields that are kept back, by dotted path; None where all of the entry is."""
    is_settings = path == SETTINGS_FILE
    if not is_settings and b"private" not in data:
        return ()
    try:
        said = parse(data).get("private", list(COORDINATES) if is_settings else [])
    except (NotToml, FieldbookError):
        return None if is_settings or _SAYS_SO.search(data) else ()
    if isinstance(said, list) and all(isinstance(each, str) for each in said):
        return None if any(each.partition(".")[0] == "log" for each in said) else tuple(said)
    return () if said is False else None


def shared_part(path: str, data: bytes) -> bytes:
    """An entry without its private fields: what the history has of it.

    Raises:
        FieldbookError: they cannot be taken out.
    """
    changes = [Change(field, None) for field, _ in _kept_back(path, data)]
    return edited_bytes(data, path, lambda _: changes).bytes if changes else data


def with_private(path: str, data: bytes, here: bytes | None) -> bytes:
    """An entry as it came, with the private fields that stand in the one that is here.

    What was private here stays so, whatever the entry that came says of it.
    """
    kept = _kept_back(path, here) if here is not None else []
    changes = [Change(*each) for each in kept]
    still = private_fields(path, data) or ()
    names = [".".join(field) for field, _ in kept]
    if any(name not in still for name in names):
        changes.append(Change(("private",), list(dict.fromkeys([*still, *names]))))
    return edited_bytes(data, path, lambda _: changes).bytes if changes else data


def _kept_back(path: str, data: bytes) -> list[tuple[tuple[str, ...], Any]]:
    """The private fields that are written, each with its value."""
    fields = private_fields(path, data)
    if not fields:
        return []
    read = parse(data)
    parts = [tuple(field.split(".")) for field in fields]
    found = [(part, value_at(read, part)) for part in parts if part[0] != "private"]
    return [(part, value) for part, value in found if value is not ABSENT]
