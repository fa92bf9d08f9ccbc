"""The screen: map above, a sheet below it, the prompt always there."""

from __future__ import annotations

import contextlib
from collections.abc import Callable
from time import monotonic
from typing import TYPE_CHECKING, ClassVar, TypeVar

from textual import events
from textual.app import App, ComposeResult
from textual.driver import Driver
from textual.widget import Widget

from fieldbook.errors import FieldbookError
from fieldbook.tui import keys, last_page, saving
from fieldbook.tui.bell import BellFile, overdue_since
from fieldbook.tui.brick_map import BrickMap
from fieldbook.tui.desk import MANY, Desk
from fieldbook.tui.doings import DOINGS, go_to_station
from fieldbook.tui.draft import Draft, DraftFile
from fieldbook.tui.errand import Errand
from fieldbook.tui.faults import keep_trace
from fieldbook.tui.frame import KeyLine, TitleRule
from fieldbook.tui.keeping_up import listen_for_the_end, look_about
from fieldbook.tui.lines import Lines
from fieldbook.tui.now_sheet import NowSheet
from fieldbook.tui.pressing import took_key
from fieldbook.tui.prompt import Prompt, Target
from fieldbook.tui.rows import Page
from fieldbook.tui.sheet import Paper, Sheet
from fieldbook.tui.terminal import clicks_only
from fieldbook.tui.touched import first_page
from fieldbook.tui.watching import Watch

if TYPE_CHECKING:
    from fieldbook.store.append import Saved
    from fieldbook.tui.look import Look

T = TypeVar("T")
AROUND = 6
"""Rows of the screen that the body does not have."""
READING = "reading the notebook"
WATCH_EVERY = 1.0
"""Seconds between two looks at the files."""


class Screen(App[int]):
    """The notebook on the desk, one sheet at a time."""

    ENABLE_COMMAND_PALETTE = False
    CSS = """
    Screen { layout: vertical; }
    #map { height: 2; }
    #title { height: 1; }
    #lines { height: 1fr; scrollbar-size: 0 0; background: ansi_default; }
    #prompt { height: 2; }
    #line { height: 1; }
    #speaks-for { height: 1; width: 12; text-style: bold; }
    #typed, #typed:focus { background: ansi_default; background-tint: transparent; width: 1fr; }
    #words { height: 1; }
    #keys { height: 1; }
    """
    BINDINGS: ClassVar = []

    def __init__(self, desk: Desk) -> None:
        super().__init__(ansi_color=True)
        self.theme = "ansi-dark"
        self.desk = desk
        self.draft = DraftFile(desk.folder)
        self.bell_file = BellFile()
        self.look: Look | None = None
        """The newest look, be it at one entry alone."""
        self.fire = ""
        """The firing under way, or the next, as far as it is known."""
        self.when_read: Callable[[Screen], None] | None = None
        """What a key asked for before anything was read."""
        self.whole: Look | None = None
        """The newest look at all of the notebook."""
        self.sheets: list[Sheet] = [NowSheet()]
        self.marked: list[str] = []
        """Entries to be laid side by side."""
        self.watch_on = Watch(desk.folder)
        self.saved: list[tuple[Target, str, list[Saved]]] = []
        """Lines saved in this sitting, as typed, and where they went."""
        self.unsaved: list[tuple[Target, str]] = []
        """Lines handed over and not yet on the disk."""
        self.draft_trouble = ""
        """Why what is typed could not be kept; said once."""
        self.errand: Errand | None = None
        """Work of another process that is under way."""
        self.looked_at = monotonic()
        self.trouble: BaseException | None = None

    def get_driver_class(self) -> type[Driver]:
        """The terminal tells of clicks, not of every movement."""
        return clicks_only(super().get_driver_class())

    def compose(self) -> ComposeResult:
        """Top to bottom."""
        ascii_only = self.desk.ascii_only
        yield BrickMap()
        yield TitleRule(ascii_only=ascii_only)
        yield Lines(ascii_only=ascii_only)
        yield Prompt(self.desk.hear, self.desk.go_on, ascii_only=ascii_only)
        yield KeyLine(ascii_only=ascii_only)

    def on_mount(self) -> None:
        """Show the frame and the draft at once; the notebook is read beside it."""
        self.screen.set_focus(self.lines)
        self._show_last()
        self.prompt.say(READING)
        self._take_up_draft()
        listen_for_the_end(self)
        # What is slow to load must not stand before the first paint.
        self.call_after_refresh(self._begin)

    def _begin(self) -> None:
        if not self.watch_on.seen:
            self.watch_on.begin()
        self.read_again()
        self.set_interval(WATCH_EVERY, self.watch_files)

    @property
    def lines(self) -> Lines:
        """The body."""
        return self.query_one(Lines)

    @property
    def prompt(self) -> Prompt:
        """The prompt."""
        return self.query_one(Prompt)

    @property
    def brick_map(self) -> BrickMap:
        """The map."""
        return self.query_one(BrickMap)

    def set_focus_on(self, widget: Widget) -> None:
        """Move the focus at once, so that the next key goes there."""
        self.screen.set_focus(widget)

    @property
    def is_typing(self) -> bool:
        """Whether keys go to the prompt."""
        return self.focused is self.prompt.line

    def push(self, sheet: Sheet) -> None:
        """Lay a sheet on top."""
        self.sheets.append(sheet)
        self.show_sheet()

    @property
    def is_up(self) -> bool:
        """Whether all is there to draw on; what comes late, on leaving, finds less and less."""
        parts = (Prompt, TitleRule, KeyLine, Lines)
        return bool(self.screen_stack) and all(self.screen.query(part) for part in parts)

    @property
    def sheet(self) -> Sheet:
        """The sheet in view."""
        return self.sheets[-1]

    async def on_event(self, event: events.Event) -> None:
        """Take the keys that are ours; let the rest through."""
        if isinstance(event, events.Paste) and self.is_up:
            self.set_focus_on(self.prompt.line)
        if isinstance(event, events.Key) and not event.is_forwarded and took_key(self, event):
            event.stop()
            return
        await super().on_event(event)

    # Work that takes time runs beside the screen and posts what came of it.

    def beside(
        self,
        work: Callable[[], T],
        done: Callable[[T], object],
        failed: Callable[[str], object] | None = None,
    ) -> None:
        """Work in a thread, then go on here; what goes wrong is said in one line."""
        failed = failed or self.complain

        def run() -> None:
            try:
                result = work()
            except FieldbookError as error:
                self.call_from_thread(failed, str(error))
            except Exception as bug:  # noqa: BLE001 - said in one line, its trace kept
                self.call_from_thread(failed, keep_trace(bug))
            else:
                self.call_from_thread(done, result)

        self.run_worker(run, thread=True, exit_on_error=False)

    def complain(self, why: str) -> None:
        """Say what went wrong."""
        self.say(why, "bold")

    def read_again(self, first: str = "") -> None:
        """Read the notebook and show the sheet anew; the entry `first` before all others."""

        def read() -> None:
            for look in self.desk.looks(first, self.look):
                self.call_from_thread(self._took_look, look)

        self.looked_at = monotonic()
        self.beside(read, lambda _: None)

    def _took_look(self, look: Look) -> None:
        if not self.is_up:
            return
        is_first = self.look is None
        self.look, self.fire = look, look.fire
        if not look.first and look.is_all:
            self.whole = look
        self.looked_at = monotonic()
        self.brick_map.show(look.stations)
        if is_first and self.prompt.notice == READING:
            self.prompt.say("")
        if look.lost and not look.first:
            self.say(f"{len(look.lost)} saved lines were dropped by another program; l shows them")
        self.show_sheet(afresh=is_first)
        self._ring(look)
        if self.when_read is not None:
            asked, self.when_read = self.when_read, None
            asked(self)

    def _ring(self, look: Look) -> None:
        if self.bell_file.is_due(overdue_since(look)):
            self.bell()

    def show_sheet(self, *, afresh: bool = True) -> None:
        """Show the sheet in view."""
        if afresh:
            self.brick_map.show(here=self.sheet.station)
            if self.look is not None:
                self.say("")
            self.show_keys()
            if self.sheet.address:
                # At once, not when the page is made: what is typed next is for this entry.
                self.prompt.speak_for(Target(self.sheet.address))
        look = (self.look if self._is_for(self.sheet) else self.whole) or self.look
        if look is not None:
            self._make_page(self.sheet, look, self.paper, afresh)
        elif afresh:
            self._took_page(self.sheet, Page(self.sheet.title, ()), afresh)

    def _is_for(self, sheet: Sheet) -> bool:
        """Whether the newest look knows what a sheet asks for."""
        first = self.look.first if self.look else ""
        return not first or sheet.address == first or isinstance(sheet, NowSheet)

    @property
    def paper(self) -> Paper:
        """What a page is written on."""
        return Paper(self.size.width, max(self.lines.size.height, 4), self.desk.ascii_only)

    def _make_page(self, sheet: Sheet, look: Look, paper: Paper, afresh: bool) -> None:
        def make() -> Page:
            with look.busy:
                return sheet.page(look, paper)

        self.beside(make, lambda page: self._took_page(sheet, page, afresh))

    def _show_last(self) -> None:
        """What was to be done when the screen was open last, until it is read anew."""
        rows = max(self.size.height - AROUND, 1)
        last = first_page(self.desk, self.watch_on, self.size.width, rows)
        self.fire = last.fire
        self.lines.show(last.page, afresh=True)
        self.brick_map.show(last.stations)
        self.show_title()
        self.show_keys()

    def _keep_last(self, page: Page) -> None:
        look = self.whole
        if look is not None and isinstance(self.sheet, NowSheet):
            kept = last_page.LastPage(page, self.size.width, tuple(look.stations), look.fire)
            last_page.keep(self.desk.folder, kept, look.now)

    def _took_page(self, sheet: Sheet, page: Page, afresh: bool) -> None:
        if sheet is self.sheet and self.is_up:
            self.lines.show(page, afresh=afresh)
            self.show_title()
            self._keep_last(page)

    def on_lines_opened(self) -> None:
        """What was chosen and is clicked again is opened."""
        DOINGS["open"](self)

    def on_brick_map_went(self, event: BrickMap.Went) -> None:
        """Go to the station that was clicked."""
        go_to_station(self, event.station)

    def on_key_line_pressed(self, event: KeyLine.Pressed) -> None:
        """Do what a key that was clicked does."""
        if event.key.does:
            DOINGS[event.key.does](self)
        elif self.is_typing:
            self.call_later(self.prompt.line.action_submit)

    def show_title(self) -> None:
        """The sheet's title, and how much lies below."""
        done, of = self.desk.progress
        more = f"{done} of {of} read" if of > MANY and not self.is_typing else ""
        self.query_one(TitleRule).show(self.lines.page.title, more or self.lines.more_below)

    def show_keys(self) -> None:
        """The keys of where one is."""
        line = self.query_one(KeyLine)
        if self.is_typing:
            line.show(keys.AT_THE_PROMPT)
        else:
            line.show((*self.sheet.keys, *keys.EVERYWHERE), last="? help")

    def on_descendant_focus(self) -> None:
        """Other keys hold at the prompt."""
        self.show_keys()

    def on_resize(self) -> None:
        """Write the sheet anew for the new width."""
        if self.sheets:
            self.show_sheet(afresh=False)
            self.call_after_refresh(self._fit)

    def _fit(self) -> None:
        self.show_title()
        self.show_keys()
        self.prompt.name_target()
        self.prompt.say_back()

    # The prompt.

    def begin(self, target: Target, text: str) -> None:
        """Start a line at the prompt, unless one is begun."""
        if self.prompt.text.strip():
            self.set_focus_on(self.prompt.line)
            self.say("there is a line begun; save it, or clear it with Ctrl+U", "bold")
            return
        self.prompt.begin(target, text)

    def on_lines_chosen(self) -> None:
        """The prompt speaks for what is chosen."""
        if not self.is_up:
            return
        item = self.lines.item
        address = self.sheet.address or (item.address if item else "") or self.fire
        target = Target(address, rule=item.rule if item else "")
        self.prompt.speak_for(target, item.hint if item else "")
        self.show_title()

    def on_prompt_typed(self) -> None:
        """Keep what is typed."""
        if self.is_up:
            self.keep_draft()

    def keep_draft(self) -> None:
        """Put what is typed and not saved on the disk."""
        target, text = self.unsaved[0] if self.unsaved else (self.prompt.target, self.prompt.text)
        wrong = self.draft.keep(Draft.of(target, text))
        if wrong and wrong != self.draft_trouble:
            self.say(wrong, "bold")
        if wrong or text:
            self.draft_trouble = wrong

    def _take_up_draft(self) -> None:
        left = self.draft.take_over()
        if left is not None:
            self.prompt.begin(left.target, left.text)
            self.say(f"from before, not yet saved: {left.in_words}")

    def on_prompt_ready(self, event: Prompt.Ready) -> None:
        """Save a line."""
        saving.save(self, event.target, event.text)

    def say(self, notice: str, style: str = "") -> None:
        """Say something below the prompt."""
        self.prompt.say(" ".join(notice.split()), style)

    # The files, and the terminal.

    def watch_files(self) -> None:
        """See whether files changed, and whether the terminal is still there."""
        if self.is_up:
            look_about(self)

    def leave(self) -> None:
        """Keep the draft and go."""
        if self.errand:
            self.errand.stop()
        self.keep_draft()
        self.exit(0)

    def _fatal_error(self) -> None:
        # A trace is no answer to a person: it is kept in a file, and one line is said on leaving.
        self.trouble = self._exception
        with contextlib.suppress(Exception):
            self.keep_draft()
        self._close_messages_no_wait()
