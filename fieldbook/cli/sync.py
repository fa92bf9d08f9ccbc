"""`fieldbook sync`: keeps what changed, takes in what is new, sends."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from fieldbook.cli.call import Call
from fieldbook.text import clean

if TYPE_CHECKING:
    from fieldbook.sync.syncing import Plan, Report


def arguments(parser: argparse.ArgumentParser) -> None:
    """The words it takes."""
    parser.add_argument("--dry-run", action="store_true", help="print the plan, change nothing")


def run(call: Call, given: argparse.Namespace) -> int:
    """Look, decide, act."""
    from fieldbook.sync.syncing import Sync

    sync = Sync(call.store.folder, call.store.settings.maker)
    return say(call, sync.plan() if given.dry_run else sync.apply())


def say(call: Call, done: Plan | Report) -> int:
    """Print what is to be done, or was."""
    if call.shared.json:
        call.write_json(done._asdict())
    else:
        print("\n".join(clean(line) for line in done.lines()))
    return 0
