"""A fault of the program: said in one line, its trace kept for whoever mends it."""

from __future__ import annotations

import os
import sys
import time
import traceback
from pathlib import Path


def state_folder() -> Path:
    """The person's own folder for what the program keeps between runs."""
    home = os.environ.get("XDG_STATE_HOME") or Path.home() / ".local" / "state"
    return Path(home) / "fieldbook"


def keep_trace(bug: BaseException) -> str:
    """Write the trace to the state folder; a sentence that says what and where."""
    text = "".join(traceback.format_exception(bug))
    path = state_folder() / f"fault-{time.strftime('%Y%m%d-%H%M%S')}.txt"
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(f"fieldbook {sys.argv[1:2]}\n{text}", encoding="utf-8")
    except OSError:
        return f"{type(bug).__name__} (its trace could not be kept)"
    return f"{type(bug).__name__}; its trace is in {path}"
