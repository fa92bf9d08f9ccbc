"""The rule above a sheet with its title, and the line of keys at the bottom."""

from __future__ import annotations

from collections.abc import Iterable

from textual import events
from textual.content import Content
from textual.message import Message
from textual.widgets import Static

from fieldbook.text import clean, columns, cut
from fieldbook.tui.keys import Key
from fieldbook.tui.terminal import plainly


class TitleRule(Static):
    """The title of the sheet on a rule, and at its end how much lies below what is in view."""

    def __init__(self, *, ascii_only: bool = False) -> None:
        super().__init__("", id="title", markup=False)
        self.ascii_only = ascii_only
        self.shown = ""

    def show(self, title: str, more: str) -> None:
        """Write it as wide as the screen."""
        dash, width = "-" if self.ascii_only else "─", self.app.size.width
        below = f" {more} " if more else ""
        title = plainly(title) if self.ascii_only else title
        title = cut(f"{dash * 2} {clean(title)} ", width - len(below) - 4, "~ ")
        rule = dash * max(0, width - columns(title) - len(below) - 2)
        if (shown := title + rule + below + dash * 2) != self.shown:
            self.shown = shown
            self.update(Content(shown), layout=False)


class KeyLine(Static):
    """Keys and what they do, as many as fit."""

    class Pressed(Message):
        """A key was clicked."""

        def __init__(self, key: Key) -> None:
            super().__init__()
            self.key = key

    def __init__(self, *, ascii_only: bool = False) -> None:
        super().__init__("", id="keys", markup=False)
        self.ascii_only = ascii_only
        self.spans: list[tuple[int, Key]] = []
        """Where each key ends, and the key."""

    def show(self, some: Iterable[Key], last: str = "") -> None:
        """Write them; `last` stands at the end whatever the room."""
        text, end = "", f" {last}" if last else ""
        self.spans, some = [], tuple(some)
        for key in some:
            more = f" {key.shown} {key.short} "
            fits = len(text + more + end) < self.app.size.width
            if key.short and fits and f"{key.shown} {key.short}" != last:
                text += more
                self.spans.append((len(text), key))
        text += end
        self.spans += [(len(text), key) for key in some if f"{key.shown} {key.short}" == last]
        self.update(Content(plainly(text) if self.ascii_only else text), layout=False)

    def on_click(self, event: events.Click) -> None:
        """Press the key under the mouse."""
        for end, key in self.spans:
            if event.x < end:
                self.post_message(self.Pressed(key))
                return
