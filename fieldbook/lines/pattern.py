"""Regular expressions that are compiled when first used.

A typed line is read by a few of the thirty there are; compiling all of them took longer than
reading it.
"""

import re


class Pattern:
    """Looks for one expression; asked for anything a compiled one can do, it becomes one."""

    def __init__(self, text: str, flags: int = 0) -> None:
        self._text = text
        self._flags = flags

    def __getattr__(self, name: str) -> object:
        if name.startswith("_"):  # of an object that is only half made, as copying makes it
            raise AttributeError(name)
        compiled = re.compile(self._text, self._flags)
        for each in ("match", "fullmatch", "search", "finditer", "split", "sub"):
            setattr(self, each, getattr(compiled, each))
        return getattr(compiled, name)


def pattern(text: str, flags: int = 0) -> "re.Pattern[str]":
    """Give the expression; to a type checker it is a compiled one."""
    return Pattern(text, flags)  # type: ignore[return-value]
