"""A derived value in words: number, how sure, what it needs."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from fieldbook.advice.results import Result
from fieldbook.report.items import Telling, item_text, moment_text, spell
from fieldbook.report.units import FINEST, Units

__all__ = ["SHARES", "each_text", "in_per_cent", "moment_text", "say", "spell"]


def say(result: Result, units: Units, now: datetime | None = None) -> str:
    """One line: the value with its bounds, or what is missing."""
    if result.value is None:
        return _missing(result)
    if result.name in SHARES and result.unit == "1":
        result = in_per_cent(result, units)
    if isinstance(result.value, list):
        telling = Telling(units, now, result.unit)
        told = [item for item in result.value if _is_telling(item)]
        return "; ".join(item_text(item, telling) for item in told) or _none(result)
    if isinstance(result.value, str):
        return _text_value(result, now)
    return _number(result, units)


def _none(result: Result) -> str:
    return f"none: {result.because}" if result.because else "none"


SHARES = {"dry_parts", "bound_water_left", "carbon_left", "carbonate_left"}
"""Parts of a whole: 0 to 1 in JSON, per cent in words."""


def in_per_cent(result: Result, units: Units) -> Result:
    """A part of a whole as people say it."""
    if isinstance(result.value, list):
        return result.but(value=[{**item, "says": _part_of(item, units)} for item in result.value])

    def scaled(value: Any) -> Any:
        return 100 * value if isinstance(value, int | float) else value

    return result.but(
        value=scaled(result.value),
        unit="%",
        plus_minus=scaled(result.plus_minus),
        low=scaled(result.low),
        high=scaled(result.high),
        sd=scaled(result.sd),
        each={name: scaled(value) for name, value in result.each.items()},
    )


def _part_of(item: dict[str, Any], units: Units) -> str:
    half = item.get("plus_minus")
    share = units.say(
        100 * item["value"], "%", None if half is None else 100 * half, with_half=half is not None
    )
    return f"{item['name']} {share}"


def _is_telling(item: dict[str, Any]) -> bool:
    """Of the crossings only those at which something happens in a brick; JSON gives all."""
    return "slope" not in item or item.get("temperature") in (573.0, 900.0)


def _missing(result: Result) -> str:
    if result.needs:
        return "unknown: needs " + ", ".join(spell(need) for need in result.needs)
    return f"unknown: {result.because}" if result.because else "unknown"


def _text_value(result: Result, now: datetime | None) -> str:
    if result.unit != "time":
        return str(result.value)
    said = moment_text(str(result.value), now)
    if result.interval:
        early, late = (moment_text(str(end), now) if end else "" for end in result.interval)
        if early and late:
            said += f" (between {early} and {late}, 80 in 100)"
        elif early:
            said += f" (not before {early}, 90 in 100)"
    return said


def _number(result: Result, units: Units) -> str:
    half = result.plus_minus
    if half is None and result.low is not None and result.high is not None:
        half = (result.high - result.low) / 2
        half = half if half > 1e-6 * abs(result.number) else None
    said = units.say(result.number, result.unit, half, with_half=result.plus_minus is not None)
    if result.low is not None and result.high is not None and result.low < result.high:
        low, high = (units.say(end, result.unit, half) for end in (result.low, result.high))
        said += f" ({low} to {high})"
    if result.n and result.n > 1 and result.sd is not None:
        said += f", mean of {result.n}"
        scatter = units.say(result.sd, _step(result.unit), result.sd)
        said += f", sd {scatter}" if result.sd >= FINEST else ", all alike"
    return said


def _step(unit: str | None) -> str | None:
    """The unit of a difference in values of `unit`."""
    return "K" if unit == "°C" else unit


def each_text(result: Result, units: Units) -> str:
    """The value brick by brick or place by place, in one line."""
    if result.name in SHARES and result.unit == "1":
        result = in_per_cent(result, units)
    half = result.plus_minus
    parts = []
    for name, value in result.each.items():
        if isinstance(value, int | float) and not isinstance(value, bool):
            parts.append(f"{name}: {units.say(value, result.unit, half)}")
        elif value is None:
            parts.append(f"{name}: unknown")
        else:
            parts.append(f"{name}: {value}")
    return ", ".join(parts)
