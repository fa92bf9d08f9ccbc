"""What is shown at once: the page kept last, or what was touched last where there is none."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime
from functools import partial
from heapq import nlargest
from typing import TYPE_CHECKING

from fieldbook.report.clock import clock
from fieldbook.report.stock import empty_map
from fieldbook.store.names import FOLDERS, is_name
from fieldbook.tui import last_page
from fieldbook.tui.entry_sheet import sheet_for
from fieldbook.tui.last_page import LastPage
from fieldbook.tui.rows import Item, Page, Row, plain

if TYPE_CHECKING:
    from fieldbook.tui.desk import Desk
    from fieldbook.tui.watching import Watch

FIRINGS = 2
"""So many firings come first, whenever their files changed."""
TITLE = "Touched last, while the notebook is read"


def first_page(desk: Desk, watch: Watch, width: int, rows: int) -> LastPage:
    """The first thing shown, and the map above it; it reads names and times alone."""
    now = desk.clock()
    last = last_page.kept(desk.folder, now)
    if last is not None and last.width <= width:
        return last
    return LastPage(touched_page(watch.begin(), now, rows), width, empty_map())


def touched_last(stamps: Mapping[str, tuple[int, int]], most: int) -> list[tuple[str, int]]:
    """The newest firings by name, then the entries whose files changed last; each with when [ns].

    A notebook that was just copied has files of one time alone; the name of a firing is its day.
    """
    found = {path.removesuffix(".toml"): stamp[0] for path, stamp in stamps.items()}
    firings = nlargest(FIRINGS, (address for address in found if address.startswith("firings/")))
    latest = nlargest(most, found, key=lambda address: (found[address], address))
    chosen = dict.fromkeys(filter(_is_entry, [*firings, *latest]))
    return [(address, found[address]) for address in chosen][:most]


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
