"""`fieldbook start FOLDER`: a new notebook."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from fieldbook.cli.call import Call
from fieldbook.errors import FieldbookError
from fieldbook.text import clean


def arguments(parser: argparse.ArgumentParser) -> None:
    """The words it takes."""
    parser.add_argument("folder", metavar="FOLDER", help="made if it is not there")
    parser.add_argument("--timezone", metavar="ZONE", help="IANA name, such as Europe/Lisbon")
    parser.add_argument("--title", help="what the notebook is called")
    parser.add_argument("--maker", help="who writes here")


def run(call: Call, given: argparse.Namespace) -> int:
    """Ask what was not given, where there is someone to ask, and make the notebook."""
    from fieldbook.store.folder import Store
    from fieldbook.store.zones import local_zone

    zone = given.timezone or _ask("time zone (IANA name)", local_zone())
    title = given.title or _ask("title of the notebook", Path(given.folder).resolve().name)
    maker = given.maker or _ask("your name, as the others know you", "")
    settings = {"timezone": zone, "title": title, "maker": maker}
    store = Store.start(Path(given.folder), {k: v for k, v in settings.items() if v})
    if call.shared.json:
        call.write_json({"notebook": str(store.folder)})
    else:
        print(clean(f"the notebook is in {store.folder}"))
        print(clean(f"next: fieldbook --notebook {given.folder} next"))
    return 0


def _ask(question: str, usual: str) -> str:
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        return usual
    try:
        return input(f"{question} [{usual}]: ").strip() or usual
    except EOFError as error:
        raise FieldbookError("nothing was made: the answer was cut off") from error
