"""Fields that a merge dropped: one side alone set them, and in the merge they are as before.

A field that both sides set is no such case: whoever kept one of the two has decided.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from copy import deepcopy
from functools import lru_cache
from typing import Any

from fieldbook.errors import FieldbookError
from fieldbook.store.change import ABSENT, Change, meant, same, value_at
from fieldbook.store.edit import edited_bytes
from fieldbook.store.parsing import parse
from fieldbook.sync.dropped_rows import TABLES
from fieldbook.sync.merge import DISPUTED
from fieldbook.sync.objects import Objects, descendants
from fieldbook.sync.values import Missing, changes_between

Field = tuple[str, ...]
Said = Mapping[Field, Any]


@lru_cache(maxsize=64)
def said(data: bytes | None) -> Said | None:
    """Every field of an entry, its log left out; None where it cannot be read or is not there."""
    if data is None:
        return None
    try:
        read = parse(data)
    except FieldbookError:
        return None
    read.pop("log", None)
    return dict(_leaves(read, ()))


def _leaves(data: Mapping[str, Any], path: Field) -> Iterator[tuple[Field, Any]]:
    for key, value in data.items():
        if isinstance(value, Mapping) and value:
            yield from _leaves(value, (*path, key))
        else:
            yield (*path, key), value


def dropped(
    was: bytes | None, ours: bytes | None, theirs: bytes | None, merged: bytes | None
) -> dict[Field, Any]:
    """What one side alone set and the merge has as it was: each field with the value it is to have.

    ABSENT stands for a field that the side took away.
    """
    before, mine, other, now = map(said, (was, ours, theirs, merged))
    if before is None or mine is None or other is None or now is None:
        return {}
    found = {}
    for field in dict.fromkeys([*before, *mine, *other]):
        old, here, there, kept = (side.get(field, ABSENT) for side in (before, mine, other, now))
        is_set = not same(old, here), not same(old, there)
        if not same(old, kept) or is_set[0] == is_set[1]:
            continue
        side = mine if is_set[0] else other
        if not (_is_of_row(field, side, now) or _is_newly_disputed(field, before, now)):
            found[field] = side.get(field, ABSENT)
    return found


def _is_of_row(field: Field, side: Said, merged: Said) -> bool:
    """Whether a whole row came or went: those are looked after as observations are."""
    if field[0] not in TABLES or len(field) < 2:
        return False
    return not all(any(each[:2] == field[:2] for each in of) for of in (side, merged))


def _is_newly_disputed(field: Field, before: Said, merged: Said) -> bool:
    about = _dispute(field)
    return not same(before.get(about, ABSENT), merged.get(about, ABSENT)) and about in merged


def _dispute(field: Field) -> Field:
    """Where both values of a field stand, while it is disputed."""
    return field if field[0] == DISPUTED else (DISPUTED, ".".join(field))


def later(objects: Objects, merged: str, head: str, names: Iterable[str]) -> list[Said]:
    """What some files said at the moments after a merge that came from it and touched them."""
    found = (
        said(objects.read(f"{moment}:{name}"))
        for moment in descendants(objects, merged, head, names)
        for name in names
    )
    return [each for each in found if each is not None]


def with_fields(
    now: bytes, path: str, missing: Mapping[Field, Any], merged: Said, since: Iterable[Said]
) -> bytes:
    """An entry with the fields that a merge dropped, but those that were changed after it.

    Args:
        now: the entry as it stands.
        path: its name.
        missing: as `dropped` gives them.
        merged: what the merge says.
        since: what the entry said at the moments after it.
    """
    here = said(now)
    if here is None:
        return now
    moments = [here, *since]
    wanted = {f: value for f, value in missing.items() if _stands(f, merged, moments)}
    if not wanted:
        return now
    data = parse(now)
    changes = changes_between(data, _meant(data, wanted))
    edits = [Change(field, None if isinstance(v, Missing) else v) for field, v in changes]
    return edited_bytes(now, path, lambda _: edits).bytes


def _stands(field: Field, merged: Said, moments: Iterable[Said]) -> bool:
    """Whether nobody touched a field since the merge, nor the dispute about it."""
    if field[0] == DISPUTED and len(field) > 1:
        about = [field, tuple(field[1].split("."))]
    else:
        about = [field, _dispute(field)]
    return all(
        same(merged.get(each, ABSENT), moment.get(each, ABSENT))
        for each in about
        for moment in moments
    )


def _meant(data: dict[str, Any], wanted: Mapping[Field, Any]) -> dict[str, Any]:
    """The data with the fields as wanted; a table that is empty by that goes too."""
    goal = deepcopy(data)
    for field in (field for field, value in wanted.items() if value is ABSENT):
        for length in range(len(field), 0, -1):
            if length == len(field) or value_at(goal, field[:length]) == {}:
                goal = meant(goal, [Change(field[:length], None)])
    return meant(goal, [Change(f, value) for f, value in wanted.items() if value is not ABSENT])
