"""Where a line is typed: keys are taken in the order in which they come."""

from __future__ import annotations

from textual import events
from textual.message import Message
from textual.widgets import Input

from fieldbook.text import clean

EDITS = {
    "backspace": "delete_left",
    "ctrl+h": "delete_left",
    "delete": "delete_right",
    "ctrl+d": "delete_right",
    "ctrl+u": "delete_left_all",
    "ctrl+k": "delete_right_all",
    "ctrl+w": "delete_left_word",
    "left": "cursor_left",
    "right": "cursor_right",
    "home": "home",
    "ctrl+a": "home",
    "end": "end",
    "ctrl+e": "end",
}
"""Keys that change the line or move in it, and what they do."""


class LineInput(Input):
    """Where the line is typed. Enter takes it out at once, so that the next may follow."""

    is_sending = False
    """Whether a line was handed over that the prompt has not yet taken."""

    class Sent(Message):
        """A line was ended."""

        def __init__(self, text: str) -> None:
            super().__init__()
            self.text = text

    async def on_key(self, event: events.Key) -> None:
        """Take the keys that change the line here, in the order in which they come.

        Left to be looked up by the screen, one of a burst would come after the letters behind it.
        """
        if event.key == "enter":
            event.stop()
            await self.action_submit()
        elif event.key in EDITS:
            event.stop()
            getattr(self, f"action_{EDITS[event.key]}")()

    async def on_paste(self, event: events.Paste) -> None:
        """Take every line of what is pasted, each as though it were typed."""
        event.stop()
        event.prevent_default()
        *lines, last = event.text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
        for line in lines:
            self.insert_text_at_cursor(clean(line))
            await self.action_submit()
        self.insert_text_at_cursor(clean(last))

    async def action_submit(self) -> None:
        """Hand over the line."""
        text, self.value = self.value, ""
        self.is_sending = True
        self.post_message(self.Sent(text))
