"""`fieldbook set ENTRY FIELD=VALUE …`: fields changed in place, the rest untouched."""

from __future__ import annotations

import argparse

from fieldbook.cli.call import Call
from fieldbook.cli.fields import pairs
from fieldbook.errors import Problem
from fieldbook.store.change import value_at
from fieldbook.store.checking import entry_problems
from fieldbook.store.correcting import correct, path_at, split_where
from fieldbook.store.folder import Store
from fieldbook.store.names import SETTINGS_FILE
from fieldbook.store.places import parts_of
from fieldbook.store.typed import find_field, record_of
from fieldbook.text import clean, clean_text


def arguments(parser: argparse.ArgumentParser) -> None:
    """The words it takes."""
    parser.add_argument(
        "entry",
        metavar="ENTRY",
        help="or notebook for the settings, or firings/2026-05-03.toml:54 for one line of a log",
    )
    parser.add_argument(
        "fields",
        nargs="+",
        metavar="FIELD=VALUE",
        help="a path such as plan.peak; += adds to a list; nothing after = takes the field out",
    )


def run(call: Call, given: argparse.Namespace) -> int:
    """Change the fields."""
    store = call.store
    if place := split_where(given.entry):
        return _set_row(call, store.resolve(place[0]), place[1], pairs(given.fields))
    is_settings = given.entry in ("notebook", SETTINGS_FILE)
    address = SETTINGS_FILE if is_settings else store.resolve(given.entry)
    fields = _placed(pairs(given.fields), store, address)
    store.set_fields(address, fields)
    if call.shared.json:
        call.write_json({"entry": address, "set": sorted(fields)})
        return 0
    print(clean(f"changed {address}: {', '.join(sorted(fields))}"))
    for problem in _of_settings(store) if is_settings else entry_problems(store, address):
        print(clean_text(f"  {problem}"))
    return 0


def _of_settings(store: Store) -> list[Problem]:
    from fieldbook.advice.named_tables import settings_problems

    return [*store.problems, *settings_problems(store.settings)]


def _set_row(call: Call, address: str, line: int, fields: dict[str, str]) -> int:
    """Change fields of what stands at one line: an observation, a specimen, a marked brick."""
    store = call.store
    path = path_at(store, address, line)
    if path[0] == "log":
        correct(store, address, path, fields)
    else:
        store.set_row(address, str(path[0]), str(path[1]), fields)
    if call.shared.json:
        call.write_json({"entry": address, "line": line, "set": sorted(fields)})
    else:
        print(clean(f"changed {address}.toml:{line}: {', '.join(sorted(fields))}"))
        for problem in entry_problems(store, address):
            if problem.line == line:
                print(clean_text(f"  {problem}"))
    return 0


def _placed(fields: dict[str, str], store: Store, address: str) -> dict[str, object]:
    """Make of `load+` the item after the last one, and of `places+` the list with one more."""
    placed: dict[str, object] = {}
    for field, value in fields.items():
        path = field.removesuffix("+").strip()
        if path == field:
            placed[field] = value
            continue
        data = store.settings_file.data if address == SETTINGS_FILE else store.read(address).data
        there = value_at(data, tuple(parts_of(path)))
        items = there if isinstance(there, list) else []
        if find_field(record_of(address), path)[1].holds == "texts":
            placed[path] = [*items, value]
        else:
            placed[f"{path}.{len(items) + 1}"] = value
    return placed
