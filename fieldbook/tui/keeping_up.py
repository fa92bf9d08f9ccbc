"""Keeping up with the files, the clock and the terminal while the screen is open."""

from __future__ import annotations

import asyncio
import os
import signal
import threading
from time import monotonic
from typing import TYPE_CHECKING

from fieldbook.tui.firing_sheet import FiringSheet
from fieldbook.tui.terminal import hung_up

if TYPE_CHECKING:
    from fieldbook.tui.screen import Screen

AT_THE_KILN = 60.0
"""Seconds after which a fire in view is looked at again though no file changed."""
ELSEWHERE = 900.0
"""The same, in seconds, of all else."""
MOST_OF_THE_TIME = 0.005
"""The part of the time that looking again may take."""


def look_about(screen: Screen) -> None:
    """See what has changed; called once a second."""
    if hung_up():
        screen.leave()
        return
    if not screen.desk.is_there:
        screen.say("the notebook is gone; what you type is kept", "bold")
        return
    if screen.errand is not None:
        screen.say(screen.errand.progress)
    screen.show_title()
    if screen.watch_on.changed() or monotonic() - screen.looked_at > patience(screen):
        screen.read_again(screen.sheet.address)


def patience(screen: Screen) -> float:
    """How long what was seen holds [s]: until the next thing is due, at most a while."""
    if screen.look is None:
        return ELSEWHERE
    if isinstance(screen.sheet, FiringSheet):
        return AT_THE_KILN
    now = screen.look.now
    soon = [a.when - now for a in screen.look.advice.actions if a.when and a.when > now]
    wait = min((ahead.total_seconds() for ahead in soon), default=ELSEWHERE)
    least = screen.desk.cost / MOST_OF_THE_TIME
    return max(min(wait + 60, ELSEWHERE), min(least, ELSEWHERE))


def listen_for_the_end(screen: Screen) -> None:
    """Leave in good order where the line is dropped or the machine goes down."""
    if os.name != "posix" or threading.current_thread() is not threading.main_thread():
        return  # elsewhere no signal tells of it, or it tells the thread that runs the program
    loop = asyncio.get_running_loop()
    for each in (signal.SIGHUP, signal.SIGTERM):
        loop.add_signal_handler(each, screen.leave)
