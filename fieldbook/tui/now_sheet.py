"""The first sheet: what to do now, most urgent first."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from fieldbook.report.actions import NOTHING_TO_DO, due
from fieldbook.text import clean, cut
from fieldbook.tui import keys
from fieldbook.tui.answering import asked
from fieldbook.tui.look import Look
from fieldbook.tui.rows import Item, Page, Row, plain, wrapped
from fieldbook.tui.sheet import Paper, Sheet
from fieldbook.tui.why_sheet import WhySheet

if TYPE_CHECKING:
    from fieldbook.advice.actions import Action


class NowSheet(Sheet):
    """Actions: when, on what, what to do with its amount, and one line of why."""

    name = "now"
    says = "What to do now, most urgent first: when, on which entry, what, and one line of why."
    keys = (keys.WHY, keys.ANSWER, keys.NOT_NOW, keys.ENTRY)

    def page(self, look: Look, paper: Paper) -> Page:
        """Every action, each one an item."""
        rows: list[Row] = []
        for file in look.unreadable:
            words = f"{file} cannot be read, and counts for nothing here: fieldbook check tells why"
            rows += wrapped(f"! {words}", paper.width, " ", "warn")
        items: list[Item] = []
        for action in look.advice.actions:
            rows += action_rows(action, look, paper, len(items))
            items.append(item_of(action))
        if not items:
            rows += wrapped(NOTHING_TO_DO, paper.width, " ")
        return Page("What to do now", tuple(rows), tuple(items))


def item_of(action: Action) -> Item:
    """An action as something to choose."""
    return Item(
        f"{action.entry} {action.rule} {action.action}",
        action.entry if "/" in action.entry else "",
        action.log,
        action.rule,
        partial(WhySheet, action),
        order=action.do,
    )


def action_rows(action: Action, look: Look, paper: Paper, item: int) -> list[Row]:
    """When and where, what, one line of why, the caution whole."""
    when = due(action, look.now)
    style = "warn" if when.startswith("overdue") or when == "now" else "strong"
    head: tuple[tuple[str, str], ...] = ((f" {when}", style), (f"  {clean(action.entry)}", ""))
    room = paper.width - sum(len(text) for text, _ in head) - 2
    if action.log and room > 12:
        words = asked(action.log, action.entry).words
        head += ((cut(f"  (a) {clean(words)}", room), ""),)
    rows = [Row(head, item), *wrapped(action.do, paper.width - 1, "   ", "strong", item)]
    rows.append(plain(cut(f"   why: {clean(action.why)}", paper.width - 1), item=item))
    if action.caution:
        rows += wrapped(f"! {action.caution}", paper.width - 1, "   ", "warn", item)
    return rows
