"""FIELD=VALUE as typed on a command line."""

from __future__ import annotations

from fieldbook.errors import WrongUse


def pairs(words: list[str]) -> dict[str, str]:
    """The fields and the text of their values."""
    fields: dict[str, str] = {}
    for word in words:
        name, equals, value = word.partition("=")
        if not equals or not name.strip():
            raise WrongUse(f"write FIELD=VALUE, not {word!r}")
        fields[name.strip()] = value.strip()
    return fields
