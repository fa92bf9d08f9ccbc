"""An observation in plain words on one line, for the prompt to echo while it is typed."""

from __future__ import annotations

import re
from datetime import datetime
from typing import TYPE_CHECKING

from fieldbook.lines.limits import FUELS, how_many
from fieldbook.lines.pattern import pattern
from fieldbook.lines.scan import UNITS, small

if TYPE_CHECKING:
    from fieldbook.lines.part import Observation

_NUMBER_AND_UNIT = pattern(
    r"(-?[0-9]+(?:[.,][0-9]+)?) (?:deg(?:ree)?s?\.? ?|° ?)?(c|f)(?:elsius|ahrenheit)?\Z",
    re.IGNORECASE,
)
_TRUE = {"steam": "steam", "covered": "covered", "turned": "turned", "frost": "frost"}
_TRUE |= {"rain": "rain", "dried": "dried by a small fire", "crushed_wet": "crushed wet"}
_BRICKS = ("sound", "cracked", "soft", "overfired", "lost", "sold", "broken", "laid")
_FALSE = {"covered": "not covered"}
_PLAIN = {
    "glow": "glow {}",
    "light": "seen in {}",
    "probe": "at the {}",
    "cone": "cone {}",
    "state": "{}",
    "fuel": "{} put on",
    "fuel_left": "{} left",
    "smoke": "{} smoke",
    "charge": "battery {}",
    "settled": "stack settled {}",
    "lean": "leans {}",
    "draw": "draw brick {}",
    "brick": "brick {}",
    "marks": "{} between marks",
    "mass": "{}",
    "core": "{} core",
    "event": "{}",
    "firing": "after firing {}",
    "humidity": "{} humidity",
    "hours": "{} of work",
    "declined": "not now: {}",
    "because": "because {}",
    "repaired": "repaired: {}",
    "dry_mass": "dry {}",
    "soaked_mass": "soaked {}",
    "boiled_mass": "boiled {}",
    "minute_mass": "after a minute in water {}",
    "suspended_mass": "hanging in water {}",
    "suspended_after": "after the {}",
    "lime_pops": "{} lime pops",
    "freeze_cycles": "{} cycles of frost",
    "freeze_loss": "{} lost in frost",
    "bending_load": "broke in bending at {}",
    "crushing_load": "crushed at {}",
}


def read_back(observation: Observation, now: datetime | None = None) -> str:
    """Give an observation in plain words, such as `14:10  top  1040 °F (560 °C), steam`.

    The date is shown where it is not that of `now`.
    """
    fields = observation.fields | observation.also
    return words_for(observation.at, fields, observation.note, observation.name, now)


def words_for(
    at: datetime, fields: dict[str, object], note: str | None, name: str, now: datetime | None
) -> str:
    """Give fields, note and time in plain words; never fails, whatever they hold."""
    heads = [_time(at, now)]
    place = fields.get("place")
    if place:
        heads.append(str(place))
    parts = said_of(fields, name)
    if note is not None:
        parts.append(f"note: {note}")
    return _clean("  ".join([*heads, ", ".join(parts)]).rstrip())


def without_time(words: str) -> str:
    """Give words of an observation without the time they begin with."""
    return words.partition("  ")[2]


def said_of(fields: dict[str, object], name: str = "") -> list[str]:
    """Each field in plain words, but for the place; a specimen by its name before them."""
    parts = [f"specimen {name}"] if name else []
    is_fuel = not fields.keys().isdisjoint(("fuel", "fuel_left"))
    return parts + [_said(f, value, is_fuel) for f, value in fields.items() if f != "place"]


def _time(at: datetime, now: datetime | None) -> str:
    if now is None or at.date() == now.astimezone(at.tzinfo).date():
        return f"{at:%H:%M}"
    return f"{at.year:04d}-{at:%m-%d %H:%M}"


def _said(field: str, value: object, is_fuel: bool) -> str:
    if isinstance(value, bool):
        plain = field.replace("_", " ")
        return _TRUE.get(field, plain) if value else _FALSE.get(field, f"no {plain}")
    if field == "smoke" and value == "none":
        return "no smoke"
    if field == "of" and is_fuel:
        return str(value)
    if field == "faults" and isinstance(value, list):
        return ", ".join(f"{fault['count']} with {fault['what']}" for fault in value)
    if field in _BRICKS and isinstance(value, int):
        return f"{value} brick{'' if value == 1 else 's'} {field}"
    text = str(value)
    if field in FUELS and isinstance(value, str):
        text = _counted(text)
    if field in ("temperature", "air"):
        text = _both_scales(text)
        return text if field == "temperature" else f"air {text}"
    shown = _PLAIN.get(field)
    return shown.format(text) if shown else f"{field.replace('_', ' ')} {text}"


def _counted(text: str) -> str:
    """Give an amount of fuel, more than one of a local measure in the plural."""
    number, _, measure = text.rpartition(" ")
    count = how_many(text)
    if count is None or small(measure) in f"{UNITS['mass']} {UNITS['volume']}".split():
        return text
    from fieldbook.text import many

    return f"{number} {many(measure, count)}"


def _both_scales(text: str) -> str:
    """Give a temperature with the other scale beside it, rounded to whole degrees."""
    sign = text[:2] if text[:2] in ("> ", "< ") else text[:1] if text[:1] == "~" else ""
    match = _NUMBER_AND_UNIT.match(text[len(sign) :])
    if not match:
        return text
    number = match.group(1)
    degrees = float(number.replace(",", "."))
    if match.group(2) in "cC":
        return f"{sign}{number} °C ({degrees * 9 / 5 + 32:.0f} °F)"
    return f"{sign}{number} °F ({(degrees - 32) * 5 / 9:.0f} °C)"


def _clean(text: str) -> str:
    """Show what is not printable as U+FFFD, so that no text moves the screen."""
    if text.isprintable():
        return text
    return "".join(letter if letter.isprintable() else "\ufffd" for letter in text)
