"""What was touched last: shown at once, before a notebook is read for the first time."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime
from functools import partial
from heapq import nlargest

from fieldbook.report.clock import clock
from fieldbook.store.names import FOLDERS, is_name
from fieldbook.tui.entry_sheet import sheet_for
from fieldbook.tui.rows import Item, Page, Row, plain

TITLE = "Touched last, while the notebook is read"


def touched_last(stamps: Mapping[str, tuple[int, int]], most: int) -> list[tuple[str, int]]:
    """The entries whose files changed last, with the time [ns]; of one time, by name."""
    found = ((stamp[0], path.removesuffix(".toml")) for path, stamp in stamps.items())
    return [(address, when) for when, address in nlargest(most, found) if _is_entry(address)]


def _is_entry(address: str) -> bool:
    folder, _, name = address.partition("/")
    return folder in FOLDERS and is_name(name)


def touched_page(stamps: Mapping[str, tuple[int, int]], now: datetime, rows: int) -> Page:
    """Their names and when they were touched, each one an item."""
    shown: list[Row] = []
    items: list[Item] = []
    for address, when in touched_last(stamps, rows):
        moment = datetime.fromtimestamp(when / 1e9, UTC).astimezone(now.tzinfo)
        shown.append(plain(f"  {address}  {clock(moment, now)}", item=len(items)))
        items.append(Item(address, address, opens=partial(sheet_for, address)))
    return Page(TITLE, tuple(shown), tuple(items))
