"""The settings when somebody joins a group with a notebook of their own: those of the group stand.

A title, a time zone or a place is the group's to say, and who one is, is one's own affair. What the
entries that are brought along cannot be read without comes with them: local measures, instruments.
"""

from __future__ import annotations

from typing import Any, NamedTuple

from fieldbook.lines.toml_text import value_text
from fieldbook.store.change import ABSENT, Change, same
from fieldbook.store.edit import edited_bytes
from fieldbook.store.names import SETTINGS_FILE
from fieldbook.sync.dropped_fields import Said, said
from fieldbook.sync.merge import DISPUTED

BROUGHT = ("measures", "instruments")
"""What is added to the settings of the group where the group says nothing of it."""


class Settled(NamedTuple):
    """The settings from now on."""

    data: bytes
    gave_way: tuple[str, ...]
    """Settings that the group has otherwise."""


def settled(ours: bytes, theirs: bytes) -> Settled | None:
    """The settings of a notebook that joins a group; None where one side's cannot be read.

    A measure of one name that holds more for one than for the other is disputed like any field:
    entries mean different things by it.
    """
    mine, group = said(ours), said(theirs)
    if mine is None or group is None:
        return None
    brought = _brought(mine, group)
    changes = brought + _disputed(mine, group)
    known = {change.path for change in brought}
    gave_way = [
        ".".join(field)
        for field, value in mine.items()
        if field[0] not in ("maker", "measures", DISPUTED)
        and field not in known
        and not same(value, group.get(field, ABSENT))
    ]
    data = edited_bytes(theirs, SETTINGS_FILE, lambda _: changes).bytes if changes else theirs
    return Settled(data, tuple(gave_way))


def _brought(mine: Said, group: Said) -> list[Change]:
    """Measures and instruments that the group has not.

    An instrument is brought whole or not at all: the step of one scale with the error of another
    would be a scale that nobody has.
    """
    there = {field[:2] for field in group}
    return [
        Change(field, value)
        for field, value in mine.items()
        if field[0] in BROUGHT and field[:2] not in there
    ]


def _disputed(mine: Said, group: Said) -> list[Change]:
    changes = []
    for field, value in mine.items():
        theirs: Any = group.get(field, ABSENT)
        if field[0] == "measures" and theirs is not ABSENT and not same(value, theirs):
            both = sorted((value, theirs), key=value_text)
            changes += [Change(field, both[0]), Change((DISPUTED, ".".join(field)), both)]
    return changes
