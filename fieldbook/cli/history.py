"""`fieldbook history MIX|KILN|CLAY`: every batch and firing of it in order."""

from __future__ import annotations

import argparse

from fieldbook.cli.call import Call
from fieldbook.errors import FieldbookError, WrongUse


def arguments(parser: argparse.ArgumentParser) -> None:
    """The words it takes."""
    parser.add_argument("entry", metavar="ENTRY", help="a mix, a kiln or a clay")


def run(call: Call, given: argparse.Namespace) -> int:
    """Print the history, oldest first."""
    from fieldbook.report.history import history
    from fieldbook.report.units import Units
    from fieldbook.text import clean

    address = call.store.resolve(given.entry)
    if address.partition("/")[0] not in ("clays", "mixes", "kilns"):
        raise WrongUse(f"{address} is no clay, mix or kiln")
    entry = call.notebook.entry(address)
    if entry is None:
        raise FieldbookError(f"{address} cannot be read; `fieldbook check` says why")
    units = Units.for_notebook(call.notebook.settings, call.shared.units)
    events = history(entry, call.context, units)
    if call.shared.json:
        call.write_json([{**e._asdict(), "at": e.at.isoformat() if e.at else None} for e in events])
        return 0
    for event in events:
        day = event.at.strftime("%Y-%m-%d") if event.at else "          "
        print(clean(f"{day}  {event.address}  {event.told}"))
    if not events:
        print(f"nothing was made with {address} yet")
    return 0
