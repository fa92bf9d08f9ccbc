"""Whether the terminal rings when a reading is overdue: once each time, if the maker wants it."""

from __future__ import annotations

import contextlib
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from fieldbook.store.recent import state_folder

if TYPE_CHECKING:
    from fieldbook.tui.look import Look


class BellFile:
    """The choice, kept in the person's state folder, and what was rung for last."""

    def __init__(self) -> None:
        self.path = Path(state_folder()) / "rings"
        self.rung_for: datetime | None = None

    @property
    def rings(self) -> bool:
        """Whether it is wanted."""
        return self.path.exists()

    def set(self, wanted: bool) -> None:
        """Keep the choice; where it cannot be kept, nothing rings."""
        with contextlib.suppress(OSError):
            if wanted:
                self.path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
                self.path.touch()
            else:
                self.path.unlink(missing_ok=True)

    def is_due(self, overdue_since: datetime | None) -> bool:
        """Whether to ring now for what is overdue since then."""
        if overdue_since is None or overdue_since == self.rung_for or not self.rings:
            return False
        self.rung_for = overdue_since
        return True


def overdue_since(look: Look) -> datetime | None:
    """Since when a reading of a fire is overdue; None where none is."""
    return min(
        (
            action.when
            for action in look.advice.actions
            if action.entry.startswith("firings/") and action.when and action.when < look.now
        ),
        default=None,
    )
