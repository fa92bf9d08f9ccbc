"""Work that may take long, done by another process, so that it can be stopped at any time."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from contextlib import suppress
from time import monotonic
from typing import TYPE_CHECKING

from fieldbook.errors import FieldbookError
from fieldbook.tui.group_sheet import GroupSheet

if TYPE_CHECKING:
    from fieldbook.tui.screen import Screen

PROGRAM = (sys.executable, "-P", "-m", "fieldbook")
"""With `-P`: a file of that name in the folder one stands in is not run."""
STOPPED = "stopped; what was done until then stands, and the next time goes on from there"


class Errand:
    """One command of the program, run beside the screen."""

    def __init__(self, what: str, words: list[str]) -> None:
        self.what, self.begun = what, monotonic()
        self.is_stopped = False
        self._process = subprocess.Popen(
            [*PROGRAM, *words],
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
            encoding="utf-8",
            errors="replace",
            start_new_session=True,
        )

    def lines(self) -> list[str]:
        """Wait for its end; what it said.

        Raises:
            FieldbookError: it could not be done, or was stopped.
        """
        out, wrong = self._process.communicate()
        if self.is_stopped:
            raise FieldbookError(STOPPED)
        if self._process.returncode:
            raise FieldbookError(wrong.strip().removeprefix("fieldbook: ") or "it ended early")
        return out.splitlines()

    def stop(self) -> None:
        """End it, with whatever it has started."""
        self.is_stopped = True
        with suppress(OSError):
            if hasattr(os, "killpg"):
                os.killpg(self._process.pid, signal.SIGTERM)
            else:
                self._process.terminate()

    @property
    def progress(self) -> str:
        """What it is doing, for how long now, and how to stop it."""
        return f"{self.what}, {monotonic() - self.begun:.0f} s; . stops it"


def exchange(screen: Screen) -> None:
    """Take in what is new from the group, and send what is ours."""
    if screen.errand is not None:
        screen.say(screen.errand.progress)
        return
    words = ["sync", "--notebook", screen.desk.folder]
    screen.errand = errand = Errand("exchanging with the group", words)
    screen.say(errand.progress)
    screen.beside(
        errand.lines,
        lambda lines: _exchanged(screen, lines),
        lambda why: _failed(screen, why),
    )


def _exchanged(screen: Screen, lines: list[str]) -> None:
    screen.errand = None
    screen.say("exchanged with the group")
    if isinstance(screen.sheet, GroupSheet):
        screen.sheet.done = lines
    screen.read_again()


def _failed(screen: Screen, why: str) -> None:
    screen.errand = None
    screen.complain(why)
    screen.read_again()


def stop(screen: Screen) -> None:
    """Stop what takes long."""
    if screen.errand is not None:
        screen.errand.stop()
    elif screen.desk.progress.of:
        screen.desk.stopped = True
        screen.say("left off; the rest is read the next time something changes")
    else:
        screen.say("nothing is under way")
