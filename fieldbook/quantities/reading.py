"""From the text of a maker to an amount. No text goes to a general parser, ever."""

import re
from collections.abc import Sequence
from itertools import pairwise
from typing import NamedTuple

from fieldbook.errors import Unreadable
from fieldbook.quantities.amount import Amount
from fieldbook.quantities.fields import Field, field_of
from fieldbook.quantities.finding import Measures, find_unit
from fieldbook.quantities.number import NUMBER, Number, read_number, refuse_thousands_mark
from fieldbook.quantities.plain import read_cost, read_count
from fieldbook.quantities.refusing import (
    clean,
    refuse_below_zero,
    refuse_choice,
    refuse_missing_unit,
    refuse_text,
    refuse_unit,
)
from fieldbook.quantities.table import ABSOLUTE_ZERO, CANONICAL, Unit

LONGEST_TEXT = 80
COMPOUND = ("length", "mass", "volume", "time")
"""Dimensions written in two units, such as 5 lb 2 oz."""

_UNIT = r"(?:(?![+-]?[.,]?[0-9])[^0-9]|(?<=[A-Za-z])[23](?![0-9A-Za-z.,]))*"
_PART = re.compile(rf"({NUMBER})({_UNIT})")
_RANGE = re.compile(r"( to |(?<=[^ /(+-]) ?[–—-] ?(?=[+-]?[.,]?[0-9]))")
_PLUS_MINUS = re.compile(r" ?(?:±|\+/-|\+-) ?")
_BOUND = re.compile(r"([<>≤≥]=?) ?")
_VULGAR = {
    "½": "1/2", "¼": "1/4", "¾": "3/4", "⅓": "1/3", "⅔": "2/3", "⅛": "1/8", "⅜": "3/8",
    "⅝": "5/8", "⅞": "7/8", "⅙": "1/6", "⅚": "5/6", "⅕": "1/5", "⅖": "2/5", "⅗": "3/5",
    "⅘": "4/5",
}  # fmt: skip
_PLAIN = str.maketrans({"−": "-", "⁄": "/", "²": "2", "³": "3", "℃": "C", "℉": "F"})


class Reading(NamedTuple):
    """One side of a text: its value and half-width in the canonical unit."""

    value: float
    half: float
    unit: Unit


def read_amount(
    text: object, dimension: str | Sequence[str], measures: Measures | None = None
) -> Amount:
    """Read what a maker wrote in a field.

    Args:
        text: as it stands in the file.
        dimension: what the field asks for: a key of `FIELDS`, `count` or `cost`; or several keys
            of `FIELDS`, the usual one first, where a field takes one of them.
        measures: the notebook's local measures, by name.

    Raises:
        Unreadable: with what was read and what would be right.

    Example:
        >>> read_amount("5 lb 2 oz", "mass").unit
        'lb'
        >>> round(read_amount("90 to 96 mm", "length").half, 9)
        0.003
    """
    if dimension == "count":
        return read_count(text)
    field = field_of(dimension)
    plain = plain_text(text, field.example if field else "12.50 EUR")
    if dimension == "cost":
        return read_cost(plain)
    if field is None:
        raise ValueError(f"{dimension!r} is not a kind of field")
    amount = _read(plain, field, measures or {})
    _refuse_impossible(amount, field)
    return amount


def plain_text(text: object, example: str) -> str:
    """Check that a text can hold an amount at all; give it back without spaces around it."""
    if isinstance(text, int | float) and not isinstance(text, bool) and abs(text) < 1e15:
        text = f"{text:.15g}"
    if not isinstance(text, str):
        raise Unreadable(
            "an amount is wanted here, and this is none", f'Write it as text, such as "{example}".'
        )
    if len(text) > LONGEST_TEXT:
        raise Unreadable(
            f'"{clean(text[:20])}…" is too long for an amount',
            f'Write the amount alone, for example "{example}"; the rest belongs into a note.',
        )
    stripped = re.sub("[ \u00a0\u2009\u202f]+", " ", text).strip(" ")
    if not stripped.isprintable():
        raise Unreadable(
            f'"{clean(stripped)}" holds a character that does not print',
            f'Write it anew, for example "{example}".',
        )
    return stripped


def _read(text: str, field: Field, measures: Measures) -> Amount:
    normal = _normalised(text)
    refuse_thousands_mark(normal)
    body, how = _without_mark(normal)
    sides = _PLUS_MINUS.split(body)
    if len(sides) == 2 and how == "digit" and sides[0]:
        reading, how = _stated(text, sides, field, measures), "stated"
    elif len(sides) > 1:
        refuse_text(text, field)
    else:
        reading, is_range = _one_or_two(text, body, field, measures)
        if is_range and how != "digit":
            refuse_text(text, field)
        how = "range" if is_range else how
    half = reading.half
    if how == "rough":
        half = abs(reading.value) / 10 if field.rough is None else field.rough
    return Amount(reading.value, half, reading.unit.dimension, text, reading.unit.name, how)


def _normalised(text: str) -> str:
    if not text.isascii():
        text = text.translate(_PLAIN)
        for sign, fraction in _VULGAR.items():
            text = text.replace(sign, f" {fraction}")
    if "2O" in text.upper() or "₂" in text:
        text = re.sub(r"(?i)H(?:2|₂)O\b", "water", text)
    return re.sub("  +", " ", text).strip()


def _without_mark(text: str) -> tuple[str, str]:
    if text[:1] in ("~", "≈"):
        return text[1:].lstrip(), "rough"
    if match := _BOUND.match(text):
        return text[match.end() :], "above" if match[1][0] in ">≥" else "below"
    return text, "digit"


def _one_or_two(text: str, body: str, field: Field, measures: Measures) -> tuple[Reading, bool]:
    sides = _RANGE.split(body)
    if len(sides) == 1:
        return _reading(text, body, field, measures), False
    if len(sides) > 3 or not (sides[0] and sides[2]):
        refuse_text(text, field)
    start, by, end = sides
    if by != " to ":
        _refuse_hyphened_fraction(text, start, end)
    last = _reading(text, end, field, measures)
    first = _reading(text, _with_unit_of(text, start, end, field), field, measures)
    if by != " to " and first.unit.name != last.unit.name:
        refuse_choice(text, f"{start} {end}", f"{start} to {end}")
    if first.unit.dimension != last.unit.dimension:
        refuse_text(text, field)
    middle, half = (first.value + last.value) / 2, abs(last.value - first.value) / 2
    return Reading(middle, half, last.unit), True


def _with_unit_of(text: str, first: str, last: str, field: Field) -> str:
    """Give the first side of `90 to 96 mm` the unit of the last, where it has none."""
    if re.fullmatch(NUMBER, first):
        return f"{first} {_single(text, last, field)[1]}"
    return first


def _refuse_hyphened_fraction(text: str, first: str, last: str) -> None:
    if re.fullmatch("[0-9]+", first) and re.match("[0-9]+/[0-9]+(?![0-9])", last):
        refuse_choice(text, f"{first} {last}", f"{first} to {last}")


def _stated(text: str, sides: list[str], field: Field, measures: Measures) -> Reading:
    first, last = sides
    reading = _reading(text, _with_unit_of(text, first, last, field), field, measures)
    number, spelling = _single(text, last, field)
    if spelling == "%" and reading.unit.dimension not in ("percent", "temperature"):
        return reading._replace(half=abs(reading.value * number.value) / 100)
    dimension = reading.unit.dimension
    unit = find_unit(
        spelling or reading.unit.name,
        "difference" if dimension == "temperature" else dimension,
        measures,
    )
    if unit is None:
        refuse_unit(text, spelling, field, measures)
    if number.value < 0:
        refuse_text(text, field)
    return reading._replace(half=number.value * unit.factor)


def _single(text: str, body: str, field: Field) -> tuple[Number, str]:
    parts = _parts(text, body, field)
    if len(parts) > 1:
        refuse_text(text, field)
    return parts[0]


def _parts(text: str, body: str, field: Field) -> list[tuple[Number, str]]:
    """Split `5 lb 2 oz` into numbers with the spelling of their unit."""
    parts, place = [], 0
    while place < len(body):
        match = _PART.match(body, place)
        if match is None:
            refuse_text(text, field)
        parts.append((read_number(match[1]), match[2].strip()))
        place = match.end()
    if not parts:
        refuse_text(text, field)
    return parts


def _reading(text: str, body: str, field: Field, measures: Measures) -> Reading:
    parts = _parts(text, body, field)
    if len(parts) > 1 and not all(spelling for _, spelling in parts):
        refuse_text(text, field)
    readings = [_part(text, number, spelling, field, measures) for number, spelling in parts]
    if len(readings) > 1:
        _refuse_bad_compound(text, parts, readings, field)
    return Reading(sum(part.value for part in readings), readings[-1].half, readings[0].unit)


def _part(text: str, number: Number, spelling: str, field: Field, measures: Measures) -> Reading:
    if not spelling:
        refuse_missing_unit(text, field)
    for dimension in field.dimensions:
        if unit := find_unit(spelling, dimension, measures):
            value = number.value * unit.factor + unit.offset
            return Reading(value, number.step * unit.factor, unit)
    return refuse_unit(text, spelling, field, measures)


def _refuse_bad_compound(
    text: str, parts: list[tuple[Number, str]], readings: list[Reading], field: Field
) -> None:
    """Allow whole larger units first, the smaller ones less than one of the unit before."""
    whole = all(number.is_whole for number, _ in parts[:-1])
    same = len({part.unit.dimension for part in readings}) == 1
    if not (whole and same and readings[0].unit.dimension in COMPOUND):
        refuse_text(text, field)
    for larger, smaller in pairwise(readings):
        if not 0 <= smaller.value < larger.unit.factor * (1 - 1e-12):
            raise Unreadable(
                f'"{text}" has as many {smaller.unit.name} as make one {larger.unit.name} or more',
                f"Look whether a figure slipped; write fewer {smaller.unit.name}.",
            )


def _refuse_impossible(amount: Amount, field: Field) -> None:
    if amount.dimension == "temperature":
        if amount.value < ABSOLUTE_ZERO - 1e-9:
            raise Unreadable(
                f'"{amount.text}" lies below absolute zero, {ABSOLUTE_ZERO} C',
                "Look whether the sign or a figure slipped.",
            )
    elif amount.value < 0 and not field.signed:
        refuse_below_zero(amount.text, field)
    assert amount.dimension in CANONICAL
