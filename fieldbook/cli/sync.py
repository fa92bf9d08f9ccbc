"""`fieldbook sync`: keeps what changed, takes in what is new, sends."""

from __future__ import annotations

import argparse
import sys
from typing import TYPE_CHECKING

from fieldbook.cli.call import Call
from fieldbook.errors import FieldbookError
from fieldbook.text import clean, clean_text

if TYPE_CHECKING:
    from collections.abc import Callable

    from fieldbook.sync.bringing_back import Back
    from fieldbook.sync.syncing import Plan, Report, Sync


def arguments(parser: argparse.ArgumentParser) -> None:
    """The words it takes."""
    one = parser.add_mutually_exclusive_group()
    one.add_argument("--dry-run", action="store_true", help="print the plan, change nothing")
    back = "restore the entries that are gone here as they were kept last; no exchange"
    one.add_argument("--bring-back", action="store_true", help=back)
    let_go(one)


def let_go(parser: argparse._ActionsContainer) -> None:
    """The word that answers the question about a great loss beforehand."""
    parser.add_argument(
        "--let-go", action="store_true", help="carry over even the loss of most of the entries"
    )


def run(call: Call, given: argparse.Namespace) -> int:
    """Look, decide, act."""
    sync = sync_of(call)
    if given.dry_run:
        return say(call, sync.plan())
    if given.bring_back:
        from fieldbook.sync.bringing_back import bring_back

        return say(call, bring_back(sync))
    status = say(call, asking(sync.apply, given.let_go))
    pack(sync)
    return status


def pack(sync: Sync) -> None:
    """Pack the history where that is due, with a word; it may fail or be stopped at no loss."""
    from fieldbook.sync import packing

    if not packing.is_due(sync.git):
        return
    sys.stdout.flush()
    print(packing.WORD, file=sys.stderr, flush=True)
    try:
        packing.pack(sync.git)
    except KeyboardInterrupt:
        print("stopped; it is packed another day", file=sys.stderr)
    except FieldbookError as error:
        why = clean(str(error).partition("\n")[0])
        print(f"not packed, which does no harm: {why}", file=sys.stderr)


def sync_of(call: Call) -> Sync:
    """The door to the group; the entries are not read for it."""
    from pathlib import Path

    from fieldbook.store.names import find_notebook
    from fieldbook.sync.sharing import maker_of
    from fieldbook.sync.syncing import Sync

    folder = Path(find_notebook(str(call.folder)))
    return Sync(folder, maker_of(folder))


def asking(act: Callable[[bool], Report], is_meant: bool) -> Report:
    """Act; where most of the notebook would go, a person at the terminal is asked first."""
    from fieldbook.sync.loss import Loss

    try:
        return act(is_meant)
    except Loss as loss:
        if not sys.stdin.isatty() or not sys.stderr.isatty():
            raise
        print(clean_text(str(loss)), file=sys.stderr)
        print("let them go? Type yes, or anything else to keep them: ", end="", file=sys.stderr)
        sys.stderr.flush()
        if sys.stdin.readline().strip().lower() != "yes":
            raise FieldbookError("they stay, and nothing was exchanged") from loss
        return act(True)


def say(call: Call, done: Plan | Report | Back) -> int:
    """Print what is to be done, or was."""
    if call.shared.json:
        call.write_json(done._asdict())
    else:
        print("\n".join(clean(line) for line in done.lines()))
    return 0
