"""What is to be changed in an entry, and what its data are meant to be afterwards."""

from __future__ import annotations

from collections.abc import Iterable
from copy import deepcopy
from typing import Any, NamedTuple

from fieldbook.errors import FieldbookError
from fieldbook.store.places import Path, dotted


class Change(NamedTuple):
    """One value to be written at a path; None takes away what stands there."""

    path: Path
    value: Any


class Absent:
    """What stands at a path where nothing is written."""


ABSENT = Absent()


def value_at(data: Any, path: Path) -> Any:
    """Give what stands at a path; ABSENT where nothing does."""
    for part in path:
        if isinstance(data, dict) and isinstance(part, str) and part in data:
            data = data[part]
        elif isinstance(data, list) and isinstance(part, int) and 0 < part <= len(data):
            data = data[part - 1]
        else:
            return ABSENT
    return data


def meant(data: dict[str, Any], changes: Iterable[Change]) -> dict[str, Any]:
    """Give the data as they are to be after the changes."""
    result = deepcopy(data)
    for change in changes:
        if change.value is None:
            _take_away(result, change.path)
        else:
            _put(result, change.path, deepcopy(change.value))
    return result


def _take_away(data: Any, path: Path) -> None:
    above = value_at(data, path[:-1])
    if value_at(data, path) is ABSENT:
        return
    if isinstance(path[-1], int):
        del above[path[-1] - 1]
    else:
        del above[path[-1]]


def _put(data: Any, path: Path, value: Any) -> None:
    for index, part in enumerate(path):
        is_last = index == len(path) - 1
        fresh: Any = value if is_last else ([] if isinstance(path[index + 1], int) else {})
        _refuse_other_kind(data, path, index)
        if isinstance(part, int):
            if part == len(data) + 1:
                data.append(fresh)
            elif is_last:
                data[part - 1] = value
            data = data[part - 1]
        else:
            if is_last or part not in data:
                data[part] = fresh
            data = data[part]


def _refuse_other_kind(data: Any, path: Path, index: int) -> None:
    part = path[index]
    above = dotted(path[:index])
    if isinstance(part, int):
        if not isinstance(data, list):
            raise FieldbookError(f"{above} is no list, so it has no item {part}.")
        if not 0 < part <= len(data) + 1:
            raise FieldbookError(
                f"{above} has {len(data)} items; the next one would be {len(data) + 1}."
            )
    elif not isinstance(data, dict):
        raise FieldbookError(f"{above} is no table, so it has no {part}.")


def finer(data: dict[str, Any], change: Change) -> list[Change]:
    """Take the change of a whole table apart, so that what stays the same is not touched."""
    now = value_at(data, change.path)
    if same(now, change.value):
        return []
    if not (isinstance(now, dict) and isinstance(change.value, dict) and now and change.value):
        return [change]
    gone = [Change((*change.path, key), None) for key in now if key not in change.value]
    parts = [Change((*change.path, key), value) for key, value in change.value.items()]
    return gone + [small for part in parts for small in finer(data, part)]


def undoing(data: dict[str, Any], changes: Iterable[Change]) -> tuple[Change, ...]:
    """Give the changes that lead back from after `changes` to `data`."""
    back: list[Change] = []
    for change in changes:
        back.insert(0, _back(data, change.path))
        data = meant(data, [change])
    return tuple(back)


def _back(data: dict[str, Any], path: Path) -> Change:
    for length in range(1, len(path) + 1):
        if value_at(data, path[:length]) is ABSENT:
            return Change(path[:length], None)
    if isinstance(path[-1], int):
        path = path[:-1]  # an item taken away moves those after it
    return Change(path, deepcopy(value_at(data, path)))


def same(one: Any, other: Any) -> bool:
    """Whether two TOML values are the same, kinds included: 1 is not 1.0, nan is nan."""
    if isinstance(one, dict) and isinstance(other, dict):
        return one.keys() == other.keys() and all(same(one[key], other[key]) for key in one)
    if isinstance(one, list) and isinstance(other, list):
        return len(one) == len(other) and all(map(same, one, other))
    return type(one) is type(other) and repr(one) == repr(other)
