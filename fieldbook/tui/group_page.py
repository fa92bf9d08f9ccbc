"""The page of the group: what is new, who did better, what an exchange would do."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import partial

from fieldbook.errors import FieldbookError
from fieldbook.report.disputes import Dispute, disputed_in, disputes_of
from fieldbook.report.makers import Makers
from fieldbook.report.news import Came, Line, dispute_lines, news, news_lines, since_words
from fieldbook.report.units import clock
from fieldbook.sync.looked import look as look_on
from fieldbook.sync.looked import makers
from fieldbook.sync.past import Past, who_disputes
from fieldbook.sync.syncing import Sync
from fieldbook.tui.beside_sheet import BesideSheet
from fieldbook.tui.entry_sheet import sheet_for
from fieldbook.tui.look import Look
from fieldbook.tui.rows import Item, Page, Row, plain, wrapped
from fieldbook.tui.sheet import Paper, Sheet


def group_page(done: Sequence[str], look: Look, paper: Paper) -> Page:
    """What is new first; the plan of an exchange, or what the last one did, after it."""
    width = paper.width - 1
    rows: list[Row] = []
    items: list[Item] = []
    for line in _news(look, width):
        opens = _opens(line)
        if opens is not None and (not items or items[-1].key != _key(line)):
            items.append(Item(_key(line), line.address, opens=opens))
        rows.append(plain(line.text, line.style, len(items) - 1 if opens else -1))
    told = "taken in: what is told above"
    taken = [told] if rows and any(map(is_taken, done)) else []
    left = [text for text in done if not taken or not is_taken(text)]
    for text in [*left, *taken] or _plan(look):
        rows += wrapped(text, width, " ")
    return Page("The group", tuple(rows) or (plain(" nothing to exchange"),), tuple(items))


def is_taken(text: str) -> bool:
    """Whether a line of the report is of what came in, which the news tell better."""
    return text.startswith("taken in: ")


def _key(line: Line) -> str:
    return f"{line.address} {line.beside}"


def _opens(line: Line) -> Callable[[], Sheet] | None:
    """The entry of a line; of a firing that did better, both side by side."""
    if line.beside:
        return partial(BesideSheet, (line.address, line.beside))
    return partial(sheet_for, line.address) if line.address else None


def _news(look: Look, width: int) -> Iterator[Line]:
    """What is new since the last look at it, which this one is."""
    folder = look.store.folder
    try:
        past = Past.of(folder)
        if past is None:
            return
        since, found = look_on(folder, past, look.now)
        when = clock(since, look.now) if since else ""
        came = [Came(*each) for each in found]
        yield from dispute_lines(_disputes(look, past), look.now, width)
        yield Line(f" {since_words(bool(came), when)}", "head")
        told = news(came, Makers(*makers(past)), look.context, look.units)
        yield from news_lines(told, look.units, width)
    except FieldbookError as error:
        yield from (Line(f" {text}") for text in str(error).splitlines())


def _disputes(look: Look, past: Past) -> list[Dispute]:
    """What needs a decision, with who set what."""
    found = []
    for entry in disputed_in(look.context.notebook):
        known = who_disputes(past.of_entry(entry.path), entry.disputed)
        found += disputes_of(entry, look.store.read(entry.address).data, known)
    return found


NOTHING = "nothing of yours is waiting to be sent; x asks the others what is new"


def _plan(look: Look) -> list[str]:
    """What would be sent, by what is known here: a group that is away keeps nobody waiting."""
    try:
        plan = Sync(look.store.folder, look.store.settings.maker).plan(fetches=False)
        return plan.lines() if plan.to_send or plan.to_take or plan.asks else [NOTHING]
    except FieldbookError as error:
        return str(error).splitlines()
