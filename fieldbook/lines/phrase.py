"""What a phrase of a typed line says, and what a reader of phrases is.

A reader looks at the place a `Scan` has come to. Where its phrase stands there it passes it and
gives what it means; else it gives None, and the scan is put back.
"""

from collections.abc import Callable
from typing import NamedTuple

from fieldbook.lines.scan import Scan


class Phrase(NamedTuple):
    """What one phrase says."""

    fields: dict[str, object]
    table: str = "log"
    is_bare: bool = False
    """A word alone, without an amount: what follows it may turn its meaning round."""
    is_noted: bool = False
    """Its words say more than the field holds, so that they go into the note as well."""
    name: str = ""
    """The specimen it speaks of."""


Reader = Callable[[Scan], Phrase | None]
