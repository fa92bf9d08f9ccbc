"""The body of the screen: rows of text that scroll, with items to choose."""

from __future__ import annotations

from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.geometry import Region, Size
from textual.message import Message
from textual.scroll_view import ScrollView
from textual.strip import Strip

from fieldbook.tui.rows import Item, Page, Row
from fieldbook.tui.terminal import plainly

STYLES = {
    "": Style(),
    "strong": Style(bold=True),
    "head": Style(bold=True, underline=True),
    "warn": Style(bold=True, color="yellow"),
    "bad": Style(bold=True, color="red"),
    "good": Style(color="green"),
    "here": Style(bold=True, reverse=True),
}
"""Style by name. What a colour says is said by a word or a sign as well."""


class Lines(ScrollView, can_focus=True):
    """Shows a page. It draws what is in view alone, so its cost does not grow with the page."""

    class Chosen(Message):
        """Another item is chosen, or the page was scrolled."""

    class Opened(Message):
        """What was chosen already was clicked."""

    def __init__(self, *, ascii_only: bool = False) -> None:
        super().__init__(id="lines")
        self.page = Page("", ())
        self.chosen = -1
        self.ascii_only = ascii_only
        self.mark = ">" if ascii_only else "▸"

    @property
    def item(self) -> Item | None:
        """The item that is chosen."""
        return self.page.items[self.chosen] if 0 <= self.chosen < len(self.page.items) else None

    def show(self, page: Page, *, afresh: bool) -> None:
        """Show a page; what was chosen stays so where it is still there."""
        before = self.item.key if self.item and not afresh else ""
        known = [item.key for item in page.items]
        # Whoever has chosen nothing yet stays with what is most urgent.
        kept = known.index(before) if before in known and self.chosen > 0 else -1
        was_in_view = self._is_in_view()
        stood = self._in_view()
        unchanged = page == self.page and not afresh
        self.page = page
        self.chosen = kept if kept >= 0 else 0 if page.items else -1
        if unchanged:
            return
        top = int(self.scroll_offset.y)
        self._set_height(len(page.rows))
        if afresh:
            self.scroll_to(0, 0, animate=False, force=True)
        elif kept >= 0 and was_in_view:
            self._bring_into_view()
        if afresh or int(self.scroll_target_y) != top:
            self.refresh()
        else:
            self._refresh_changed(stood)
        self.post_message(self.Chosen())

    def _set_height(self, rows: int) -> None:
        """How far it scrolls. A page that fits is as high as the screen, so that a line more or
        less does not draw it all anew."""
        size = Size(self.size.width, max(rows, self.size.height))
        if size != self.virtual_size:
            self.virtual_size = size

    def _in_view(self) -> list[tuple[Row | None, bool]]:
        """The rows in view, and which of them is marked as chosen."""
        top = int(self.scroll_offset.y)
        rows = self.page.rows[top : top + self.size.height]
        seen = [(row, self._is_first_of_chosen(top + n, row)) for n, row in enumerate(rows)]
        return [*seen, *[(None, False)] * (self.size.height - len(seen))]

    def _refresh_changed(self, stood: list[tuple[Row | None, bool]]) -> None:
        """Draw what is other than it stood: over a slow line every row counts."""
        pairs = zip(stood, self._in_view(), strict=False)
        changed = [n for n, (before, after) in enumerate(pairs) if before != after]
        width = self.size.width
        if changed:
            self.refresh(*(Region(0, line, width, 1) for line in changed))

    def render_line(self, y: int) -> Strip:
        """One line of what is in view."""
        number = y + int(self.scroll_offset.y)
        width = self.size.width
        if number >= len(self.page.rows):
            return Strip.blank(width, STYLES[""])
        row = self.page.rows[number]
        is_first = self._is_first_of_chosen(number, row)
        parts = [
            Segment(text, STYLES["here"] if is_first and style in ("strong", "") else STYLES[style])
            for text, style in self._marked(row, is_first)
        ]
        return Strip(parts).adjust_cell_length(width, STYLES[""])

    def _is_first_of_chosen(self, number: int, row: Row) -> bool:
        if row.item < 0 or row.item != self.chosen or not self._is_choice:
            return False
        return number == 0 or self.page.rows[number - 1].item != row.item

    @property
    def _is_choice(self) -> bool:
        """Whether the items stand in the rows, so that one is to be marked."""
        return any(row.item >= 0 for row in self.page.rows)

    def _marked(self, row: Row, is_first: bool) -> list[tuple[str, str]]:
        parts = list(row.parts)
        if is_first and parts and parts[0][0].startswith(" "):
            parts = [(self.mark, "strong"), (parts[0][0][1:], parts[0][1]), *parts[1:]]
        return [(plainly(text), style) for text, style in parts] if self.ascii_only else parts

    def on_click(self, event: events.Click) -> None:
        """Choose what is under the mouse; what is chosen already is opened."""
        number = event.y + int(self.scroll_offset.y)
        item = self.page.rows[number].item if number < len(self.page.rows) else -1
        if item < 0:
            return
        if item == self.chosen:
            self.post_message(self.Opened())
            return
        before, self.chosen = self.chosen, item
        self._refresh_item(before)
        self._refresh_item(item)
        self.post_message(self.Chosen())

    def on_mouse_scroll_down(self) -> None:
        """The wheel moves the page."""
        self.call_after_refresh(self.post_message, self.Chosen())

    on_mouse_scroll_up = on_mouse_scroll_down

    def move(self, by: int) -> None:
        """Choose the item `by` further on; scroll where there is none to choose."""
        if not self._is_choice:
            self.scroll_relative(y=by, animate=False)
            self.post_message(self.Chosen())
            return
        wanted = min(max(self.chosen + by, 0), len(self.page.items) - 1)
        if wanted == self.chosen:
            self.scroll_relative(y=by, animate=False)
            return
        before, self.chosen = self.chosen, wanted
        self._refresh_item(before)
        self._bring_into_view()
        self._refresh_item(self.chosen)
        self.post_message(self.Chosen())

    def turn(self, pages: int) -> None:
        """Scroll by whole pages, and choose what stands at the top then."""
        height = max(self.size.height - 1, 1)
        self.scroll_relative(y=pages * height, animate=False, force=True)
        top = min(max(int(self.scroll_target_y), 0), max(len(self.page.rows) - 1, 0))
        if self._is_choice:
            ahead = [row.item for row in self.page.rows[top:] if row.item >= 0]
            self.chosen = ahead[0] if ahead else self.chosen
        self.refresh()
        self.post_message(self.Chosen())

    def to_end(self, *, last: bool) -> None:
        """Go to the first or the last row."""
        self.chosen = len(self.page.items) - 1 if last and self.page.items else min(self.chosen, 0)
        self.scroll_to(0, self.max_scroll_y if last else 0, animate=False, force=True)
        self.refresh()
        self.post_message(self.Chosen())

    @property
    def more_below(self) -> str:
        """How much is below what is in view: items, or lines where there is other text as well."""
        end = int(self.scroll_target_y) + self.size.height
        above, below = self.page.rows[:end], self.page.rows[end:]
        if not below:
            return ""
        begun = max((row.item for row in above), default=-1)
        items = {row.item for row in below if row.item > begun}
        is_other = any(row.item < 0 and row.text.strip() for row in below)
        return f"{len(below)} lines more" if is_other or not items else f"{len(items)} more"

    def _span(self, item: int) -> tuple[int, int]:
        numbers = [n for n, row in enumerate(self.page.rows) if row.item == item]
        return (numbers[0], numbers[-1]) if numbers else (0, 0)

    def _is_in_view(self) -> bool:
        first, _ = self._span(self.chosen)
        top = int(self.scroll_target_y)
        return top <= first < top + self.size.height

    def _refresh_item(self, item: int) -> None:
        first, _ = self._span(item)
        self.refresh(Region(0, first - int(self.scroll_offset.y), self.size.width, 1))

    def _bring_into_view(self) -> None:
        first, last = self._span(self.chosen)
        top, height = int(self.scroll_target_y), max(self.size.height, 1)
        if first < top or last - first >= height:
            self.scroll_to(0, first, animate=False, force=True)
        elif last >= top + height:
            self.scroll_to(0, last - height + 1, animate=False, force=True)
