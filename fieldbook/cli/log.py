"""`fieldbook log ENTRY OBSERVATION…`: one line, on the disk before it is called saved.

Its words are taken apart here by hand: a parser would cost every logged line its start-up time.
"""

from __future__ import annotations

import os
import sys
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from fieldbook.errors import FieldbookError, WrongUse
from fieldbook.lines.reading import Observation, read_line
from fieldbook.store.bearings import Bearings, bearings
from fieldbook.store.names import find_notebook, resolve
from fieldbook.text import clean, clean_text

if TYPE_CHECKING:
    import argparse

    from fieldbook.cli.call import Call

USAGE = "fieldbook log ENTRY OBSERVATION…   (`-` reads observations from standard input)"


def arguments(parser: argparse.ArgumentParser) -> None:
    """The words it takes, for help and completion."""
    parser.add_argument("entry", metavar="ENTRY", help="what it was seen on")
    parser.add_argument(
        "observation",
        nargs="+",
        metavar="OBSERVATION",
        help='as short as it comes: "1040F top", "+2 armload split ash", "#3 4.10lb"; - for lines',
    )
    parser.add_argument("--by", metavar="WHO", help="who saw it")
    parser.add_argument(
        "--undo", action="store_true", help="take back what you saved last, here or on ENTRY"
    )


def run(call: Call, given: list[str]) -> int:
    """Save what was typed; say it back."""
    if "--undo" in given:
        from fieldbook.cli.take_back import take_back

        return take_back(call, [word for word in given if word != "--undo"])
    by, words = _take_by(given)
    if len(words) < 2:
        raise WrongUse(f"write what was seen, on which entry: {USAGE}")
    notebook = notebook_of(call)
    address = resolve(notebook, words[0])
    known = bearings(notebook, address)
    if words[1:] == ["-"]:
        from fieldbook.cli.live import log_lines

        return log_lines(call, notebook, address, known, by)
    return log_one(call, notebook, address, known, " ".join(words[1:]), by)


def notebook_of(call: Call) -> str:
    """The folder of the notebook the line goes to."""
    return find_notebook(call.shared.notebook or os.environ.get("FIELDBOOK_NOTEBOOK") or ".")


def log_one(
    call: Call, notebook: str, address: str, known: Bearings, typed: str, by: str | None
) -> int:
    """Save one observation and say what was understood."""
    observation = understood(typed, known, now_in(call, known), lambda: _in_view(call, address))
    from fieldbook.store.observing import save

    saved = save(notebook, address, observation, by or known.maker)
    if call.shared.json:
        call.write_json([{"entry": s.address, "key": s.key, "line": s.line} for s in saved])
    else:
        print(f"saved: {clean(observation.words)}  [{saved[0].address}.toml:{saved[0].line}]")
    return 0


def understood(typed: str, known: Bearings, now: datetime, in_view: object = None) -> Observation:
    """What a typed line says; a line that asks something back is not saved."""
    action = in_view() if callable(in_view) and typed.lower().startswith("not now") else ""
    observation = read_line(
        typed,
        known.kind,
        now,
        places=known.places,
        bricks=known.bricks,
        measures=known.measures,
        zone=known.zone,
        action=action,
        bricks_there=known.bricks_there,
        usual_place=known.usual_place,
        record=known.record,
    )
    if observation.questions:
        raise FieldbookError("not saved: " + "\n    ".join(observation.questions))
    return observation


def now_in(call: Call, known: Bearings) -> datetime:
    """`--now`, or the time of day, in the notebook's zone."""
    if call.shared.now is None:
        return datetime.now(UTC).astimezone(known.zone)
    from fieldbook.cli.call import moment

    return moment(call.shared.now, known.zone)


def _in_view(call: Call, address: str) -> str:
    """The rule whose action stands first for the entry: what `not now` declines."""
    from fieldbook.advice.engine import advise

    actions = advise(call.context, address).actions
    if not actions:
        raise FieldbookError(f"nothing is advised for {address} now: nothing to decline")
    return actions[0].rule


def _take_by(given: list[str]) -> tuple[str | None, list[str]]:
    by: str | None = None
    words: list[str] = []
    rest = iter(given)
    for word in rest:
        if word == "--":
            words += rest
        elif word == "--by":
            by = next(rest, None)
        elif word.startswith("--by="):
            by = word.partition("=")[2]
        elif word.startswith("--") and len(word) > 2:
            raise WrongUse(f"there is no option {word!r}: {USAGE}")
        else:
            words.append(word)
    return by, words


def warn(message: str) -> None:
    """Say something beside the output."""
    print(f"fieldbook: {clean_text(message)}", file=sys.stderr)
