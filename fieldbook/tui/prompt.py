"""The prompt: one line for what was seen, said back in words while it is typed."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.message import Message
from textual.widgets import Input, Static

from fieldbook.errors import FieldbookError
from fieldbook.lines.reading import LONGEST
from fieldbook.text import clean, columns, cut, wrap
from fieldbook.tui.blanks import BLANK, dropped_part, filled_parts, without_empty
from fieldbook.tui.gathering import Ask, Gathered
from fieldbook.tui.line_input import LineInput
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
    gathered: Gathered = Gathered()
    """What is known so far of what is written all at once, and the blanks still to be asked."""
    left_out: tuple[str, ...] = ()
    """Places and bricks of a round whose blank was left empty."""

    @property
    def ask(self) -> Ask | None:
        """The blank that is asked for, of those that are written all at once."""
        return self.gathered.asks[0] if self.field and self.gathered.asks else None

    @property
    def missing(self) -> str:
        """What was left out, in words."""
        names = (*self.gathered.left_out, *self.left_out)
        return f"left out: {', '.join(names)}" if names else ""

    @property
    def is_field(self) -> bool:
        """Whether the line is other than an observation."""
        return bool(self.field or self.new)

    @property
    def name(self) -> str:
        """As it stands beside the line."""
        if self.ask:
            return self.ask.said
        if self.new:
            return f"name of the new {self.new}"
        return f"{self.address} {self.field}".strip() or "no entry"


class Heard(NamedTuple):
    """What a line says."""

    words: str
    questions: tuple[str, ...] = ()


Hear = Callable[[Target, str], Heard]
"""From a target and a line to what the line says; of a field without a line, what it takes."""
GoOn = Callable[[Target, str], Target]
"""From a target and its answer to the target of the next blank."""


class Prompt(Vertical):
    """The entry it speaks for, the line, and below it what the line says."""

    class Typed(Message):
        """What stands in the prompt has changed."""

    class Ready(Message):
        """A line is to be saved."""

        def __init__(self, target: Target, text: str) -> None:
            super().__init__()
            self.target, self.text = target, text

    def __init__(self, hear: Hear, go_on: GoOn, *, ascii_only: bool = False) -> None:
        super().__init__(id="prompt")
        self.hear, self.go_on = hear, go_on
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
        self.drawn: tuple[list[str], str] = ([], "")
        self.rows_of_words = 1

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
        ahead = self.text
        self._to_blank(text)
        self.proposed = self.text
        if ahead:
            self.line.insert_text_at_cursor(ahead)
        self.name_target()
        self.screen.set_focus(self.line)
        self.say_back()

    def next_blank(self) -> bool:
        """Go on to the next blank, from the last to the first; False where there is no other."""
        text = self.text
        if self.blank and text == "".join(self.blank):
            # The one that is left stays open; the search begins behind it.
            here = len(self.blank[0])
            text = BLANK.join(self.blank)
            behind = text.find(BLANK, here + 1)
            at = behind if behind >= 0 else text.find(BLANK)
            if at == here:
                return False
        else:
            at = text.find(BLANK, self.line.cursor_position)
            at = at if at >= 0 else text.find(BLANK)
        if at < 0:
            return False
        self._to_blank(text, at)
        self.say_back()
        return True

    def _to_blank(self, text: str, at: int | None = None, ahead: str = "") -> None:
        """Put a line there with the cursor in its first blank, else at its end.

        `ahead` is what was typed before the line stood there.
        """
        at = text.find(BLANK) if at is None else at
        before, blank, after = (
            text.partition(BLANK) if at < 0 else (text[:at], BLANK, text[at + 1 :])
        )
        self.blank = (before, after) if blank else None
        self.line.value = before + after
        self.line.cursor_position = len(before)
        if ahead:
            self.line.insert_text_at_cursor(ahead)

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
        lines = self._on_lines(words)
        if (lines, style) != self.drawn:
            self.drawn = (lines, style)
            shown = "\n".join(f" {line}" for line in lines)
            drawn = Content.styled(shown, style) if style else Content(shown)
            self.query_one("#words", Static).update(drawn, layout=False)
            self._make_room(len(lines))

    def _on_lines(self, words: str) -> list[str]:
        """One line, or two where it does not fit on one; what is still too long is cut."""
        room = max(self.app.size.width - 2, 1)
        if columns(words) <= room:
            return [words]
        first, *rest = wrap(words, room)
        return [first, cut(" ".join(rest), room, "..." if self.ascii_only else "…")]

    def _make_room(self, rows: int) -> None:
        """Take a line from the sheet where two are needed, and keep it while the line is typed."""
        if self.text.strip() and not self.notice:
            rows = max(rows, self.rows_of_words)
        if rows != self.rows_of_words:
            self.rows_of_words = rows
            self.query_one("#words").styles.height = rows
            self.styles.height = rows + 1

    def _words(self) -> tuple[str, str]:
        if self.notice:
            return self.notice, self.notice_style
        is_empty = not self.text.strip() or (self.blank and self.text == "".join(self.blank))
        if is_empty and self.target.is_field:
            return clean(self.hear(self.target, "").words), ""
        if not self.text.strip():
            return clean(self.hint), ""
        if is_empty:
            return self._with_missing("fill the blank where the cursor stands, then Enter"), ""
        try:
            heard = self._heard(filled_parts(self.text))
        except FieldbookError as error:
            return "? " + clean(" ".join(str(error).split())), "bold"
        if heard.questions:
            return f"? {clean(' '.join(heard.questions))}  {clean(heard.words)}", "bold"
        return self._with_missing(clean(heard.words)), ""

    def _with_missing(self, words: str) -> str:
        missing = self.target.missing
        return f"{missing}; {words}" if missing else words

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
        is_empty = not text.strip() or bool(self.blank and text == "".join(self.blank))
        if target.ask and is_empty and not target.ask.is_needed:
            self._hand_over(target, "")
        elif not text.strip() and not target.ask:
            self.give_up()
            self._let_go()
        elif rest := self._without_empty(text) if is_empty else text:
            self._end(self.target, rest)

    def _without_empty(self, text: str) -> str:
        """Take the part of an empty blank out of a line; nothing is left where that cannot be."""
        before, after = self.blank or (text, "")
        rest = "" if self.target.ask else without_empty(before, after)
        if rest:
            part = dropped_part(before, after)
            left_out = (*self.target.left_out, part)
            self.target = self.target._replace(left_out=left_out)
            return rest
        if self.blank:
            self._to_blank(BLANK.join(self.blank), ahead=self.text)
        needed = f"{self.target.ask.said} is needed" if self.target.ask else "the blank is empty"
        what = "it, or Esc leaves all of it" if self.target.ask else "what was seen, or Esc"
        self.say(f"not saved: {needed}; type {what}", "bold")
        return ""

    def _end(self, target: Target, text: str) -> None:
        """Go on to the next blank of a line, else hand the line over if it can be read."""
        if BLANK in text:
            self._to_blank(text, ahead=self.text)
            self.say_back()
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
        self._hand_over(target, text)

    def _hand_over(self, target: Target, text: str) -> None:
        """Ask for what is still missing, else have it saved."""
        following = self.go_on(target, text)
        if following.ask:
            self.notice = ""
            self.begin(following, following.ask.text)
            return
        self.target = self.wanted if target.new else Target(target.address, rule=target.rule)
        self.blank = None
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
