"""`fieldbook news [--since TIME]`: what others did since you last looked, and who did better."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from contextlib import suppress
from functools import partial
from typing import TYPE_CHECKING

from fieldbook.cli.call import Call
from fieldbook.cli.since import HELP, since_of
from fieldbook.errors import FieldbookError
from fieldbook.text import clean

if TYPE_CHECKING:
    from datetime import datetime

    from fieldbook.report.disputes import Dispute
    from fieldbook.report.news import Came
    from fieldbook.sync.past import Past


def arguments(parser: argparse.ArgumentParser) -> None:
    """The words it takes."""
    parser.add_argument("--since", metavar="TIME", help=f"not since you last looked: {HELP}")


def run(call: Call, given: argparse.Namespace) -> int:
    """Print what is new, maker by maker, and which firings did better than yours."""
    from fieldbook.report.makers import Makers
    from fieldbook.report.news import dispute_lines, news, news_json, news_lines, since_words
    from fieldbook.report.units import Units, clock
    from fieldbook.sync.looked import makers
    from fieldbook.sync.past import Past

    past = Past.of(call.store.folder)
    if past is None:
        raise FieldbookError(
            "this notebook is not shared, so nothing comes in\n"
            "    `fieldbook share URL` switches sharing on"
        )
    units = Units.for_notebook(call.notebook.settings, call.shared.units)
    since, came = _came(call, past, given.since)
    found = news(came, Makers(*makers(past)), call.context, units)
    open_ones = _disputes(call, past)
    if call.shared.json:
        begun = {"since": since.isoformat() if since else None}
        asked = {"disputed": [each.json() for each in open_ones]}
        call.write_json({**begun, **news_json(came, found), **asked})
        return 0
    begun_at = clock(since, call.clock) if since else ""
    until = f"{call.clock:%Y-%m-%d %H:%M}" if call.shared.now is not None else ""
    print(clean(since_words(bool(came), begun_at, until)))
    for line in news_lines(found, units, call.width):
        print(line.text)
    for line in dispute_lines(open_ones, call.clock, call.width):
        print(line.text)
    return 0


def _likely(call: Call) -> Iterator[str]:
    """Entries in which the word stands, so that not every file has to be understood."""
    from fieldbook.store.durable import NotAFile, read_file

    for address in call.store.addresses:
        with suppress(OSError, NotAFile):
            if b"disputed" in read_file(str(call.store.path(address))):
                yield address


def _disputes(call: Call, past: Past) -> list[Dispute]:
    """What needs a decision, with who set what; the settings first."""
    from fieldbook.report.disputes import Files, open_disputes
    from fieldbook.sync.past import claims

    store = call.store
    files = Files(store.settings_file.data, lambda a: store.read(a).data, partial(claims, past))
    return open_disputes(call.notebook, files, _likely(call))


def _came(call: Call, past: Past, text: str | None) -> tuple[datetime | None, list[Came]]:
    """What came, and since when: since the last look, or since a time.

    This look counts as one, unless it is asked in JSON, or as of another time.
    """
    from fieldbook.report.news import Came
    from fieldbook.sync.looked import look, what_came

    until = call.clock if call.shared.now is not None else None
    if text is not None:
        since = since_of(call, text)
        kept = since.kept or past.standing(since.at)
        came = what_came(past, kept.commit if kept else None, until)
        return since.at, [Came(*each) for each in came]
    is_look = until is None and not call.shared.json
    at, came = look(call.store.folder, past, call.clock, is_marked=is_look, until=until)
    return at, [Came(*each) for each in came]
