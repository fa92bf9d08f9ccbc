"""What goes to the group and what came from it, in words of entries and observations."""

from __future__ import annotations

from fieldbook.tui import keys
from fieldbook.tui.look import Look
from fieldbook.tui.rows import Page
from fieldbook.tui.sheet import Paper, Sheet


class GroupSheet(Sheet):
    """What others did since one last looked, who did better, and what an exchange would do."""

    name = "group"
    says = (
        "What is new from the others, which of their firings did better than yours and how, and "
        "what goes to the group and comes from it."
    )
    keys = (keys.OPEN, keys.FIELD, keys.EXCHANGE, keys.LET_GO, keys.YES)

    def __init__(self) -> None:
        self.done: list[str] = []
        """What the last exchange did."""
        self.question = ""
        """What the last exchange asked before it would go on; empty where nothing."""
        self.is_begun = False
        """Whether the answer that lets go was begun; the second key ends it."""

    def page(self, look: Look, paper: Paper) -> Page:
        """What is new first; the plan of an exchange, or its report, after it."""
        from fieldbook.tui.group_page import group_page

        return group_page(self.done, self.question, look, paper)
