"""A whole-file edit: read, change, prove, replace."""

from __future__ import annotations

import os
from collections.abc import Callable
from typing import Any, NamedTuple

from fieldbook.errors import FieldbookError, Problem
from fieldbook.store import durable, names, parsing
from fieldbook.store.append import Saved
from fieldbook.store.change import ABSENT, Change, finer, meant, same, undoing, value_at
from fieldbook.store.lock import Lock
from fieldbook.store.places import Layout, Path, dotted
from fieldbook.store.repair import Mended, parse_or_mend

_TRIES = 20
Decide = Callable[[dict[str, Any]], list[Change]]
"""Gives the changes to make to what a file holds now."""


class Edited(NamedTuple):
    """A file as it is to be written."""

    bytes: bytes
    line: int
    """Where the first change stands."""
    undo: tuple[Change, ...]


def edit(notebook: str, address: str, decide: Decide) -> Saved:
    """Change an entry, or the settings, on the disk; the rest of the file stays to the byte.

    Where another program changed the file meanwhile, it is read again and decided anew.

    Raises:
        FieldbookError: the file cannot be read or written; it is as it was.
    """
    path = path_of(notebook, address)
    file = names.file_of(address)
    with Lock(notebook):
        for _ in range(_TRIES):
            before = read_bytes(path, file)
            edited = edited_bytes(before, file, decide)
            if edited.bytes == before:
                return Saved(address, "", edited.line, "")
            if read_bytes(path, file) == before:
                durable.replace_file(path, edited.bytes, file)
                key = dotted(edited.undo[-1].path) if edited.undo else ""
                return Saved(address, key, edited.line, "", edited.undo)
    raise FieldbookError(f"{file} keeps being changed by another program. Nothing was saved.")


def path_of(notebook: str, address: str) -> str:
    """Give the path of an entry's file; its folder must be a folder, not a link out."""
    if address == names.SETTINGS_FILE:
        return os.path.join(notebook, address)
    folder, name = names.split(address)
    path = os.path.join(notebook, folder)
    if os.path.lexists(path) and not names.is_own_folder(path):
        raise FieldbookError(f"{folder} is a link or a file, not a folder; it is left alone.")
    return os.path.join(path, f"{name}.toml")


def read_bytes(path: str, file: str) -> bytes:
    """Read a file that is to be changed."""
    try:
        return durable.read_file(path)
    except FileNotFoundError as error:
        raise FieldbookError(f"{file} is not there. Make it with: fieldbook add") from error
    except durable.NotAFile as error:
        raise FieldbookError(f"{file}: {error}") from error
    except OSError as error:
        raise durable.why_not(error, file) from error


def edited_bytes(before: bytes, file: str, decide: Decide) -> Edited:
    """Make the changes to the bytes of a file, and prove that they say what is meant."""
    data, mended = parsed(before, file)
    changes = [small for change in decide(data) for small in finer(data, change)]
    goal = meant(data, changes)
    if not changes and mended is None:
        return Edited(before, 1, ())
    from fieldbook.store.splice import changed_text

    text = changed_text(_text_of(before, mended), changes)
    written = parsing.parse_text(text)
    if not same(written, goal):
        raise FieldbookError(
            f"{file} is laid out in a way in which {_fields(changes)} cannot be changed safely.\n"
            "    Nothing was saved. Change it in an editor."
        )
    after = text.encode()
    if before.startswith(parsing.BOM):
        after = parsing.BOM + after
    line = Layout(text).line(changes[0].path) if changes else None
    return Edited(after, line or 1, undoing(data, changes))


def _fields(changes: list[Change]) -> str:
    return ", ".join(dotted(change.path) for change in changes)


def parsed(data: bytes, file: str) -> tuple[dict[str, Any], Mended | None]:
    """Read the data of a file that is to be changed; one that cannot be read is left alone."""
    try:
        return parse_or_mend(data)
    except parsing.NotToml as error:
        problem = Problem(file, error.line, error.what, error.remedy)
        raise FieldbookError(f"{problem}\n    The file is as it was.", (problem,)) from error


def _text_of(data: bytes, mended: Mended | None) -> str:
    """Give the text to change, with an unfinished end as a remark."""
    if mended is None:
        return parsing.decode(data)
    rest = parsing.decode(mended.rest)
    end = "\r\n" if "\r\n" in rest else "\n"
    return f"{rest}{'' if rest.endswith(end) else end}{mended.comment}{end}"


def refuse_if_changed(data: dict[str, Any], seen: dict[str, Any], path: Path) -> None:
    """Refuse to overwrite a field that is not any more as the person saw it."""
    now, then = value_at(data, path), value_at(seen, path)
    if same_or_absent(now, then):
        return
    shown = "nothing" if now is ABSENT else names.shown(str(now))
    raise FieldbookError(
        f"{dotted(path)} was changed meanwhile: the file now says {shown}.\n"
        "    Nothing was saved. Look at both and change it again."
    )


def same_or_absent(one: Any, other: Any) -> bool:
    """Whether two values are the same, or both not written."""
    return one is other or same(one, other)
