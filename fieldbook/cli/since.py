"""A moment in the past as typed, and the notebook as it was then."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from typing import TYPE_CHECKING, NamedTuple

from fieldbook.cli.call import Call
from fieldbook.errors import FieldbookError, Unreadable, WrongUse
from fieldbook.text import clean

if TYPE_CHECKING:
    from fieldbook.records import Entry
    from fieldbook.store.folder import Store
    from fieldbook.sync.past import Kept, Past

HELP = "a time, a day such as 2026-05-03, or a moment of git's history"
FROM_NOW = "no history reaches back to then: fields are taken as they are now"


class Since(NamedTuple):
    """A moment in the past."""

    at: datetime
    kept: Kept | None
    """The moment of the history, where one was named."""
    past: Past | None


def since_of(call: Call, text: str) -> Since:
    """What was typed after `--since`.

    Raises:
        WrongUse: it is no time, no day and no moment of the history.
    """
    from fieldbook.lines.toml_text import read_key
    from fieldbook.sync.past import COMMIT, Past

    past = Past.of(call.store.folder)
    if re.fullmatch(r"\d{4}-\d\d-\d\d", text):
        text += " 00:00"
    elif past is not None and COMMIT.fullmatch(text):
        kept = past.moment(text)
        return Since(kept.at.astimezone(call.store.zone), kept, past)
    try:
        return Since(read_key(text, call.store.zone), None, past)
    except Unreadable as error:
        raise WrongUse(
            f"--since {clean(text)!r} is no time: write 2026-05-03, 2026-05-03 14:10, or the "
            "first digits of a moment of git's history"
        ) from error


class Then(NamedTuple):
    """The notebook as it was."""

    store: Store
    address: str
    """Of the entry, under the name that it had."""
    note: str
    """What is to be said of how far this can be known; empty where nothing."""


@contextmanager
def as_it_was(call: Call, since: Since, address: str) -> Iterator[Then]:
    """The notebook at a moment; where no history tells, as it is now.

    Raises:
        FieldbookError: the entry was not there yet.
    """
    found = _standing(since, address)
    if found is None:
        record = call.store.read(address).record
        if since.past is not None and not _is_older(record, since.at):
            raise FieldbookError(f"{address} was not there yet at {since.at:%Y-%m-%d %H:%M}")
        yield Then(call.store, address, FROM_NOW)
        return
    from fieldbook.store.folder import Store

    kept, former = found
    assert since.past is not None
    with since.past.as_it_was(kept) as folder:
        yield Then(Store(folder), former, "")


def _standing(since: Since, address: str) -> tuple[Kept, str] | None:
    """The moment that shows an entry as it was, and its name then."""
    if since.past is None:
        return None
    names = [change.path for change in since.past.of_entry(f"{address}.toml")]
    for path in dict.fromkeys([f"{address}.toml", *names]):
        kept = since.kept or since.past.standing(since.at, path)
        if kept is not None and since.past.holds(kept.commit, path):
            return kept, path.removesuffix(".toml")
    return None


def _is_older(record: Entry | None, at: datetime) -> bool:
    return record is not None and bool(record.log) and record.log[0].at <= at
