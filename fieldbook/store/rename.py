"""A new name for an entry, with every reference to it; and taking an entry away."""

from __future__ import annotations

import os
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from fieldbook.errors import FieldbookError, WrongUse
from fieldbook.records import Spec, specs
from fieldbook.store import durable, names, recent
from fieldbook.store.change import Change
from fieldbook.store.edit import edited_bytes, path_of, read_bytes
from fieldbook.store.lock import Lock
from fieldbook.store.places import Path
from fieldbook.store.references import references

if TYPE_CHECKING:
    from fieldbook.store.folder import Store


def rename(store: Store, address: str, name: str) -> tuple[str, tuple[str, ...]]:
    """Rename an entry; give its new address and the entries whose references were changed.

    The file gets its second name first and loses the old one last, so that every reference leads
    somewhere even if the power goes in between.
    """
    folder, old = names.split(address)
    if not names.is_name(name):
        raise WrongUse(f'"{names.shown(name)}" cannot be the name of an entry. {names.NAME_RULE}')
    new = f"{folder}/{name}"
    notebook = str(store.folder)
    with Lock(notebook):
        before = read_bytes(path_of(notebook, address), f"{address}.toml")
        _refuse_unreadable_mentions(store, old, "renamed")
        users = _users(store, address)
        texts = {user: _with_new_name(notebook, user, paths, name) for user, paths in users.items()}
        durable.create_file(path_of(notebook, new), texts.pop(address, before), f"{new}.toml")
        for user, text in texts.items():
            durable.replace_file(path_of(notebook, user), text, f"{user}.toml")
        _unlink(path_of(notebook, address), address)
        durable.clear_left_behind(os.path.dirname(path_of(notebook, address)))
    recent.renamed(notebook, address, new)
    return new, tuple(texts)


def _users(store: Store, address: str) -> dict[str, list[Path]]:
    """Give the entries that name an entry, each with the paths of the fields that do."""
    users: dict[str, list[Path]] = {}
    for user in store.addresses:
        file = store.read(user)
        record = file.record
        paths = [r.path for r in references(record) if r.is_to(address)] if record else []
        if record and isinstance(file.data.get("disputed"), dict):
            paths += _disputed(type(record), file.data["disputed"], address)
        if paths:
            users[user] = paths
    return users


def _disputed(kind: type, table: dict[str, Any], address: str) -> list[Path]:
    """Where the values that two makers set differently name an entry."""
    found: list[Path] = []
    for key, values in table.items():
        spec = _spec_of(kind, key.split("."))
        for number, value in enumerate(values if isinstance(values, list) else (), 1):
            if spec is not None:
                found += _naming(value, spec, address, ("disputed", key, number))
    return found


def _spec_of(kind: type, parts: list[str]) -> Spec | None:
    """What a field holds, by its path; a row of a table is passed over by its name."""
    spec = specs(kind).get(parts[0])
    rest = parts[2:] if spec is not None and spec.holds == "rows" else parts[1:]
    if spec is None or not rest:
        return spec
    return _spec_of(spec.of, rest) if spec.of is not None else None


def _naming(value: Any, spec: Spec, address: str, path: Path) -> Iterator[Path]:
    folder, name = names.split(address)
    if spec.holds == "name":
        if value == name and folder in spec.refers.split():
            yield path
    elif isinstance(value, list):
        for number, item in enumerate(value, 1):
            yield from _naming(item, spec, address, (*path, number))
    elif isinstance(value, dict) and spec.of is not None:
        for key, part in specs(spec.of).items():
            if key in value:
                yield from _naming(value[key], part, address, (*path, key))


def _with_new_name(notebook: str, user: str, paths: list[Path], name: str) -> bytes:
    file = f"{user}.toml"
    before = read_bytes(path_of(notebook, user), file)
    return edited_bytes(before, file, lambda _: [Change(path, name) for path in paths]).bytes


def _refuse_unreadable_mentions(store: Store, name: str, done: str) -> None:
    """A file that cannot be read may name the entry; what it means cannot be known."""
    for address in store.addresses:
        if store.read(address).record is None and _mentions(store, address, name):
            raise FieldbookError(
                f"{address}.toml cannot be read and may name {name}; nothing was {done}.\n"
                "    Put that file right first: fieldbook check"
            )


def _mentions(store: Store, address: str, name: str) -> bool:
    try:
        return name.encode() in durable.read_file(str(store.path(address)))
    except (OSError, durable.NotAFile):
        return False


def remove(store: Store, address: str) -> None:
    """Take an entry away; refused while another entry names it."""
    _, name = names.split(address)
    notebook = str(store.folder)
    with Lock(notebook):
        users = [user for user in _users(store, address) if user != address]
        if users:
            raise FieldbookError(
                f"{address} is named by {', '.join(users)}; it was not removed.\n"
                "    Change those entries first, or keep it."
            )
        _refuse_unreadable_mentions(store, name, "removed")
        _unlink(path_of(notebook, address), address)
    lines = [(line.address, line.key) for line in recent.kept(notebook) if line.address == address]
    recent.forget(notebook, lines)


def _unlink(path: str, address: str) -> None:
    try:
        os.unlink(path)
        durable.sync_folder(os.path.dirname(path))
    except FileNotFoundError as error:
        raise FieldbookError(f"{address}.toml is not there.") from error
    except OSError as error:
        raise durable.why_not(error, f"{address}.toml") from error
