"""Three versions of the same data made one: what changed on one side, what on both."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from fieldbook.lines.toml_text import value_text

Path = tuple[str, ...]


class Missing:
    """Stands for a key that is not there."""

    def __repr__(self) -> str:
        return "missing"


MISSING = Missing()


def merge_values(
    base: Any, ours: Any, theirs: Any, path: Path, disputes: dict[Path, list[Any]]
) -> Any:
    """One value from three. Different keys changed on both sides both stay.

    A value changed differently on both sides is disputed: both are kept in `disputes`, and the one
    in force follows from the two values alone, so that either side comes to the same.
    A deletion against a change keeps the change.
    """
    if _same(ours, theirs) or _same(base, theirs):
        return ours
    if _same(base, ours):
        return theirs
    if isinstance(ours, Missing):
        return theirs
    if isinstance(theirs, Missing):
        return ours
    if isinstance(ours, Mapping) and isinstance(theirs, Mapping):
        was = base if isinstance(base, Mapping) else {}
        return _merge_tables(was, ours, theirs, path, disputes)
    chosen = sorted((ours, theirs), key=value_text)
    disputes[path] = chosen
    return chosen[0]


def _merge_tables(
    base: Mapping[str, Any],
    ours: Mapping[str, Any],
    theirs: Mapping[str, Any],
    path: Path,
    disputes: dict[Path, list[Any]],
) -> dict[str, Any]:
    merged = {}
    for key in dict.fromkeys([*ours, *theirs]):
        was, mine, other = (side.get(key, MISSING) for side in (base, ours, theirs))
        value = merge_values(was, mine, other, (*path, key), disputes)
        if not isinstance(value, Missing):
            merged[key] = value
    return merged


def _same(one: Any, other: Any) -> bool:
    """Equal in type and value: `1`, `1.0` and `true` are three things."""
    if isinstance(one, Mapping) and isinstance(other, Mapping):
        return one.keys() == other.keys() and all(_same(one[key], other[key]) for key in one)
    if isinstance(one, list) and isinstance(other, list):
        return len(one) == len(other) and all(map(_same, one, other))
    return type(one) is type(other) and bool(one == other)


def changes_between(
    before: Mapping[str, Any], after: Mapping[str, Any], path: Path = ()
) -> list[tuple[Path, Any]]:
    """The fields that differ, each with its value in `after` or MISSING."""
    found: list[tuple[Path, Any]] = []
    for key in dict.fromkeys([*before, *after]):
        old, new = before.get(key, MISSING), after.get(key, MISSING)
        if _same(old, new):
            continue
        if isinstance(old, Mapping) and isinstance(new, Mapping):
            found += changes_between(old, new, (*path, key))
        else:
            found.append(((*path, key), new))
    return found
