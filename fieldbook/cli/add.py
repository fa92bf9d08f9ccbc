"""`fieldbook add KIND NAME [FIELD=VALUE …]`: a new entry, from a commented template."""

from __future__ import annotations

import argparse

from fieldbook.cli.call import Call
from fieldbook.cli.fields import pairs
from fieldbook.errors import WrongUse
from fieldbook.text import clean_text


def arguments(parser: argparse.ArgumentParser) -> None:
    """The words it takes."""
    parser.add_argument("kind", metavar="KIND", help="clay, mix, kiln, batch, …")
    parser.add_argument("name", metavar="NAME", help="small letters, figures and hyphens")
    parser.add_argument("fields", nargs="*", metavar="FIELD=VALUE", help="such as count=180")
    parser.add_argument("--edit", action="store_true", help="open it in $EDITOR")


def run(call: Call, given: argparse.Namespace) -> int:
    """Make the entry."""
    from fieldbook.records import FOLDERS, KINDS
    from fieldbook.store.checking import entry_problems

    kind = FOLDERS.get(given.kind, given.kind)
    if kind not in KINDS:
        raise WrongUse(f"there is no kind {given.kind!r}; the kinds are {', '.join(KINDS)}")
    fields = pairs(given.fields)
    if kind == "batch" and "moulded" not in fields and call.shared.now:
        fields["moulded"] = call.clock.isoformat(sep=" ", timespec="minutes")
    address = call.store.create(kind, given.name, fields)
    if given.edit:
        from fieldbook.tui.editor import edit

        edit(call.store.folder / f"{address}.toml")
    if call.shared.json:
        call.write_json({"entry": address})
    else:
        print(f"made {address}.toml")
        for problem in entry_problems(call.store, address):
            print(clean_text(f"  {problem}"))
    return 0
