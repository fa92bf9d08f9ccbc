"""A new name for an entry, with every reference to it; and taking an entry away."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

from fieldbook.errors import FieldbookError, WrongUse
from fieldbook.store import durable, names, recent
from fieldbook.store.change import Change
from fieldbook.store.edit import edited_bytes, path_of, read_bytes, refuse_newer_format
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
        refuse_newer_format(notebook)
        before = read_bytes(path_of(notebook, address), f"{address}.toml")
        _refuse_unreadable_mentions(store, old, "renamed")
        users = _users(store, address)
        texts = {user: _with_new_name(notebook, user, paths, name) for user, paths in users.items()}
        durable.create_file(path_of(notebook, new), texts.pop(address, before), f"{new}.toml")
        for user, text in texts.items():
            durable.replace_file(path_of(notebook, user), text, f"{user}.toml")
        _unlink(path_of(notebook, address), address)
    recent.renamed(notebook, address, new)
    return new, tuple(texts)


def _users(store: Store, address: str) -> dict[str, list[Path]]:
    """Give the entries that name an entry, each with the paths of the fields that do."""
    users: dict[str, list[Path]] = {}
    for user in store.addresses:
        record = store.read(user).record
        paths = [r.path for r in references(record) if r.is_to(address)] if record else []
        if paths:
            users[user] = paths
    return users


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
        refuse_newer_format(notebook)
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
