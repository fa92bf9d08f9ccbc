"""Saving what a typed line says, wherever in the entry it belongs."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fieldbook.errors import FieldbookError, WrongUse
from fieldbook.store.append import Saved, append_all

if TYPE_CHECKING:
    from fieldbook.lines.reading import Observation


def save(notebook: str, address: str, observation: Observation, by: str | None) -> list[Saved]:
    """Put an observation on the disk: a line of the log, a specimen, what was unloaded.

    Raises:
        FieldbookError: nothing was saved, and why.
    """
    parts = (observation, *observation.more)
    saved: list[Saved] = []
    try:
        for part in parts:
            if part.target != "log" and part.fields:
                saved.append(_save_fields(notebook, address, part))
        lines = [(part.at, line) for part in parts if (line := part.line(by))]
        if lines:
            saved += append_all(notebook, address, lines)
    except FieldbookError:
        _take_back(notebook, saved)
        raise
    if not saved:
        raise WrongUse("there is nothing in that line to save")
    if len(saved) > 1 or saved[0].undo:
        from fieldbook.store.taking_back import remember

        remember(notebook, saved)
    return saved


def _save_fields(notebook: str, address: str, part: Observation) -> Saved:
    """What goes into other fields than the log."""
    from fieldbook.store.rows import set_row, set_unloaded

    if part.target == "specimens":
        return set_row(notebook, address, "specimens", part.name, part.fields)
    return set_unloaded(notebook, address, part.fields)


def _take_back(notebook: str, saved: list[Saved]) -> None:
    """An observation is saved as a whole or not at all."""
    if saved:
        from fieldbook.store.rows import undo_all

        undo_all(notebook, saved)
