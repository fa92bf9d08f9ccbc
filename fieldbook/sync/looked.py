"""What others kept since a maker last looked; how far one has looked is the person's own affair.

It is remembered in the state folder, outside what is shared, as the moment the notebook stood on.
"""

from __future__ import annotations

import json
import os
import re
from collections.abc import Iterator
from contextlib import suppress
from datetime import datetime
from pathlib import Path
from typing import NamedTuple

from fieldbook.store.recent import state_folder
from fieldbook.sync.past import Change, Past, said_in
from fieldbook.sync.renames import became
from fieldbook.sync.values import changes_between

LINE = re.compile(rb"^[ \t]*[\"']?\d{4}-\d\d-\d\d[^=\n]*=", re.MULTILINE)
"""A line of a log, by its time."""


class Came(NamedTuple):
    """What one maker did to one entry, as far as it is new."""

    address: str
    maker: str
    is_begun: bool
    is_gone: bool
    lines: int
    """Observations that came."""
    fields: tuple[str, ...]
    """Fields that were set or changed; of an entry that was begun, those that were so later."""


class Looked(NamedTuple):
    """How far a maker has looked: the moment seen last and when, and those of the time before."""

    seen: str
    at: str
    before: str = ""
    before_at: str = ""


def what_came(past: Past, since: str | None, until: datetime | None = None) -> list[Came]:
    """What others kept since a moment, or ever, entry by entry; by a time where one is given."""
    _, mine = past.me
    found: dict[tuple[str, str], list[Change]] = {}
    for change in _followed(past.changes(since=since)):
        address = change.path.removesuffix(".toml")
        is_there = until is None or change.kept.at <= until
        if change.kept.address != mine and "/" in address and is_there:
            found.setdefault((address, change.kept.maker), []).append(change)
    return [_came(address, maker, changes) for (address, maker), changes in sorted(found.items())]


def _followed(changes: list[Change]) -> Iterator[Change]:
    """The changes, the newest first, each under the name that the entry has now.

    Of an entry that got another name at a moment there is one change there, not two.
    """
    moments: dict[str, list[Change]] = {}
    for change in changes:
        moments.setdefault(change.kept.commit, []).append(change)
    now: dict[str, str] = {}
    for at_once in moments.values():
        gone = {c.path: c.before for c in at_once if c.before is not None and c.after is None}
        fresh = {c.path: c.after for c in at_once if c.before is None and c.after is not None}
        former = {new: old for old, new in became(gone, fresh).items()} if gone and fresh else {}
        for change in at_once:
            path = now.get(change.path, change.path)
            if (old := former.get(change.path)) is not None:
                yield change._replace(path=path, before=gone[old], former=old)
            elif change.path not in former.values():
                yield change._replace(path=path)
        now.update({old: now.get(new, new) for new, old in former.items()})


def _came(address: str, maker: str, changes: list[Change]) -> Came:
    """The changes of one maker to one entry, the newest first, as one."""
    begun = [change for change in changes if change.before is None]
    fields: dict[str, None] = {}
    for change in reversed(changes):
        if change.former:
            fields["name"] = None
        if change in begun:
            continue
        old, new = dict(said_in(change.before)), dict(said_in(change.after))
        old.pop("log", None), new.pop("log", None)
        fields.update(dict.fromkeys(path[0] for path, _ in changes_between(old, new)))
    return Came(
        address,
        maker,
        bool(begun),
        changes[0].after is None,
        _lines(changes),
        tuple(fields),
    )


def _lines(changes: list[Change]) -> int:
    """How many observations came; of a file that came whole its lines are counted unread."""
    if len(changes) == 1 and changes[0].before is None:
        _, _, log = (changes[0].after or b"").partition(b"[log]")
        return len(LINE.findall(log))
    return len({key for change in changes for key in change.lines})


def _file(folder: Path) -> Path:
    return Path(state_folder()) / "looked.json"


def looked(folder: Path) -> Looked | None:
    """How far this person has looked in a notebook; None where they never did."""
    row = _marks(folder).get(str(folder.resolve()))
    if not (isinstance(row, list) and len(row) == 4 and all(isinstance(x, str) for x in row)):
        return None
    mark = Looked(*row)
    return mark if _time(mark.at) else None


def _time(text: str) -> datetime | None:
    """A time as it was written down; None where it is none."""
    try:
        at = datetime.fromisoformat(text)
    except ValueError:
        return None
    return at if at.tzinfo else None


def _marks(folder: Path) -> dict[str, object]:
    try:
        marks = json.loads(_file(folder).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return marks if isinstance(marks, dict) else {}


def makers(past: Past) -> tuple[str, dict[str, str]]:
    """Who keeps things here, and who began each entry, by its address."""
    me, address = past.me
    begun = past.begun().items()
    return me, {
        path.removesuffix(".toml"): me if kept.address == address else kept.maker
        for path, kept in begun
    }


def whose(folder: Path, maker: str | None) -> tuple[str, dict[str, str]]:
    """The same of any notebook; where no history is kept, `maker` is who keeps things here."""
    past = Past.of(folder)
    return makers(past) if past is not None else (maker or "", {})


def look(
    folder: Path,
    past: Past,
    now: datetime,
    *,
    is_marked: bool = True,
    until: datetime | None = None,
) -> tuple[datetime | None, list[Came]]:
    """What is new since the last look, and when that was; this look is remembered.

    `until` asks as of a time: what was kept later is left out, and nothing should be marked then.
    Looked at again, the same is shown until more has come: a look moves on only when others kept
    something since the one before.
    """
    newest = past.newest
    mark = looked(folder)
    if newest is None:
        return None, []
    if mark is None or not past.has(mark.seen):
        _remember(folder, Looked(newest.commit, now.isoformat()), is_marked)
        return None, what_came(past, None, until)
    if mark.seen != newest.commit and (came := what_came(past, mark.seen, until)):
        _remember(folder, Looked(newest.commit, now.isoformat(), mark.seen, mark.at), is_marked)
        return _time(mark.at), came
    if not mark.before or not past.has(mark.before):
        return None, what_came(past, None, until)
    return _time(mark.before_at), what_came(past, mark.before, until)


def _remember(folder: Path, mark: Looked, is_marked: bool) -> None:
    """Keep the mark, if it is to be kept; where that fails, the same is new again next time."""
    if not is_marked:
        return
    path = _file(folder)
    marks = {**_marks(folder), str(folder.resolve()): list(mark)}
    with suppress(OSError):
        path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        beside = path.with_name(f"{path.name}-{os.getpid()}")
        beside.write_text(json.dumps(marks, indent=1), encoding="utf-8")
        beside.replace(path)
