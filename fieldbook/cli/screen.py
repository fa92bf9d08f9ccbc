"""`fieldbook` alone: the terminal screen."""

from __future__ import annotations

import os
import sys

from fieldbook.cli.call import Call
from fieldbook.errors import FieldbookError


def open_screen(call: Call) -> int:
    """Open the screen on the notebook found from here."""
    if not (sys.stdin.isatty() and sys.stdout.isatty() and sys.stderr.isatty()):
        raise FieldbookError(
            "the screen needs a terminal\n    "
            "Without one, use the commands: `fieldbook next`, `fieldbook help`"
        )
    if os.environ.get("TERM", "dumb") in ("dumb", ""):
        raise FieldbookError(
            "this terminal cannot place text (TERM is dumb)\n    "
            "Set TERM to what it is, or use the commands: `fieldbook next`, `fieldbook help`"
        )
    from fieldbook.tui.app import run_screen

    return run_screen(call.folder, call.shared.now, call.shared.units)
