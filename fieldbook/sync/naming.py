"""Entries that name a private one: sharing them would tell its name, so they are kept back."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path


def that_name(folder: Path, paths: Iterable[str], private: set[str]) -> dict[str, str]:
    """Of some entries those that name a private one, each with the one it names."""
    if not private:
        return {}
    from fieldbook.store.folder import Store
    from fieldbook.store.references import references

    store = Store(folder)
    found = {}
    for path in paths:
        if "/" not in path:
            continue
        file = store.read(path.removesuffix(".toml"))
        for hidden in sorted(private):
            address = hidden.removesuffix(".toml")
            if file.record is None:
                is_named = address.partition("/")[2] in file.text
            else:
                is_named = any(each.is_to(address) for each in references(file.record))
            if is_named:
                found[path] = hidden
    return found
