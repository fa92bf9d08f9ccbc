"""The first sheet as it stood last, kept so that the next start has something to show at once."""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any, NamedTuple

from fieldbook.report.clock import clock
from fieldbook.report.stock import Station
from fieldbook.store.recent import state_folder
from fieldbook.tui.rows import Item, Page, Row

HOLDS_FOR = timedelta(days=2)
"""How long a kept page is worth showing."""
MOST_ROWS = 200
"""Rows of a page that are kept; one screen of them is shown at first."""
SET_BACK = timedelta(minutes=10)
"""A clock may have been set back by so much since."""


class LastPage(NamedTuple):
    """The page, how wide it was written, and the map above it."""

    page: Page
    width: int
    stations: tuple[Station, ...]
    fire: str = ""
    """The firing under way then, or the next."""


def _path(notebook: str) -> Path:
    mark = hashlib.sha256(os.path.realpath(notebook).encode()).hexdigest()[:12]
    return Path(state_folder()) / f"last-page-{mark}.json"


def keep(notebook: str, last: LastPage, now: datetime) -> None:
    """Keep a page; where it cannot be kept, the next start shows nothing before it has read."""
    rows = last.page.rows[:MOST_ROWS]
    items = last.page.items[: max((row.item for row in rows), default=-1) + 1]
    data = {
        "now": now.isoformat(),
        "width": last.width,
        "fire": last.fire,
        "rows": [[row.parts, row.item] for row in rows],
        "items": [[item.key, item.address, item.answer, item.rule] for item in items],
        "stations": [[station.name, station.count] for station in last.stations],
    }
    path = _path(notebook)
    with contextlib.suppress(OSError):
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        beside = path.with_suffix(f".{os.getpid()}")
        beside.write_text(json.dumps(data), encoding="utf-8")
        beside.replace(path)


def kept(notebook: str, now: datetime) -> LastPage | None:
    """The page kept last, where it is not too old; it says as of when it is."""
    try:
        data: Any = json.loads(_path(notebook).read_text(encoding="utf-8"))
        then = datetime.fromisoformat(data["now"])
        if not -SET_BACK <= now - then < HOLDS_FOR:
            return None
        rows = tuple(Row(tuple((str(t), str(s)) for t, s in parts), n) for parts, n in data["rows"])
        items = tuple(Item(str(k), str(a), str(w), str(r)) for k, a, w, r in data["items"])
        stations = tuple(Station(str(name), count) for name, count in data["stations"])
        title = f"What to do now, as it stood {clock(then, now)}"
        return LastPage(Page(title, rows, items), int(data["width"]), stations, str(data["fire"]))
    except (OSError, ValueError, KeyError, TypeError):
        return None
