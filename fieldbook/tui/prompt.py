"""The prompt: one line for what was seen, said back in words while it is typed."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from textual import events
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.message import Message
from textual.widgets import Input, Static

from fieldbook.errors import FieldbookError
from fieldbook.lines.reading import LONGEST
from fieldbook.text import clean, cut
from fieldbook.tui.blanks import BLANK, filled_parts, without_empty
from fieldbook.tui.terminal import plainly


class Target(NamedTuple):
    """What a line is for."""

    address: str = ""
    """The entry it speaks of."""
    field: str = ""
    """The field it changes; empty for an observation."""
    rule: str = ""
    """The rule that `not now` declines."""
    new: str = ""
    """The kind of the entry that is to be made; the line is its name."""
    then: tuple[tuple[str, str], ...] = ()
    """Fields that are asked for next, each with what is proposed."""

    @property
    def is_field(self) -> bool:
        """Whether the line is other than an observation."""
        return bool(self.field or self.new)

    @property
    def name(self) -> str:
        """As it stands beside the line."""
        if self.new:
            return f"name of the new {self.new}"
        return f"{self.address} {self.field}".strip() or "no entry"


class Heard(NamedTuple):
    """What a line says."""

    words: str
    questions: tuple[str, ...] = ()


Hear = Callable[[Target, str], Heard]
"""From a target and a line to what the line says."""


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


class Prompt(Vertical):
    """The entry it speaks for, the line, and below it what the line says."""

    class Typed(Message):
        """What stands in the prompt has changed."""

    class Ready(Message):
        """A line is to be saved."""

        def __init__(self, target: Target, text: str) -> None:
            super().__init__()
            self.target, self.text = target, text

    def __init__(self, hear: Hear, *, ascii_only: bool = False) -> None:
        super().__init__(id="prompt")
        self.hear = hear
        self.ascii_only = ascii_only
        self.sign = ">" if ascii_only else "›"
        self.wanted = Target()
        """What is in view."""
        self.target = Target()
        """What the line is for: what is in view, or what it was begun for."""
        self.hint = ""
        """Said of what is chosen while nothing is typed."""
        self.notice, self.notice_style, self.noticed_at = "", "", ""
        self.blank: tuple[str, str] | None = None
        """What stands before and behind the blank that is to be filled."""
        self.proposed = ""
        """The line that an action offered, as it came."""
        self.drawn = ("", "")

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

    def speak_for(self, wanted: Target, hint: str = "") -> None:
        """Turn to what is in view; a line already begun stays with what it was begun for."""
        self.wanted, self.hint = wanted, hint
        is_free = not self.text and not self.target.is_field
        is_same = self.target.address == wanted.address and not self.target.is_field
        if is_free or is_same:
            self.target = wanted
        self.name_target()
        self.say_back()

    def begin(self, target: Target, text: str) -> None:
        """Start a line, the cursor in its first blank."""
        self.target = target
        self._to_blank(text)
        self.proposed = self.text
        self.name_target()
        self.screen.set_focus(self.line)
        self.say_back()

    def _to_blank(self, text: str) -> None:
        """Put a line there with the cursor in its first blank, else at its end."""
        before, blank, after = text.partition(BLANK)
        self.blank = (before, after) if blank else None
        self.line.value = before + after
        self.line.cursor_position = len(before) if blank else len(text)

    def give_up(self) -> None:
        """Give up changing a field, or a proposal in which nothing was typed."""
        if self.target.is_field or self.text == self.proposed:
            self.line.value = ""
            self.target = self.wanted
            self.name_target()
            self.say_back()

    def name_target(self) -> None:
        """Show beside the line what it is for."""
        room = max(self.app.size.width // 2 - 4, 8)
        shown = f" {cut(clean(self.target.name), room, '~')}{self.sign}"
        label = self.query_one("#speaks-for", Static)
        if label.styles.width is None or label.styles.width.value != len(shown) + 1:
            label.styles.width = len(shown) + 1
        label.update(Content(shown), layout=False)

    def say(self, notice: str, style: str = "") -> None:
        """Say something below the line; it stays until the next line is begun."""
        self.notice, self.notice_style = clean(" ".join(notice.split())), style
        self.noticed_at = self.text
        self.say_back()

    def say_back(self) -> None:
        """Show in words what stands in the prompt, or the last notice, or the hint."""
        words, style = self._words()
        if self.ascii_only:
            words = plainly(words)
        shown = cut(words, max(self.app.size.width - 2, 1), "..." if self.ascii_only else "…")
        drawn = Content.styled(f" {shown}", style) if style else Content(f" {shown}")
        if (shown, style) != self.drawn:
            self.drawn = (shown, style)
            self.query_one("#words", Static).update(drawn, layout=False)

    def _words(self) -> tuple[str, str]:
        if self.notice:
            return self.notice, self.notice_style
        if not self.text.strip():
            return clean(self.hint), ""
        if self.blank and self.text == "".join(self.blank):
            return "fill the blank where the cursor stands, then Enter", ""
        try:
            heard = self._heard(filled_parts(self.text))
        except FieldbookError as error:
            return "? " + clean(" ".join(str(error).split())), "bold"
        if heard.questions:
            return f"? {clean(' '.join(heard.questions))}  {clean(heard.words)}", "bold"
        return clean(heard.words), ""

    def _heard(self, text: str) -> Heard:
        if not self.target.address and not self.target.new:
            raise FieldbookError("choose an entry first: this line speaks for none")
        return self.hear(self.target, text)

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
        target, text = self.target, event.text
        if not text.strip():
            self.give_up()
            self._let_go()
            return
        if self.blank and text == "".join(self.blank):
            proposed = BLANK.join(self.blank)
            text = without_empty(*self.blank)
            if not text:
                self._to_blank(proposed)
                self.say("not saved: the blank is empty; type what was seen, or Esc", "bold")
                return
        if BLANK in text:
            self._to_blank(text)
            return
        self.blank = None
        try:
            heard = self._heard(text)
            if heard.questions:
                raise FieldbookError(" ".join(heard.questions))
        except FieldbookError as error:
            self.put_back(target, text)
            self.say(f"not saved: {error}", "bold")
            return
        self.target = self.target._replace(field="", new="", then=())
        self.post_message(self.Ready(target, text))
        self._let_go()

    def _let_go(self) -> None:
        """With nothing typed, speak for what is in view again."""
        if self.text or self.line.is_sending or self.target.is_field:
            return
        if self.target != self.wanted:
            self.target = self.wanted
            self.name_target()

    def put_back(self, target: Target, text: str) -> None:
        """A line that was not saved stands in the prompt again, before what was typed since."""
        self.target = target
        self.line.value = f"{text}; {self.text}" if self.text.strip() else text
        self.line.cursor_position = len(self.line.value)
        self.name_target()
