"""`fieldbook remove ENTRY`: refused while something refers to it."""

from __future__ import annotations

import argparse

from fieldbook.cli.call import Call


def arguments(parser: argparse.ArgumentParser) -> None:
    """The words it takes."""
    parser.add_argument("entry", metavar="ENTRY")


def run(call: Call, given: argparse.Namespace) -> int:
    """Remove the entry."""
    address = call.store.resolve(given.entry)
    call.store.remove(address)
    if call.shared.json:
        call.write_json({"removed": address})
    else:
        print(f"removed {address}")
    return 0
