"""The numbers behind one derived value."""

from __future__ import annotations

from fieldbook.tui import keys
from fieldbook.tui.look import Look
from fieldbook.tui.rows import Page, plain, rows_of
from fieldbook.tui.sheet import Paper, Sheet


class ValueSheet(Sheet):
    """Inputs with file and line, formula, source, uncertainty by input."""

    name = "value"
    says = "The numbers behind one value: inputs with file and line, formula, source, uncertainty."
    keys = (keys.TEXT,)

    def __init__(self, address: str, value: str) -> None:
        self.address, self.value = address, value

    @property
    def key(self) -> str:
        """What tells it from other sheets."""
        return f"value {self.address} {self.value}"

    def page(self, look: Look, paper: Paper) -> Page:
        """The chain as `why` prints it."""
        from fieldbook.report.why import result_why

        review = look.context.review(self.address)
        result = review.results.get(self.value) if review else None
        title = f"{self.address}: {self.value.replace('_', ' ')}"
        if review is None or result is None:
            return Page(title, (plain(" this value does not follow any more"),))
        lines = result_why(review, result, look.units, look.now, paper.width - 1)
        return Page(title, tuple(rows_of(lines)))
