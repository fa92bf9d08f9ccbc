"""Refusals of a text: what was read, and what would be right."""

import re
from collections.abc import Mapping
from typing import NoReturn

from fieldbook.errors import Unreadable
from fieldbook.quantities.amount import Amount
from fieldbook.quantities.fields import CALLED, Field
from fieldbook.quantities.finding import find_anywhere, find_unit, spellings_of


def clean(text: str) -> str:
    """Replace what must not reach a terminal."""
    return "".join(sign if sign.isprintable() else "\ufffd" for sign in text)


def refuse_text(text: str, field: Field) -> NoReturn:
    """Refuse a text that is no amount: a word, or numbers in no order we know."""
    if not re.search("[0-9]", text) or re.fullmatch(r"(?i)[+-]?(?:nan|inf|infinity)\b.*", text):
        raise Unreadable(
            f'"{text}" is no amount' if text else "there is nothing written here",
            f"The word is kept and not used; {field.called} is written as a number and a unit, "
            f'for example "{field.example}".',
        )
    if match := re.fullmatch(r"(?i)(?:about|around|roughly|approx\.?|ca\.?|circa) +(.+)", text):
        raise Unreadable(f'"{text}" begins with a word', f'Write "~{match[1]}".')
    raise Unreadable(
        f'"{text}" cannot be read as {field.called}',
        f'Write a number and a unit, for example "{field.example}".',
    )


def refuse_choice(text: str, one: str, other: str) -> NoReturn:
    """Refuse a text that may mean either of two things."""
    raise Unreadable(
        f'"{text}" may be one amount or a range', f'Write "{one}" or "{other}", as it is meant.'
    )


def refuse_missing_unit(text: str, field: Field) -> NoReturn:
    """Refuse a number without a unit, and suggest the likely one."""
    units = _likely(text, field)
    choices = " or ".join(f'"{text} {unit}"' for unit in units)
    raise Unreadable(
        f'"{text}" has no unit', f"Write the unit after the number, most likely {choices}."
    )


def _likely(text: str, field: Field) -> list[str]:
    if "/" in text and field.dimensions[0] == "length":
        return ["in"]
    if field.likely == "C":
        return ["C", "F"]
    if field.likely == "C/h":
        return ["C/h", "F/h"]
    return [field.likely]


def refuse_unit(text: str, spelling: str, field: Field, measures: Mapping[str, Amount]) -> NoReturn:
    """Refuse a unit that is not known, or that belongs to something else."""
    if re.fullmatch(r"[eE][+-]?|\*+|[^A-Za-z%]*", spelling):
        raise Unreadable(
            f'"{text}" is not written as a plain number and a unit',
            f'Write the number out in full, for example "{field.example}".',
        )
    if other := find_anywhere(spelling, measures):
        raise Unreadable(
            f'"{text}" is {CALLED[other.dimension]}, and {field.called} is wanted here',
            f'Write {field.called}, for example "{field.example}".',
        )
    raise Unreadable(
        f'"{clean(spelling[:32])}" is not a unit known here', _way_out(spelling, field, measures)
    )


def _way_out(spelling: str, field: Field, measures: Mapping[str, Amount]) -> str:
    if spelling.lower() in ("ton", "tons"):
        return 'Write "t" for 1000 kg, "short ton" for 2000 lb or "long ton" for 2240 lb.'
    if spelling.lower().startswith("deg"):
        return 'Write "C" or "F" after the number.'
    first, _, rest = spelling.partition(" ")
    if rest and any(find_unit(first.rstrip(",;"), name, measures) for name in field.dimensions):
        return f'Write the amount alone, up to "{first.rstrip(",;")}"; the rest makes a note.'
    if near := _nearest(spelling, field, measures):
        return f'Write "{near}" if that is meant.'
    way = f'Write {field.called}, for example "{field.example}"'
    if {"mass", "volume"} & set(field.dimensions):
        return f"{way}, or define the measure under [measures] in notebook.toml."
    return f"{way}."


def _nearest(spelling: str, field: Field, measures: Mapping[str, Amount]) -> str:
    """Name the known unit whose spelling comes nearest; empty where none is near."""
    from difflib import get_close_matches

    names = {name.lower(): name for name in measures}
    for dimension in field.dimensions:
        for known, unit in spellings_of(dimension).items():
            names.setdefault(known.lower(), unit.name)
    near = get_close_matches(spelling.lower(), names, 1, 0.6)
    return names[near[0]] if near else ""


def refuse_below_zero(text: str, field: Field) -> NoReturn:
    """Refuse an amount below zero of something that has none."""
    raise Unreadable(
        f'"{text}" is below zero, which {field.called} cannot be',
        f'Look whether the sign is meant; write it as in "{field.example}".',
    )
