"""The prompt: one line for what was seen, said back in words while it is typed."""

from __future__ import annotations

from collections.abc import Callable

from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.message import Message
from textual.widgets import Input, Static

from fieldbook.errors import FieldbookError
from fieldbook.lines.reading import LONGEST, Observation
from fieldbook.text import clean, cut

Read = Callable[[str, str, str], Observation]
"""From an address, a line and the rule in view to what the line says."""


class LineInput(Input):
    """Where the line is typed. Enter takes it out at once, so that the next may follow."""

    is_sending = False
    """Whether a line was handed over that the prompt has not yet taken."""

    class Sent(Message):
        """A line was ended."""

        def __init__(self, text: str) -> None:
            super().__init__()
            self.text = text

    async def action_submit(self) -> None:
        """Hand over the line."""
        text, self.value = self.value, ""
        self.is_sending = True
        self.post_message(self.Sent(text))


class Prompt(Vertical):
    """The entry it speaks for, the line, and below it what the line says."""

    class Typed(Message):
        """What stands in the prompt has changed."""

    class Ready(Message):
        """A line is to be saved."""

        def __init__(self, address: str, text: str, observation: Observation) -> None:
            super().__init__()
            self.address, self.text, self.observation = address, text, observation

    def __init__(self, read: Read, *, ascii_only: bool = False) -> None:
        super().__init__(id="prompt")
        self.read = read
        self.sign = ">" if ascii_only else "›"
        self.wanted = ""
        """The entry that is in view."""
        self.address = ""
        """The entry it speaks for: the one in view, or the one the line was begun for."""
        self.rule = ""
        self.notice = ""
        self.notice_style = ""
        self.noticed_at = ""

    def compose(self) -> ComposeResult:
        """Name and line side by side, the words below."""
        with Horizontal(id="line"):
            yield Static("", id="speaks-for", markup=False)
            yield LineInput(compact=True, select_on_focus=False, max_length=LONGEST, id="typed")
        yield Static("", id="words", markup=False)

    def on_mount(self) -> None:
        """Nothing blinks."""
        self.line.cursor_blink = False

    @property
    def line(self) -> LineInput:
        """Where the line is typed."""
        return self.query_one(LineInput)

    @property
    def text(self) -> str:
        """What is typed."""
        return self.line.value

    def speak_for(self, address: str, rule: str) -> None:
        """The entry in view; a line already begun stays with the entry it was begun for."""
        self.wanted = address
        if not self.text:
            self.address, self.rule = address, rule
        elif self.address == address:
            self.rule = rule
        self.name_entry()
        self.say_back()

    def begin(self, address: str, text: str, rule: str = "") -> None:
        """Start a line for an entry, the cursor in its first blank."""
        before, _, after = text.partition("…")
        self.address, self.rule = address, rule
        self.line.value = before + after
        self.line.cursor_position = len(before)
        self.name_entry()
        self.screen.set_focus(self.line)

    def name_entry(self) -> None:
        """Show beside the line whom it speaks for."""
        room = max(self.app.size.width // 2 - 4, 8)
        name = cut(clean(self.address or "no entry"), room)
        label = self.query_one("#speaks-for", Static)
        width = len(name) + 3
        if label.styles.width is None or label.styles.width.value != width:
            label.styles.width = width
        label.update(Content(f" {name}{self.sign}"), layout=False)

    def say(self, notice: str, style: str = "") -> None:
        """Say something below the line; it stays until the next line is begun."""
        self.notice, self.notice_style = clean(notice), style
        self.noticed_at = self.text
        self.say_back()

    def say_back(self) -> None:
        """Show in words what stands in the prompt, or the last notice."""
        words, style = self._words()
        self.query_one("#words", Static).update(
            Content.styled(" " + cut(words, self.app.size.width - 2), style), layout=False
        )

    def _words(self) -> tuple[str, str]:
        if self.notice or not self.text.strip():
            return self.notice, self.notice_style
        if not self.address:
            return "? choose an entry first: this line speaks for none", "bold"
        try:
            observation = self.read(self.address, self.text, self.rule)
        except FieldbookError as error:
            return f"? {clean(str(error).replace(chr(10), ' '))}", "bold"
        if observation.questions:
            return f"{clean(observation.words)}  ? {clean(' '.join(observation.questions))}", "bold"
        return clean(observation.words), ""

    def on_input_changed(self, event: Input.Changed) -> None:
        """Say back what is typed."""
        event.stop()
        if event.value != self.noticed_at:
            self.notice = ""
        self._let_go()
        self.say_back()
        self.post_message(self.Typed())

    def on_line_input_sent(self, event: LineInput.Sent) -> None:
        """Have the line saved; put it back where it cannot be."""
        event.stop()
        self.line.is_sending = False
        text = event.text
        if not text.strip():
            self._let_go()
            return
        try:
            if not self.address:
                raise FieldbookError("choose an entry first: this line speaks for none")
            observation = self.read(self.address, text, self.rule)
            if observation.questions:
                raise FieldbookError(" ".join(observation.questions))
        except FieldbookError as error:
            self.put_back(self.address, text)
            self.say(f"not saved: {str(error).replace(chr(10), ' ')}", "bold")
            return
        self.post_message(self.Ready(self.address, text, observation))
        self._let_go()

    def _let_go(self) -> None:
        """With nothing typed, speak for the entry in view again."""
        if not self.text and not self.line.is_sending and self.address != self.wanted:
            self.address = self.wanted
            self.name_entry()

    def put_back(self, address: str, text: str) -> None:
        """A line that was not saved stands in the prompt again, before what was typed since."""
        self.address = address
        self.line.value = f"{text}; {self.text}" if self.text.strip() else text
        self.line.cursor_position = len(self.line.value)
        self.name_entry()
