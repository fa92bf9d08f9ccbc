"""Saving what a typed line says, wherever in the entry it belongs."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fieldbook.errors import FieldbookError, WrongUse
from fieldbook.store.append import Saved, append

if TYPE_CHECKING:
    from fieldbook.lines.reading import Observation


def save(notebook: str, address: str, observation: Observation, by: str | None) -> list[Saved]:
    """Put an observation on the disk: a line of the log, a specimen, what was unloaded.

    Raises:
        FieldbookError: nothing was saved, and why.
    """
    saved = []
    if observation.target != "log" and observation.fields:
        from fieldbook.store.rows import set_row, set_unloaded

        if observation.target == "specimens":
            saved.append(
                set_row(notebook, address, "specimens", observation.name, observation.fields)
            )
        else:
            saved.append(set_unloaded(notebook, address, observation.fields))
    line = observation.line(by)
    if line:
        try:
            saved.append(append(notebook, address, observation.at, line))
        except FieldbookError:
            _take_back(notebook, saved)
            raise
    if not saved:
        raise WrongUse("there is nothing in that line to save")
    if saved[0].undo:
        from fieldbook.store.taking_back import remember

        remember(notebook, saved)
    return saved


def _take_back(notebook: str, saved: list[Saved]) -> None:
    """An observation is saved as a whole or not at all."""
    from fieldbook.store.rows import undo

    for each in reversed(saved):
        undo(notebook, each)
