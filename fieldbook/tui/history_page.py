"""The page of a history: what came of it, whether it gets better, what was seen and changed."""

from __future__ import annotations

from functools import partial
from typing import Any

from fieldbook.errors import FieldbookError
from fieldbook.records import Batch, Entry, Firing, Test
from fieldbook.report.disputes import disputes_of
from fieldbook.report.history import Turn, history, own_history, trends_of
from fieldbook.report.units import clock
from fieldbook.sync.past import Past, turns, who_disputes, who_saw
from fieldbook.text import clean
from fieldbook.tui.entry_sheet import sheet_for
from fieldbook.tui.look import Look
from fieldbook.tui.rows import Item, Page, Row, plain, wrapped
from fieldbook.tui.sheet import Paper


def history_page(address: str, look: Look, paper: Paper) -> Page:
    """What came, oldest first; below it the entry's own past, newest first."""
    entry = look.context.notebook.entry(address)
    root = _root(look, address)
    rows: list[Row] = []
    items: list[Item] = []
    for event in history(root, look.context, look.units) if root else []:
        when = clock(event.at, look.now) if event.at else "no date"
        number = len(items)
        rows.append(plain(f" {when}  {event.address}", "strong", number))
        rows += wrapped(event.told, paper.width - 1, "    ", item=number)
        items.append(Item(event.address, event.address, opens=partial(sheet_for, event.address)))
    if not rows:
        rows = [plain(" nothing came of it yet")]
    for text in trends_of(root, look.context, look.units) if root else []:
        rows += wrapped(f"trend: {text}", paper.width - 1, " ")
    rows += _own(entry, look, paper.width - 1) if entry else []
    of = root.address if root else address
    return Page(f"History of {clean(of)}", tuple(rows), tuple(items))


def _own(entry: Entry, look: Look, width: int) -> list[Row]:
    """What was seen on the entry and changed in it; who, by git where its file does not say."""
    try:
        past = Past.of(look.store.folder)
        changes = past.of_entry(entry.path) if past is not None else []
    except FieldbookError as error:
        return [plain(f" {line}", "warn") for line in str(error).splitlines()]
    data = look.store.read(entry.address).data
    log: Any = data.get("log")
    seen_by = {key: kept.maker for key, kept in who_saw(changes).items()}
    done = [Turn(*each) for each in turns(changes)]
    known = who_disputes(changes, entry.disputed)
    disputed = [each.text(look.now) for each in disputes_of(entry, data, known)]
    events = own_history(entry, log if isinstance(log, dict) else {}, done, seen_by)
    rows = [plain(""), plain(f" seen and changed on {entry.address}", "head")] if events else []
    rows += [row for text in disputed for row in wrapped(f"! {text}", width, " ", "warn")]
    for event in reversed(events):
        who = f"  ({event.by})" if event.by else ""
        when = clock(event.at, look.now) if event.at else ""
        rows += wrapped(f"{when}  {event.told}{who}", width, " ")
    return rows


def _root(look: Look, address: str) -> Entry | None:
    """The mix of a batch, the kiln of a firing, else the entry itself."""
    notebook = look.context.notebook
    entry = notebook.entry(address)
    if isinstance(entry, Test):
        entry = notebook.entry(f"batches/{entry.batch}") or entry
    if isinstance(entry, Batch):
        return notebook.entry(f"mixes/{entry.mix}") or entry
    if isinstance(entry, Firing):
        return notebook.entry(f"kilns/{entry.kiln}") or entry
    return entry
