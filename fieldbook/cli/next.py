"""`fieldbook next [ENTRY]`: what to do now, in order."""

from __future__ import annotations

import argparse
import sys

from fieldbook.cli.call import Call


def arguments(parser: argparse.ArgumentParser) -> None:
    """The words it takes."""
    parser.add_argument("entry", nargs="?", metavar="ENTRY", help="of one entry only")
    parser.add_argument("--all", action="store_true", help="with what was set aside, and why")


def say_unreadable(call: Call) -> None:
    """Say beside the advice what it goes without: a file that cannot be read may be a fire."""
    notebook = call.notebook
    for address in notebook.addresses:
        if notebook.entry(address) is None:
            print(f"{address}.toml cannot be read, and counts for nothing: fieldbook check tells "
                  "why.", file=sys.stderr)  # fmt: skip


def run(call: Call, given: argparse.Namespace) -> int:
    """Print the actions, most urgent first."""
    from fieldbook.advice.engine import advise
    from fieldbook.report.actions import advice_lines, record_line

    address = call.store.resolve(given.entry) if given.entry else None
    say_unreadable(call)
    advice = advise(call.context, address)
    if call.shared.json:
        call.write_json([action.json() for action in advice.actions])
    elif call.width or given.all or not advice.actions:
        print("\n".join(advice_lines(advice, call.clock, call.width, all_of_it=given.all)))
    else:
        print("\n".join(record_line(action, call.clock) for action in advice.actions))
    return 0
