"""`fieldbook import readings FILE ENTRY`: from a CSV file, shown before they are written."""

from __future__ import annotations

import argparse
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from fieldbook.cli.call import Call
from fieldbook.errors import FieldbookError, WrongUse
from fieldbook.text import clean

if TYPE_CHECKING:
    from fieldbook.records import Firing
    from fieldbook.store.importing import Reading, Understood


def arguments(parser: argparse.ArgumentParser) -> None:
    """The words it takes."""
    parser.add_argument("what", choices=["readings"], help="what the file holds")
    parser.add_argument("file", metavar="FILE", help="CSV, its first line naming the columns")
    parser.add_argument("entry", metavar="ENTRY", help="the firing they belong to")
    parser.add_argument("--time", default="", metavar="COLUMN", help="where it is not plain")
    parser.add_argument("--temperature", default="", metavar="COLUMN[,COLUMN]")
    parser.add_argument("--place", default="", metavar="COLUMN")
    parser.add_argument("--unit", default="", choices=["", "C", "F"], help="of the temperatures")
    parser.add_argument("--write", action="store_true", help="write what was shown")


def run(call: Call, given: argparse.Namespace) -> int:
    """Say what was understood; with --write, log what is not there yet."""
    from fieldbook.records import Firing
    from fieldbook.store.importing import Asked, understand

    address = call.store.resolve(given.entry)
    firing = call.store.read(address).record
    if not isinstance(firing, Firing):
        raise WrongUse(f"{address} is no firing that can be read")
    asked = Asked(given.time, given.temperature, given.place, given.unit)
    try:
        understood = understand(Path(given.file), _lit(firing), call.store.zone, asked)
    except OSError as error:
        raise FieldbookError(f"{given.file} cannot be read: {error.strerror}") from error
    fresh = _fresh(understood, firing)
    if not call.shared.json:
        _say(understood, len(fresh))
    if given.write:
        _write(call, address, fresh)
    if call.shared.json:
        call.write_json(
            {
                "understood": understood.columns.words(),
                "readings": len(understood.readings),
                "new": len(fresh),
                "written": len(fresh) if given.write else 0,
                "problems": [str(problem) for problem in understood.problems],
            }
        )
    elif not given.write:
        print("nothing is written yet; the same command with --write does it")
    return 1 if understood.problems else 0


def _lit(firing: Firing) -> datetime | None:
    """When the fire was lit, by the log, else by the plan."""
    for line in firing.log:
        if getattr(line, "event", None) == "lit":
            return line.at
    return firing.plan.start.at if firing.plan and firing.plan.start else None


def _fresh(understood: Understood, firing: Firing) -> list[Reading]:
    """Those that the log does not hold yet, so that a second run adds nothing.

    Where two stand in one second the log tells them apart by milliseconds of its own.
    """
    held = {
        (line.at.replace(microsecond=0), temperature.text, getattr(line, "place", None))
        for line in firing.log
        if (temperature := getattr(line, "temperature", None)) is not None
    }
    return [
        reading
        for reading in understood.readings
        if (
            reading.at.replace(microsecond=0),
            reading.fields["temperature"],
            reading.fields.get("place"),
        )
        not in held
    ]


def _say(understood: Understood, fresh: int) -> None:
    for words in understood.columns.words():
        print(clean(words))
    count = len(understood.readings)
    if count:
        first, last = understood.readings[0], understood.readings[-1]
        print(f"{count} readings, {first.at:%Y-%m-%d %H:%M} to {last.at:%Y-%m-%d %H:%M}")
    print(f"{fresh} of them are new here")
    for problem in understood.problems:
        print(clean(f"{problem.where}: {problem.what}; {problem.remedy}"))


def _write(call: Call, address: str, fresh: list[Reading]) -> None:
    from fieldbook.store.whose import own_maker

    maker = own_maker(str(call.store.folder)) or call.store.settings.maker
    for reading in fresh:
        fields = {**reading.fields, "by": maker} if maker else reading.fields
        call.store.add_line(address, reading.at, fields)
    if not call.shared.json:
        print(f"{len(fresh)} readings written to {address}.toml")
