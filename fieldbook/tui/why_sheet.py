"""The numbers behind an action."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fieldbook.report.actions import action_lines
from fieldbook.tui import keys
from fieldbook.tui.look import Look
from fieldbook.tui.rows import Item, Page, rows_of
from fieldbook.tui.sheet import Paper, Sheet

if TYPE_CHECKING:
    from fieldbook.advice.actions import Action


class WhySheet(Sheet):
    """What an action rests on: values, inputs with file and line, formula, source."""

    name = "why"
    says = "The numbers behind an action: what it rests on, the rule, its source, what settles it."
    keys = (keys.ANSWER, keys.NOT_NOW, keys.ENTRY)

    def __init__(self, action: Action) -> None:
        self.action = action
        self.address = action.entry if "/" in action.entry else ""

    @property
    def key(self) -> str:
        """What tells it from other sheets."""
        return f"why {self.action.entry} {self.action.rule}"

    def page(self, look: Look, paper: Paper) -> Page:
        """The chain as `why` prints it."""
        from fieldbook.report.why import action_why

        action = self._as_of(look)
        review = look.context.review(action.entry) if self.address else None
        if review is None:
            lines = action_lines(action, look.now, paper.width - 1)
        else:
            lines = action_why(action, review, look.units, look.now, paper.width - 1)
        whole = Item("action", self.address, action.log, action.rule, order=action.do)
        return Page(f"Why: {action.action}", tuple(rows_of(lines)), (whole,))

    def _as_of(self, look: Look) -> Action:
        """The same action as it stands now; as it stood where it is no longer advised."""
        for action in look.advice.actions:
            if (action.entry, action.rule) == (self.action.entry, self.action.rule):
                return action
        return self.action
