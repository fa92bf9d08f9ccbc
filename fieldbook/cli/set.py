"""`fieldbook set ENTRY FIELD=VALUE …`: fields changed in place, the rest untouched."""

from __future__ import annotations

import argparse

from fieldbook.cli.call import Call
from fieldbook.cli.fields import pairs
from fieldbook.text import clean, clean_text


def arguments(parser: argparse.ArgumentParser) -> None:
    """The words it takes."""
    parser.add_argument("entry", metavar="ENTRY", help="or notebook.toml for the settings")
    parser.add_argument(
        "fields",
        nargs="+",
        metavar="FIELD=VALUE",
        help="a path such as plan.peak; nothing after = takes the field out",
    )


def run(call: Call, given: argparse.Namespace) -> int:
    """Change the fields."""
    store = call.store
    address = given.entry if given.entry == "notebook.toml" else store.resolve(given.entry)
    fields = pairs(given.fields)
    store.set_fields(address, fields)
    if call.shared.json:
        call.write_json({"entry": address, "set": sorted(fields)})
        return 0
    print(clean(f"changed {address}: {', '.join(sorted(fields))}"))
    if address != "notebook.toml":
        for problem in store.read(address).problems:
            print(clean_text(f"  {problem}"))
    return 0
