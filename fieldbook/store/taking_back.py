"""Taking back the observation that was saved last, in this sitting or an earlier one.

A line of the log is kept with the lines saved lately. What went into other fields, a specimen or
what was unloaded, is kept beside them: the fields as they were, and as they were saved.
"""

from __future__ import annotations

import json
from datetime import UTC, datetime
from typing import Any, NamedTuple

from fieldbook.errors import FieldbookError
from fieldbook.lines.read_back import said_of, words_for
from fieldbook.lines.toml_text import read_key
from fieldbook.store import durable, parsing, recent, rows
from fieldbook.store.append import Saved
from fieldbook.store.bearings import bearings
from fieldbook.store.change import ABSENT, same, value_at
from fieldbook.store.edit import path_of


class TakenBack(NamedTuple):
    """An observation that is off the disk again."""

    address: str
    words: str
    """What it said."""


def remember(notebook: str, saved: list[Saved]) -> None:
    """Keep an observation that went into other fields than the log; where that fails, it stands."""
    try:
        parts = [_kept_part(notebook, each) for each in saved]
        text = json.dumps(parts)
    except (TypeError, OSError, FieldbookError):
        return
    recent.remember(notebook, saved[0].address, "", text)


def _kept_part(notebook: str, saved: Saved) -> dict[str, Any]:
    if saved.text:
        return {"key": saved.key, "text": saved.text}
    data = _data(notebook, saved.address)
    now = [value_at(data, path) for path, _ in saved.undo]
    return {"undo": saved.undo, "now": [None if value is ABSENT else value for value in now]}


def _data(notebook: str, address: str) -> dict[str, Any]:
    return parsing.parse(durable.read_file(path_of(notebook, address)))


def take_back_last(notebook: str, address: str = "") -> TakenBack:
    """Take back what was saved last, in the notebook or in one entry.

    Raises:
        FieldbookError: nothing was saved lately, or it is not there any more as it was saved.
    """
    last = recent.last(notebook, address)
    if last is None:
        where = f" on {address}" if address else ""
        raise FieldbookError(f"Nothing that was saved lately{where} is left to be taken back.")
    parts = [{"key": last.key, "text": last.text}] if last.key else json.loads(last.text)
    parts = [part for part in parts if "text" in part or part["undo"]]
    _refuse_what_changed(notebook, last.address, parts)
    if parts:
        rows.undo_all(notebook, [_saved(last.address, part) for part in parts])
    recent.drop(notebook, last)
    return TakenBack(last.address, _words(notebook, last.address, parts))


def _saved(address: str, part: dict[str, Any]) -> Saved:
    undo = tuple((tuple(path), value) for path, value in part.get("undo", ()))
    return Saved(address, part.get("key", ""), 0, part.get("text", ""), undo)


def _refuse_what_changed(notebook: str, address: str, parts: list[dict[str, Any]]) -> None:
    """All of an observation is taken back or nothing of it."""
    data = _data(notebook, address)
    for part in parts:
        paths = [path for path, _ in part["undo"]] if "undo" in part else [["log", part["key"]]]
        meant = part["now"] if "undo" in part else [parsing.parse_text(part["text"])[part["key"]]]
        for path, value in zip(paths, meant, strict=True):
            now = value_at(data, tuple(path))
            if now is ABSENT or not same(now, value):
                raise FieldbookError(
                    f"{address}.toml does not hold it any more as it was saved "
                    f"({path[-1]}); nothing was taken back.\n"
                    "    Look at the file, and put it right there."
                )


def _words(notebook: str, address: str, parts: list[dict[str, Any]]) -> str:
    """Say what the observation said, as it was said when it was saved."""
    zone, said, now = bearings(notebook, address).zone, [], datetime.now(UTC)
    for part in parts:
        if "text" in part:
            fields = dict(parsing.parse_text(part["text"])[part["key"]])
            fields.pop("by", None)
            note = fields.pop("note", None)
            said.append(words_for(read_key(part["key"], zone), fields, note, "", now))
        else:
            said.append(", ".join(_changed(part)))
    return "; ".join(said)


def _changed(part: dict[str, Any]) -> list[str]:
    fields: dict[str, Any] = {}
    name = ""
    for (path, before), value in zip(part["undo"], part["now"], strict=True):
        if path[0] == "specimens" and len(path) > 1:
            name = str(path[1])
        # A row that was added stands behind those that were there before.
        held = value[len(before or ())] if isinstance(value, list) and value else value
        if path[0] == "specimens" and len(path) == 1 and isinstance(held, dict) and held:
            name, held = next(iter(held.items()))
        fields |= held if isinstance(held, dict) else {str(path[-1]): held}
    first, *others = said_of(fields, name)
    return [f"{fields.get('place', '')} {first}".lstrip(), *others]
