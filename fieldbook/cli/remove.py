"""`fieldbook remove ENTRY`: refused while something refers to it."""

from __future__ import annotations

import argparse

from fieldbook.cli.call import Call
from fieldbook.store.places import dotted
from fieldbook.text import clean


def arguments(parser: argparse.ArgumentParser) -> None:
    """The words it takes."""
    parser.add_argument(
        "entry", metavar="ENTRY", help="or firings/2026-05-03.toml:54 for one line of a log"
    )


def run(call: Call, given: argparse.Namespace) -> int:
    """Remove the entry, or one line of it."""
    from fieldbook.store.correcting import path_at, split_where, take_out

    if place := split_where(given.entry):
        address = call.store.resolve(place[0])
        path = path_at(call.store, address, place[1])
        take_out(call.store, address, path)
        if call.shared.json:
            call.write_json({"entry": address, "removed": dotted(path)})
        else:
            print(clean(f"removed {dotted(path)} from {address}"))
        return 0
    address = call.store.resolve(given.entry)
    call.store.remove(address)
    if call.shared.json:
        call.write_json({"removed": address})
    else:
        print(f"removed {address}")
    return 0
