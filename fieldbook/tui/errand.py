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
    _exchange(screen)


def _exchange(screen: Screen, *answer: str) -> None:
    if screen.errand is not None:
        screen.say(screen.errand.progress)
        return
    for sheet in _group_sheets(screen):
        sheet.question, sheet.is_begun = "", False
    words = ["sync", *answer, "--notebook", screen.desk.folder]
    screen.errand = errand = Errand("exchanging with the group", words)
    screen.say(errand.progress)
    screen.beside(
        errand.lines,
        lambda lines: _exchanged(screen, lines),
        lambda why: _failed(screen, why),
    )


def let_go(screen: Screen) -> None:
    """Begin to answer that most of the entries may go; a second key ends the answer."""
    for sheet in _group_sheets(screen):
        sheet.is_begun = bool(sheet.question)
        if sheet.is_begun:
            screen.say("Y lets them go for good; x, or leaving the sheet, keeps them")
            return
    screen.say("no exchange asks about a loss; x exchanges")


def yes(screen: Screen) -> None:
    """End the answer: let them go, and exchange."""
    if any(sheet.is_begun for sheet in _group_sheets(screen)):
        _exchange(screen, "--let-go")
    else:
        screen.say("Y answers what L asks; nothing is asked")


def _group_sheets(screen: Screen) -> list[GroupSheet]:
    return [sheet for sheet in screen.sheets if isinstance(sheet, GroupSheet)]


def _exchanged(screen: Screen, lines: list[str]) -> None:
    screen.errand = None
    screen.say("exchanged with the group")
    for sheet in _group_sheets(screen):
        sheet.done = lines
    screen.read_again()


def _failed(screen: Screen, why: str) -> None:
    from fieldbook.sync.loss import LET_GO

    screen.errand = None
    sheets = _group_sheets(screen)
    if LET_GO in why and sheets:
        for sheet in sheets:
            sheet.question = why
        screen.complain("nothing was exchanged: the sheet of the group asks something first")
    else:
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
