"""What goes to the group and what came from it, in words of entries and observations."""

from __future__ import annotations

from fieldbook.errors import FieldbookError
from fieldbook.tui import keys
from fieldbook.tui.look import Look
from fieldbook.tui.rows import Page, plain, wrapped
from fieldbook.tui.sheet import Paper, Sheet


class GroupSheet(Sheet):
    """What an exchange with the group would do now, or has done."""

    name = "group"
    says = "What goes to the group and comes from it."
    keys = (keys.EXCHANGE,)

    def __init__(self) -> None:
        self.done: list[str] = []
        """What the last exchange did."""

    def page(self, look: Look, paper: Paper) -> Page:
        """The plan, or the report."""
        width = paper.width - 1
        lines = self.done or _plan(look)
        rows = [row for line in lines for row in wrapped(line, width, " ")]
        return Page("The group", tuple(rows) or (plain(" nothing to exchange"),))


def _plan(look: Look) -> list[str]:
    from fieldbook.sync.syncing import Sync

    try:
        return list(Sync(look.store.folder, look.store.settings.maker).plan().lines())
    except FieldbookError as error:
        return str(error).splitlines()
