"""Opening the screen: on a notebook, or where there is none yet."""

from __future__ import annotations

from pathlib import Path

from fieldbook.errors import FieldbookError
from fieldbook.store.names import find_notebook
from fieldbook.store.recent import state_folder
from fieldbook.tui.desk import Desk
from fieldbook.tui.first_sheet import (
    SAMPLE_TIME,
    FirstScreen,
    FirstSheet,
    copied_sample,
    new_notebook,
    sample_folder,
)
from fieldbook.tui.screen import Screen
from fieldbook.tui.terminal import is_ascii_only


def run_screen(folder: Path, now: str | None, units: str | None) -> int:
    """Open the screen on the notebook found from `folder`; gives the exit status."""
    ascii_only = is_ascii_only()
    try:
        notebook = Path(find_notebook(str(folder)))
    except FieldbookError:
        chosen = _without_notebook(folder, ascii_only=ascii_only)
        if chosen is None:
            return 0
        notebook, now = chosen[0], now or chosen[1]
    screen = Screen(Desk(notebook, now, units, ascii_only=ascii_only))
    status = screen.run(mouse=not ascii_only)
    if screen.trouble is not None:
        raise screen.trouble
    return status or 0


def _without_notebook(folder: Path, *, ascii_only: bool) -> tuple[Path, str | None] | None:
    """Make a notebook or copy the sample, as one key says; the folder, and the time to open it."""
    sample = sample_folder()
    sheet = FirstSheet(folder.resolve(), sample)
    answer = FirstScreen(sheet, ascii_only=ascii_only).run(mouse=False)
    if answer == "make":
        return new_notebook(folder), None
    if answer == "sample" and sample:
        return copied_sample(sample, Path(state_folder())), SAMPLE_TIME
    return None
