"""`fieldbook rename ENTRY NAME`: with every reference to it."""

from __future__ import annotations

import argparse

from fieldbook.cli.call import Call


def arguments(parser: argparse.ArgumentParser) -> None:
    """The words it takes."""
    parser.add_argument("entry", metavar="ENTRY")
    parser.add_argument("name", metavar="NAME", help="the new name")


def run(call: Call, given: argparse.Namespace) -> int:
    """Rename the entry and every reference to it."""
    old = call.store.resolve(given.entry)
    new, changed = call.store.rename(old, given.name)
    if call.shared.json:
        call.write_json({"from": old, "entry": new, "changed": list(changed)})
    else:
        also = f"; changed with it: {', '.join(changed)}" if changed else ""
        print(f"{old} is now {new}{also}")
    return 0
