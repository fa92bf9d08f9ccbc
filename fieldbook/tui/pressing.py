"""Which key does what: looked up before it is passed on, in the order the keys came.

What is typed in one go must not be taken apart between the sheet and the prompt.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from fieldbook.tui import keys
from fieldbook.tui.doings import DOINGS
from fieldbook.tui.lines import Lines

if TYPE_CHECKING:
    from textual import events

    from fieldbook.tui.screen import Screen


def took_key(screen: Screen, event: events.Key) -> bool:
    """Do what a key does; False where it is for the prompt."""
    if not screen.is_up:
        return False
    if screen.is_typing:
        return _took_prompt_key(screen, event)
    if event.character in keys.BEGINS_A_LINE:
        screen.set_focus_on(screen.prompt.line)
        return False
    if event.key in MOVES:
        MOVES[event.key](screen.lines)
        return True
    for key in (*screen.sheet.keys, *keys.EVERYWHERE):
        if event.key in key.names:
            DOINGS[key.does](screen)
            return True
    return event.key in ("tab", "shift+tab")


def _took_prompt_key(screen: Screen, event: events.Key) -> bool:
    if event.key in ("up", "down", "pageup", "pagedown"):
        MOVES[event.key](screen.lines)
        return True
    if event.key == "tab" and screen.prompt.next_blank():
        return True
    for key in keys.AT_THE_PROMPT:
        if key.does and event.key in key.names:
            DOINGS[key.does](screen)
            return True
    return False


MOVES: dict[str, Callable[[Lines], None]] = {
    "up": lambda lines: lines.move(-1),
    "down": lambda lines: lines.move(1),
    "pageup": lambda lines: lines.turn(-1),
    "pagedown": lambda lines: lines.turn(1),
    "home": lambda lines: lines.to_end(last=False),
    "end": lambda lines: lines.to_end(last=True),
}
