"""What a sheet shows: rows of clean text, and the items among them that can be chosen."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING, NamedTuple

from fieldbook.text import clean, wrap

if TYPE_CHECKING:
    from fieldbook.tui.sheet import Sheet

Part = tuple[str, str]
"""A piece of text and the name of its style: `""`, `strong`, `warn`, `bad`, `head`."""


class Row(NamedTuple):
    """One line of the screen."""

    parts: tuple[Part, ...]
    item: int = -1
    """The item it belongs to; -1 where it belongs to none."""

    @property
    def text(self) -> str:
        """Its words without style."""
        return "".join(text for text, _ in self.parts)


class Item(NamedTuple):
    """Something that can be chosen."""

    key: str
    """What it is, so that it stays chosen when the sheet is read anew."""
    address: str = ""
    """The entry the prompt speaks for while it is chosen."""
    answer: str = ""
    """The observation line that answers it, with blanks as `…`."""
    rule: str = ""
    """The rule that `not now` declines."""
    opens: Callable[[], Sheet] | None = None
    """The sheet that Enter opens."""
    field: str = ""
    """The field of the entry that it is."""
    typed: str = ""
    """What stands in the field, as one would type it."""
    hint: str = ""
    """What is said of it below the prompt while it is chosen."""
    order: str = ""
    """Of an action: what is to be done."""


class Page(NamedTuple):
    """All of a sheet."""

    title: str
    rows: tuple[Row, ...]
    items: tuple[Item, ...] = ()


def plain(text: str, style: str = "", item: int = -1) -> Row:
    """A row of one style. The text is made safe here, whoever wrote it."""
    return Row(((clean(text), style),), item)


def rows_of(lines: Iterable[str], style: str = "", item: int = -1) -> list[Row]:
    """Rows of one style."""
    return [plain(line, style, item) for line in lines]


def wrapped(text: str, width: int, indent: str = "", style: str = "", item: int = -1) -> list[Row]:
    """A paragraph, each line with the same indent."""
    return rows_of(wrap(text, width, indent), style, item)
