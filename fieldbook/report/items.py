"""One object of a list, such as a stage, a step of a plan or a load, in words: no bare number."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import Any, NamedTuple

from fieldbook.report.units import Units, clock

UNSAID = {"name", "unit", "source", "also", "condition", "hours", "slope", "temperature"}
"""Keys of an object that `why` and JSON give, and a line of words does not."""
OF_KEYS = {
    "from": "°C", "to": "°C", "start": "°C", "end": "°C", "climb": "K/h", "fuel": "kg",
    "begins": "h", "ends": "h", "reading_every": "h", "shrinkage": "%", "share": "%",
}  # fmt: skip
"""The unit of a number by its key; of any other it is the object's own."""
COUNTED = {"bricks", "count", "left", "in", "out"}
"""Keys whose number is of bricks."""


class Telling(NamedTuple):
    """What an object is told with."""

    units: Units
    now: datetime | None = None
    unit: str | None = None
    """Of the list it is in; an object's own goes before it."""


def item_text(item: dict[str, Any], telling: Telling) -> str:
    """One object in words: its name, then what people ask of it."""
    if "says" in item:
        return opinion(item, telling) if "agrees" in item else str(item["says"])
    if "limited_by" in item:
        return step(item, telling)
    name = spell(str(item.get("name", "")))
    if "state" in item:
        return f"{name}: {item['state']}"
    if "at" in item and "place" in item:
        return f"{name}, {item['place']}, {moment_text(str(item['at']), telling.now)}"
    unit = item.get("unit") or telling.unit
    own = telling._replace(unit=str(unit) if unit else None)
    shown = {key: value for key, value in item.items() if key not in UNSAID and value is not None}
    if isinstance(shown.get("value"), int | float):
        half = shown.pop("plus_minus", None)
        name += " " + telling.units.say(shown.pop("value"), own.unit, half, with_half=bool(half))
    rest = [_part(key, value, own) for key, value in shown.items()]
    return name + (f" ({', '.join(rest)})" if rest else "")


def opinion(item: dict[str, Any], telling: Telling) -> str:
    """What a guide says of a clay or mix: the value against the range it asks for."""
    unit, value = item.get("unit"), item["value"]
    low, high = (
        None if end is None else telling.units.say(end, unit)
        for end in (item.get("low"), item.get("high"))
    )
    wanted = f"{low} to {high}" if low and high else f"at least {low}" if low else f"at most {high}"
    said = telling.units.say(value, unit, _hundredth(value))
    return f"{spell(str(item['name']))} {said}: {item['says']} ({wanted})"


def _hundredth(value: float) -> float | None:
    """As fine as a guide is, and as bricks are."""
    return abs(value) / 100 or None


def step(item: dict[str, Any], telling: Telling) -> str:
    """A step of the plan of a fire."""
    say = telling.units.say
    until = moment_text(str(item["to"]), telling.now)
    if item["do"] == "hold":
        does = f"hold at {say(item['end'], '°C', 1)}"
    else:
        does = f"climb to {say(item['end'], '°C', 1)} at {say(item['climb'], 'K/h', 1)}"
    every = f"look every {say(item['reading_every'], 'h')}"
    fuel = item.get("fuel")
    wood = "" if fuel is None else f", {say(fuel, 'kg', _hundredth(fuel))} of wood"
    return f"{item['name']}: {does} until {until} (limited by {item['limited_by']}, {every}{wood})"


def _part(key: str, value: Any, telling: Telling) -> str:
    if isinstance(value, bool):
        return spell(key) if value else f"not {spell(key)}"
    if isinstance(value, dict) and "value" in value:
        known = value["value"] is not None
        said = telling.units.say(value["value"], value.get("unit")) if known else "unknown"
        return f"{spell(key)} {said}"
    if isinstance(value, list | dict):
        parts = value.items() if isinstance(value, dict) else enumerate(value, 1)
        return f"{spell(key)} " + ", ".join(f"{spell(str(k))} {v}" for k, v in parts)
    if isinstance(value, int | float):
        return _number(key, value, telling)
    return f"{spell(key)} {moment_text(str(value), telling.now)}"


def _number(key: str, value: float, telling: Telling) -> str:
    say: Callable[..., str] = telling.units.say
    if key in COUNTED:
        said = say(value, "bricks")
        return said if key == "bricks" else f"{spell(key)} {said}"
    if key == "plus_minus":
        return f"± {say(value, telling.unit)}"
    unit = OF_KEYS.get(key, telling.unit)
    return f"{spell(key)} {say(value, unit, 1.0 if unit == '°C' else _hundredth(value))}"


def moment_text(text: str, now: datetime | None) -> str:
    """An ISO time as people say it; other text as it stands."""
    try:
        return clock(datetime.fromisoformat(text), now)
    except ValueError:
        return text


def spell(name: str) -> str:
    """The name of a field or value in plain words."""
    return name.replace("_", " ")
