"""From the spelling of a unit to the unit; from one unit to another."""

import re
from collections.abc import Iterable, Mapping
from functools import cache, lru_cache
from typing import Any

from fieldbook.errors import FieldbookError
from fieldbook.quantities.amount import Amount
from fieldbook.quantities.table import (
    CANONICAL,
    OFFSET_UNITS,
    QUOTIENTS,
    SIZES,
    STANDARD_GRAVITY,
    Unit,
)

Measures = Mapping[str, Amount]
LONGEST_UNIT = 32
LOOSE = ("cup", "cord", "stere", "bu", "st")
"""Units that a notebook may define for itself, as its own cup or stone; no other is its to move."""
_NO_MEASURES: Measures = {}


def plain_spelling(text: str) -> str:
    """Bring the spelling of a unit into the form of the table."""
    text = text.replace("**", "").replace("^", "").replace("*", " ").replace("·", " ")
    text = re.sub(r"(?:degrees?|deg\.?|°|º|degs) ?(?=[A-Za-z]|$)", "deg", text)
    text = re.sub(r" +", " ", text).strip()
    text = re.sub(r" ?/ ?|(?<=\S) per ", "/", text).rstrip(".")
    return re.sub(r"(?i)^deg(?=celsius|fahrenheit)", "deg ", text)


@cache
def spellings_of(dimension: str) -> dict[str, Unit]:
    """Give all spellings of the units of one dimension, quotients left out."""
    found: dict[str, Unit] = {}
    if dimension == "temperature":
        for name, (factor, offset, others) in OFFSET_UNITS.items():
            unit = Unit(name, dimension, factor, offset)
            found.update(dict.fromkeys((name, *others.split("|")), unit))
        return found
    for name, (size, others) in SIZES[dimension].items():
        unit = Unit(name, dimension, size)
        found.update(dict.fromkeys((name, *filter(None, others.split("|"))), unit))
    if dimension == "force":
        for spelling, mass in spellings_of("mass").items():
            found.setdefault(spelling, Unit(mass.name, "force", mass.factor * STANDARD_GRAVITY))
    return found


@cache
def _folded(dimension: str) -> dict[str, tuple[str, Unit]]:
    """Spellings regardless of case, those that stand for one unit only."""
    units: dict[str, dict[str, str]] = {}
    spellings = spellings_of(dimension)
    for spelling, unit in spellings.items():
        units.setdefault(spelling.lower(), {})[unit.name] = spelling
    return {
        low: (only, spellings[only])
        for low, names in units.items()
        if len(names) == 1
        for only in names.values()
    }


def _singulars(spelling: str) -> Iterable[str]:
    yield spelling
    if len(spelling) > 2 and spelling.endswith("s"):
        yield spelling[:-1]
        if spelling.endswith("es"):
            yield spelling[:-2]


def _is_other_prefix(spelling: str, known: str) -> bool:
    """True where only the case of a leading m differs: milli or mega, a factor of 10**9."""
    return (
        spelling != known
        and spelling[1:] == known[1:]
        and spelling[:1] in "mM"
        and len(spelling) < 5
    )


def _simple(spelling: str, dimension: str) -> Unit | None:
    for name in _singulars(spelling):
        if unit := spellings_of(dimension).get(name):
            return unit
    for name in _singulars(spelling):
        known, folded = _folded(dimension).get(name.lower(), ("", None))
        if folded and not _is_other_prefix(name, known):
            return folded
    return None


def _local(spelling: str, dimension: str, measures: Measures) -> Unit | None:
    for name in _singulars(spelling):
        for known, amount in measures.items():
            if name.lower() == known.lower() and dimension in (amount.dimension, "force"):
                return _measure(known, amount, dimension)
    return None


def _measure(name: str, amount: Amount, dimension: str) -> Unit | None:
    if amount.dimension == dimension:
        return Unit(name, dimension, amount.value)
    if amount.dimension == "mass":
        return Unit(name, "force", amount.value * STANDARD_GRAVITY)
    return None


def _quotient(spelling: str, dimension: str, measures: Measures) -> Unit | None:
    upper, _, lower = spelling.rpartition("/")
    if not upper or dimension not in QUOTIENTS or lower == "m":
        return None
    above = find_unit(upper, QUOTIENTS[dimension][0], measures)
    below = find_unit(lower, QUOTIENTS[dimension][1], measures)
    if above is None or below is None or "/" in above.name:
        return None
    return Unit(f"{above.name}/{below.name}", dimension, _factor_of(dimension, above, below))


def _factor_of(dimension: str, above: Unit, below: Unit) -> float:
    factor = above.factor / below.factor
    if dimension == "calorific":
        return factor * 0.0036  # Wh/kg -> MJ/kg
    if dimension == "speed":
        return factor / 3600  # m/h -> m/s
    return factor


def find_unit(spelling: str, dimension: str, measures: Measures = _NO_MEASURES) -> Unit | None:
    """Find the unit of one dimension that a spelling stands for, if there is one."""
    if not spelling or len(spelling) > LONGEST_UNIT:
        return None
    name, known = _built_in(spelling, dimension)
    if known and known.name not in LOOSE:
        return known
    return _local(name, dimension, measures) or known or _quotient(name, dimension, measures)


@lru_cache(maxsize=512)
def _built_in(spelling: str, dimension: str) -> tuple[str, Unit | None]:
    """Kept, for a log says the same few units thousands of times."""
    name = plain_spelling(spelling)
    return name, _simple(name, dimension)


def find_anywhere(spelling: str, measures: Measures = _NO_MEASURES) -> Unit | None:
    """Find the unit a spelling stands for, whatever its dimension."""
    for dimension in CANONICAL:
        if unit := find_unit(spelling, dimension, measures):
            return unit
    return None


def convert(value: Any, from_unit: str, to_unit: str) -> Any:
    """Convert a number, an array or an uncertain number from one unit to another.

    A unit the table lacks is left to pint. Kelvins are a temperature beside degC or degF, and a
    difference beside `delta_degC` or `delta_degF`.

    Raises:
        FieldbookError: a unit is not known, or the two measure different things.
    Example:
        >>> round(convert(212.0, "degF", "degC"), 9)
        100.0
    """
    if from_unit == to_unit:
        return value
    pair = _pair(from_unit, to_unit)
    if pair is not None:
        source, target = pair
        return (value * source.factor + (source.offset - target.offset)) / target.factor
    from fieldbook.quantities.registry import convert_with_pint

    return convert_with_pint(value, from_unit, to_unit)


@lru_cache(maxsize=1024)
def _pair(from_unit: str, to_unit: str) -> tuple[Unit, Unit] | None:
    """Find two units that measure the same; formulas ask for the same few again and again."""
    for dimension in CANONICAL:
        source, target = find_unit(from_unit, dimension), find_unit(to_unit, dimension)
        if source and target:
            return source, target
    return None


def unit_of(dimension: str) -> str:
    """Name the unit in which amounts of a dimension are held."""
    if dimension not in CANONICAL:
        raise FieldbookError(f"{dimension!r} is not a dimension")
    return CANONICAL[dimension]
