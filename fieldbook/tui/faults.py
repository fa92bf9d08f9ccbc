"""A fault of the program while the screen is up: one line for the person, the trace for a file."""

from __future__ import annotations

import time
import traceback
from pathlib import Path

from fieldbook.store.recent import state_folder


def keep_trace(bug: BaseException) -> str:
    """Write the trace to the state folder; what to tell the person."""
    path = Path(state_folder()) / f"fault-{time.strftime('%Y%m%d-%H%M%S')}.txt"
    said = f"a fault of the program, not yours: {type(bug).__name__}"
    try:
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        path.write_text("".join(traceback.format_exception(bug)), encoding="utf-8")
    except OSError:
        return f"{said} (its trace could not be kept)"
    return f"{said}; its trace is in {path}"
