"""Entries side by side: what was done differently, then what came out differently."""

from __future__ import annotations

from collections.abc import Sequence

from fieldbook.tui.look import Look
from fieldbook.tui.rows import Page
from fieldbook.tui.sheet import Paper, Sheet


class BesideSheet(Sheet):
    """Two or more entries of one kind."""

    name = "side by side"
    says = "Entries of one kind: what was done differently, then what came out differently."

    def __init__(self, addresses: Sequence[str]) -> None:
        self.addresses = tuple(addresses)

    @property
    def key(self) -> str:
        """What tells it from other sheets."""
        return f"beside {self.addresses}"

    def page(self, look: Look, paper: Paper) -> Page:
        """Differences first; of firings the curves last."""
        from fieldbook.tui.beside_page import beside_page

        return beside_page(self.addresses, look, paper)
