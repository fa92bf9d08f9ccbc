"""The lines that actions offer: a whole round on one line, in the units the maker likes."""

import re
from collections.abc import Iterable, Mapping
from typing import Any

MOST = 3
"""Places or bricks in one offered line, and in the order to see to them (ours)."""
_BLANK = re.compile(r"… (C|kg|mm)\b")
_LIKED = {"C": "temperature", "kg": "mass", "mm": "length"}
_TYPED = {"degF": "F", "lb": "lb", "oz": "oz", "g": "g", "in": "in", "ft": "in", "cm": "cm"}
"""A unit as the settings name it -> as it is typed behind a number of that size."""


def in_liked_units(line: str, liked: Mapping[str, str | None]) -> str:
    """Give an offered line with its blanks in the units that the maker likes to see."""

    def unit(match: re.Match[str]) -> str:
        own = match.group(1)
        return f"… {_TYPED.get(liked.get(_LIKED[own]) or '', own)}"

    return _BLANK.sub(unit, line) if "…" in line else line


def places_read(lines: Iterable[Any]) -> list[str]:
    """The places at which a firing was read so far, in the order they came."""
    places = (x.place for x in lines if x.place and (x.temperature or x.glow))
    return list(dict.fromkeys(places))[:MOST]


def is_without_thermometer(lines: Iterable[Any]) -> bool:
    """Whether a log holds glow and no temperature."""
    lines = list(lines)
    return any(x.glow for x in lines) and not any(x.temperature for x in lines)


def readings(lines: Iterable[Any]) -> str:
    """The line for a round of readings, at the places read so far: `… C bottom, … C top`."""
    lines = list(lines)
    what = "…" if is_without_thermometer(lines) else "… C"
    usual = ["top"] if what == "…" else [""]
    return ", ".join(f"{what} {place}".rstrip() for place in places_read(lines) or usual)


def of_each(names: Iterable[str], what: str) -> str:
    """The line for a round of bricks: `#1 … kg, #2 … kg`."""
    return ", ".join(f"#{name} {what}" for name in names)
