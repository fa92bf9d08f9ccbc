"""`fieldbook history ENTRY`: what came of it, what was seen on it, and who changed it when."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from fieldbook.cli.call import Call
from fieldbook.errors import FieldbookError
from fieldbook.text import clean, wrap

if TYPE_CHECKING:
    from fieldbook.records import Entry
    from fieldbook.report.history import Event


def arguments(parser: argparse.ArgumentParser) -> None:
    """The words it takes."""
    parser.add_argument("entry", metavar="ENTRY", help="a mix, a kiln or a clay, or any other")


def run(call: Call, given: argparse.Namespace) -> int:
    """Print the history, oldest first."""
    from fieldbook.report.history import history, trends_of
    from fieldbook.report.units import Units

    address = call.store.resolve(given.entry)
    entry = call.notebook.entry(address)
    if entry is None:
        raise FieldbookError(f"{address} cannot be read; `fieldbook check` says why")
    units = Units.for_notebook(call.notebook.settings, call.shared.units)
    came = history(entry, call.context, units)
    own = _own(call, entry)
    if call.shared.json:
        rows = [*came, *own]
        call.write_json([{**e._asdict(), "at": e.at.isoformat() if e.at else None} for e in rows])
        return 0
    lines = [line for event in came for line in _lines(event, "%Y-%m-%d", call.width)]
    lines += [clean(line) for line in disputed(call, entry)]
    lines += [clean(f"trend: {text}") for text in trends_of(entry, call.context, units)]
    if own:
        lines += ["", f"seen and changed on {address}"] if lines else []
        lines += [line for e in own for line in _lines(e, "%Y-%m-%d %H:%M", call.width)]
    print("\n".join(lines or [f"nothing was made with {address} yet"]))
    return 0


def _own(call: Call, entry: Entry) -> list[Event]:
    """What was seen and changed on the entry itself; who, by git where its file does not say."""
    from fieldbook.report.history import Turn, own_history
    from fieldbook.sync.past import Past, turns, who_saw

    past = Past.of(call.store.folder)
    changes = past.of_entry(entry.path) if past is not None else []
    by_now = [change for change in changes if change.kept.at <= call.clock]
    log = call.store.read(entry.address).data.get("log")
    return own_history(
        entry,
        log if isinstance(log, dict) else {},
        [Turn(*each) for each in turns(by_now)],
        {key: kept.maker for key, kept in who_saw(changes).items()},
    )


def disputed(call: Call, entry: Entry) -> list[str]:
    """Fields that two makers set differently, with who and when, where git's history tells."""
    if not entry.disputed:
        return []
    from fieldbook.report.disputes import disputes_of
    from fieldbook.sync.past import Past, who_disputes

    past = Past.of(call.store.folder)
    known = who_disputes(past.of_entry(entry.path), entry.disputed) if past is not None else ()
    data = call.store.read(entry.address).data
    return [f"disputed: {each.text(call.clock)}" for each in disputes_of(entry, data, known)]


def _lines(event: Event, day: str, width: int) -> list[str]:
    """One event: when, of what, what, and who."""
    width_of_day = 10 if day == "%Y-%m-%d" else 16
    when = event.at.strftime(day) if event.at else " " * width_of_day
    who = f"  ({event.by})" if event.by else ""
    head = f"{when}  {event.address}  " if width_of_day == 10 else f"{when}  "
    return wrap(f"{event.told}{who}", width, " " * 12, clean(head))
