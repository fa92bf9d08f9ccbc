"""What the terminal can do, and whether it is still there."""

from __future__ import annotations

import locale
import os
import select
import sys
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from textual.driver import Driver

BARE = ("linux", "vt100", "vt102", "vt220", "ansi", "cons25")
"""Terminals without braille, box corners and the like."""


def is_ascii_only() -> bool:
    """Whether only plain letters and signs can be trusted to show."""
    term = os.environ.get("TERM", "")
    if term.split("-")[0] in BARE:
        return True
    encoding = sys.stdout.encoding or locale.getpreferredencoding(False)
    return "utf" not in encoding.lower()


PLAIN = str.maketrans(
    {
        "…": "...",
        "°": "",
        "±": "+-",
        "·": "-",
        "×": "x",
        "–": "-",
        "—": "-",
        "−": "-",
        "‘": "'",
        "’": "'",
        "“": '"',
        "”": '"',
        "≤": "<=",
        "≥": ">=",
        "²": "2",
        "³": "3",
        "½": "1/2",
        "¼": "1/4",
        "→": "->",
        "←": "<-",
        "\N{REPLACEMENT CHARACTER}": "?",
    }
)
"""Signs that a bare terminal lacks, and what stands for them; letters stay as they are."""


def plainly(text: str) -> str:
    """The text for a bare terminal."""
    return text if text.isascii() else text.translate(PLAIN)


def clicks_only(driver: type[Driver]) -> type[Driver]:
    """The same driver, told of clicks and the wheel alone.

    A terminal that tells of every movement sends bytes over a slow line for nothing.
    """

    class Clicks(driver):  # type: ignore[valid-type,misc]
        def write(self, data: str) -> None:
            if data != EVERY_MOVEMENT:
                super().write(data)

    return Clicks


EVERY_MOVEMENT = "\x1b[?1003h"
"""Asks a terminal to tell of every movement of the mouse."""


def hung_up() -> bool:
    """Whether the terminal has gone away, as a dropped line leaves it."""
    try:
        asked = select.poll()
        asked.register(0, select.POLLHUP)
        return any(seen & (select.POLLHUP | select.POLLNVAL) for _, seen in asked.poll(0))
    except (OSError, AttributeError):
        return False
