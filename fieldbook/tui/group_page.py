"""The page of the group: what is new, who did better, what an exchange would do."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import partial

from fieldbook.errors import FieldbookError
from fieldbook.report.disputes import Dispute, Files, open_disputes
from fieldbook.report.entry import word
from fieldbook.report.makers import Makers
from fieldbook.report.news import Came, Line, news, news_lines, since_words
from fieldbook.report.units import clock
from fieldbook.store.names import SETTINGS_FILE
from fieldbook.sync.looked import look as look_on
from fieldbook.sync.looked import makers
from fieldbook.sync.past import Past, claims
from fieldbook.sync.syncing import Sync
from fieldbook.text import wrap
from fieldbook.tui.beside_sheet import BesideSheet
from fieldbook.tui.entry_sheet import sheet_for
from fieldbook.tui.look import Look
from fieldbook.tui.rows import Item, Page, Row, plain, wrapped
from fieldbook.tui.sheet import Paper, Sheet


def group_page(done: Sequence[str], question: str, look: Look, paper: Paper) -> Page:
    """What asks for an answer, then what is new; the plan of an exchange, or what it did, last."""
    width = paper.width - 1
    asked = _asked(question, width) if question else []
    rows, items = _decisions(look, width)
    rows = asked + rows
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


def _asked(question: str, width: int) -> list[Row]:
    """What an exchange asked, and the keys that answer it."""
    rows = [plain(" nothing was exchanged: this is asked first", "head")]
    for line in question.splitlines():
        rows += wrapped(line.strip(), width, "  ", "warn")
    return [*rows, *wrapped(ANSWERS, width, "  ", "strong")]


ANSWERS = "L, then Y lets them go for the whole group. Until then they stay."
"""The keys that answer the question about a great loss."""


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
        yield Line(f" {since_words(bool(came), when)}", "head")
        told = news(came, Makers(*makers(past)), look.context, look.units)
        yield from news_lines(told, look.units, width)
    except FieldbookError as error:
        yield from (Line(f" {text}") for text in str(error).splitlines())


def _decisions(look: Look, width: int) -> tuple[list[Row], list[Item]]:
    """What needs a decision, each a field to be changed here."""
    rows: list[Row] = []
    items: list[Item] = []
    try:
        found = _disputes(look)
    except FieldbookError:
        return rows, items  # what is wrong with the history is said where the news are
    if found:
        rows.append(plain(" needs a decision", "head"))
    for each in found:
        for text in wrap(each.text(look.now), width, "    ", "  "):
            rows.append(plain(text, "warn", len(items)))
        items.append(_decision(each))
    return rows + (wrapped(WAY_OUT, width, "  ") if found else []), items


WAY_OUT = "Set the right one: choose it, c, type the value. That settles it for all."
"""How a dispute is ended on the screen."""


def _decision(dispute: Dispute) -> Item:
    """A disputed field, to be set; Enter opens its entry."""
    address = dispute.address
    opens = partial(sheet_for, address) if address != SETTINGS_FILE else None
    holds = word(dispute.holds)
    return Item(f"{address} {dispute.field}", address, "", "", opens, dispute.field, holds)


def _disputes(look: Look) -> list[Dispute]:
    """What needs a decision, with who set what; the settings first."""
    store = look.store
    past = Past.of(store.folder)
    if past is None:
        return []
    files = Files(store.settings_file.data, lambda a: store.read(a).data, partial(claims, past))
    return open_disputes(look.context.notebook, files)


NOTHING = "nothing of yours is waiting to be sent; x asks the others what is new"


def _plan(look: Look) -> list[str]:
    """What would be sent, by what is known here: a group that is away keeps nobody waiting."""
    try:
        plan = Sync(look.store.folder, look.store.settings.maker).plan(fetches=False)
        return plan.lines() if plan.to_send or plan.to_take or plan.asks else [NOTHING]
    except FieldbookError as error:
        return str(error).splitlines()
