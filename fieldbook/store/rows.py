"""Changing fields of an entry: by path, a row of a table, what came out of a firing."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from fieldbook.errors import FieldbookError
from fieldbook.store.append import Saved
from fieldbook.store.change import ABSENT, Change, same, value_at
from fieldbook.store.edit import edit, refuse_if_changed
from fieldbook.store.places import dotted


def set_changes(
    notebook: str, address: str, changes: list[Change], seen: Mapping[str, Any] | None = None
) -> Saved:
    """Make changes to an entry. `seen` are its data as the person had them in view.

    Raises:
        FieldbookError: a field is not any more as it was seen; both are kept.
    """

    def decide(data: dict[str, Any]) -> list[Change]:
        for change in changes if seen is not None else ():
            refuse_if_changed(data, dict(seen or {}), change.path)
        return [*changes, *_settled(data, changes)]

    return edit(notebook, address, decide)


def _settled(data: Mapping[str, Any], changes: list[Change]) -> list[Change]:
    """A field that two makers set differently is settled by whoever sets it."""
    disputed = data.get("disputed")
    if not isinstance(disputed, Mapping):
        return []
    paths = [".".join(map(str, change.path)) for change in changes]
    settled = [path for path in dict.fromkeys(paths) if path in disputed]
    if settled and len(settled) == len(disputed):
        return [Change(("disputed",), None)]
    return [Change(("disputed", path), None) for path in settled]


def set_row(
    notebook: str, address: str, table: str, name: str, fields: Mapping[str, object]
) -> Saved:
    """Set fields of one row of a table, such as a specimen; the row is made where it is not."""
    changes = [Change((table, name, field), value) for field, value in fields.items()]
    return edit(notebook, address, lambda _: changes)


def set_unloaded(notebook: str, address: str, fields: Mapping[str, object]) -> Saved:
    """Set what came out of a firing, in the item of the same batch and place or in a new one."""

    def decide(data: dict[str, Any]) -> list[Change]:
        items = data.get("unloaded", [])
        if not isinstance(items, list):
            raise FieldbookError("unloaded is no list here; put it right in an editor.")
        number = next((n for n, item in enumerate(items, 1) if _fits(item, fields)), None)
        if number is None:
            return [Change(("unloaded", len(items) + 1), dict(fields))]
        return [Change(("unloaded", number, field), value) for field, value in fields.items()]

    return edit(notebook, address, decide)


def _fits(item: Any, fields: Mapping[str, object]) -> bool:
    """Whether an item is about the same bricks."""
    return isinstance(item, dict) and all(
        item.get(field) == fields.get(field) for field in ("batch", "place")
    )


def undo(notebook: str, saved: Saved) -> Saved:
    """Take back what was saved last in an entry.

    Raises:
        FieldbookError: it is not there any more as it was saved.
    """
    return undo_all(notebook, [saved])


def undo_all(notebook: str, saved: Sequence[Saved]) -> Saved:
    """Take back all that one typed line put into an entry, in one write.

    Raises:
        FieldbookError: it is not there any more as it was saved; the entry is as it was.
    """
    from fieldbook.store import parsing, recent

    address = saved[0].address
    lines = {each.key: parsing.parse_text(each.text)[each.key] for each in saved if not each.undo}

    def decide(data: dict[str, Any]) -> list[Change]:
        for key, line in lines.items():
            now = value_at(data, ("log", key))
            if now is ABSENT or not same(now, line):
                raise FieldbookError(
                    f"The line {key} of {address} is not there as it was saved; "
                    "nothing was taken back."
                )
        return [*_led_back(saved), *(Change(("log", key), None) for key in lines)]

    done = edit(notebook, address, decide)
    recent.forget(notebook, [(address, key) for key in lines])
    for each in saved:
        if each.undo:
            recent.forget_change(notebook, address, each.undo)
    return done._replace(key=dotted(("log", saved[-1].key))) if lines else done


def _led_back(saved: Sequence[Saved]) -> list[Change]:
    """The changes that lead back, each field to what it was before the first of them."""
    back: dict[tuple[str | int, ...], object] = {}
    for each in reversed(saved):
        back |= dict(each.undo)
    outer = [path for path in back if not any(path[:n] in back for n in range(1, len(path)))]
    return [Change(path, back[path]) for path in outer]
