"""One TOML value to what its field holds; what cannot be read is refused with the way out."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping
from datetime import date, datetime, time, tzinfo
from typing import Any, NamedTuple

from fieldbook.errors import Unreadable
from fieldbook.lines.toml_text import read_key, value_text
from fieldbook.quantities import Amount, read_amount
from fieldbook.quantities.plain import read_cost, read_count
from fieldbook.records import Moment, Spec
from fieldbook.store.names import NAME_RULE, is_name, nearest, shown

_DAY = re.compile(r"\d{4}-\d\d-\d\d\Z")
_FIRST_YEAR, _LAST_YEAR = 1800, 2199

ALL_OF_IT = frozenset(
    (
        "loss_on_ignition",
        "organic_carbon",
        "share",
        "carbon",
        "usable",
        "humidity",
        "charge",
        "oxygen",
        "freeze_loss",
    )
)
"""Shares of a whole, which 100 % ends; moisture on the dry basis has no such end."""


class Setting(NamedTuple):
    """What the reading of a value depends on."""

    zone: tzinfo
    measures: Mapping[str, Amount]
    known: dict[tuple[str, tuple[str, ...]], Amount] | None = None
    """Amounts read before by their text and dimensions: a log says the same again and again."""


def read_value(value: Any, field: str, spec: Spec, setting: Setting) -> Any:
    """Read the value of a field that is no table.

    Raises:
        Unreadable: with what was read and what would be right.
    """
    return _READERS[spec.holds](value, field, spec, setting)


def kind_of(value: Any) -> str:
    """Say what kind of TOML value this is."""
    if isinstance(value, bool):
        return "true or false"
    for types, word in _KINDS:
        if isinstance(value, types):
            return word
    return "a value"


_KINDS: tuple[tuple[Any, str], ...] = (
    (str, "text"),
    ((int, float), "a number"),
    (dict, "a table"),
    (list, "a list"),
    (datetime, "a time"),
    (date, "a date"),
    (time, "a time of day"),
)


def _refuse(value: Any, wanted: str, remedy: str) -> Unreadable:
    text = f"{shown(_as_toml(value))} is {kind_of(value)}, and {wanted} is wanted here"
    return Unreadable(text, remedy)


def _as_toml(value: Any) -> str:
    return "…" if isinstance(value, dict | list) and len(str(value)) > 60 else value_text(value)


def _refuse_no_number(value: Any) -> None:
    if isinstance(value, float) and not math.isfinite(value):
        raise Unreadable(
            f"{value} is no number that can be measured",
            "Write what was read, or delete the line.",
        )


def _amount(value: Any, field: str, spec: Spec, setting: Setting) -> Amount:
    _refuse_no_number(value)
    if isinstance(value, bool | dict | list | date | time):
        raise _refuse(value, "an amount", f'Write it with its unit: {field} = "NUMBER UNIT"')
    if "money" in spec.dimensions:
        return read_cost(value if isinstance(value, str) else value_text(value))
    amount = _read_amount(value, spec.dimensions, setting)
    if amount.dimension == "percent":
        _refuse_share(amount, field)
    return amount


def _read_amount(value: Any, dimensions: tuple[str, ...], setting: Setting) -> Amount:
    if setting.known is None or not isinstance(value, str):
        return read_amount(value, dimensions, setting.measures)
    known = setting.known.get((value, dimensions))
    if known is None:
        known = read_amount(value, dimensions, setting.measures)
        if len(setting.known) < _MOST_KNOWN:
            setting.known[value, dimensions] = known
    return known


_MOST_KNOWN = 20_000


def _refuse_share(amount: Amount, field: str) -> None:
    if amount.value < 0:
        raise Unreadable(f'"{amount.text}" is below zero', "Look whether the sign is meant.")
    if field in ALL_OF_IT and amount.value > 100:
        raise Unreadable(
            f'"{amount.text}" is more than the whole', "Look whether a figure slipped."
        )


def _amounts(value: Any, field: str, spec: Spec, setting: Setting) -> tuple[Amount, ...]:
    values = value if isinstance(value, list) else [value]
    return tuple(_amount(each, field, spec, setting) for each in values)


def _words(value: Any, field: str, spec: Spec, _: Setting) -> str:
    choices = ", ".join(spec.words)
    if not isinstance(value, str):
        raise _refuse(value, "a word", f"Write one of: {choices}.")
    if value in spec.words:
        return value
    near = nearest(value, spec.words, 1)
    remedy = f'Write "{near[0]}" if that is meant; it is one of: {choices}.' if near else ""
    raise Unreadable(f'"{shown(value)}" is not known here', remedy or f"Write one of: {choices}.")


def _text(value: Any, field: str, _: Spec, __: Setting) -> str:
    if isinstance(value, str):
        return value
    raise _refuse(value, "text", f'Put it in quotes: {field} = "{shown(_as_toml(value))}"')


def _texts(value: Any, field: str, spec: Spec, setting: Setting) -> tuple[str, ...]:
    if isinstance(value, list) and all(isinstance(each, str) for each in value):
        return tuple(value)
    raise _refuse(value, "a list of texts", f'Write {field} = ["ONE", "OTHER"].')


def _flag(value: Any, field: str, _: Spec, __: Setting) -> bool:
    if isinstance(value, bool):
        return value
    raise _refuse(value, "true or false", f"Write {field} = true or {field} = false.")


def _flag_or_texts(value: Any, field: str, spec: Spec, setting: Setting) -> Any:
    return value if isinstance(value, bool) else _texts(value, field, spec, setting)


def _count(value: Any, field: str, _: Spec, __: Setting) -> int:
    _refuse_no_number(value)
    if isinstance(value, bool) or not isinstance(value, int):
        remedy = f"Write the number alone: {field} = 180"
        if isinstance(value, str) and value.strip().isdecimal():
            remedy = f"Write it without quotes: {field} = {int(value[:20])}"
        raise _refuse(value, "a plain whole number", remedy)
    return int(read_count(value).value)


def _number(value: Any, field: str, _: Spec, __: Setting) -> float:
    _refuse_no_number(value)
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise _refuse(value, "a number", f"Write the number alone: {field} = 12.5")
    most = {"latitude": 90.0, "longitude": 180.0}.get(field, math.inf)
    if abs(value) > most:
        what = f"{value} lies beyond {most:.0f} degrees"
        raise Unreadable(what, "Look whether a figure slipped.")
    return float(value)


def read_moment(value: Any, zone: tzinfo) -> Moment:
    """Read a date or a time, a TOML one or the same as text; a whole day is its noon."""
    if isinstance(value, str) and _DAY.match(value.strip()):
        try:
            value = date.fromisoformat(value.strip())
        except ValueError as error:
            raise Unreadable(f'"{value}" is no day there is', "Look at the calendar.") from error
    text = value if isinstance(value, str) else str(value)
    if isinstance(value, datetime | str):
        moment = Moment(read_key(value, zone), 0.0, text)
    elif isinstance(value, date):
        moment = Moment(datetime(value.year, value.month, value.day, 12, tzinfo=zone), 12.0, text)
    else:
        raise _refuse(value, "a date or a time", 'Write 2026-05-03 or "2026-05-03 07:40".')
    refuse_year(moment.at)
    return moment


def refuse_year(at: datetime) -> None:
    """Refuse a time that lies far outside of anyone's notebook; zones end there as well."""
    if not _FIRST_YEAR <= at.year <= _LAST_YEAR:
        raise Unreadable(f"the year {at.year} cannot be right", "Look whether a figure slipped.")


def _moment(value: Any, _: str, __: Spec, setting: Setting) -> Moment:
    return read_moment(value, setting.zone)


def _name(value: Any, field: str, spec: Spec, setting: Setting) -> str:
    text = _text(value, field, spec, setting)
    if not is_name(text):
        raise Unreadable(f'"{shown(text)}" cannot be the name of an entry', NAME_RULE)
    return text


_READERS: Mapping[str, Callable[[Any, str, Spec, Setting], Any]] = {
    "amount": _amount,
    "amounts": _amounts,
    "words": _words,
    "text": _text,
    "texts": _texts,
    "flag": _flag,
    "flag_or_texts": _flag_or_texts,
    "count": _count,
    "number": _number,
    "moment": _moment,
    "name": _name,
    "any": lambda value, *_: value,
}
