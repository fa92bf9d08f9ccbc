"""The one registry of pint, made when first needed from our own short list of definitions.

It holds no coulomb and no farad, so no degree is ever taken for one, and keeps nothing on disk.
"""

import re
from functools import cache
from typing import Any

import pint

from fieldbook.errors import FieldbookError, Unreadable
from fieldbook.quantities.definitions import DEFINITIONS
from fieldbook.quantities.finding import find_anywhere, find_unit
from fieldbook.quantities.number import NUMBER, read_number
from fieldbook.quantities.reading import plain_text


def _made() -> Any:
    registry: Any = pint.UnitRegistry(None, autoconvert_offset_to_baseunit=False)
    registry.load_definitions(DEFINITIONS.splitlines())
    return registry


units: Any = _made()
"""The registry of the program; `units.Quantity(572.0, "degF")`."""

Quantity: Any = units.Quantity

_SPECIAL = {
    "mm water": "mm_water", "cm water": "cm_water", "in water": "in_water", "fl oz": "fl_oz",
    "short ton": "short_ton", "long ton": "long_ton", "imp gal": "imp_gal", "imp qt": "imp_qt",
    "imp pt": "imp_pt", "%": "percent", "1": "dimensionless", "": "dimensionless",
    "W/(m K)": "W/(m*K)", "BTU in/(h ft2 F)": "BTU*in/(h*ft**2*delta_degF)",
    "BTU/(h ft F)": "BTU/(h*ft*delta_degF)", "in": "inch",
}  # fmt: skip


def pint_name(unit: str) -> str:
    """Spell a unit of the table the way pint reads it."""
    if unit in _SPECIAL:
        return _SPECIAL[unit]
    return re.sub(r"(?<=[A-Za-z])([23])(?![0-9A-Za-z])", r"**\1", unit)


@cache
def parsed(unit: str) -> Any:
    """Give pint's unit for a spelling of ours or of pint's, made of units we define.

    Raises:
        FieldbookError: it is made of anything else.
    """
    known = None if _is_ours(unit) else find_anywhere(unit)
    spelled = pint_name(known.name if known else unit)
    if not _is_ours(spelled):
        raise FieldbookError(f"{unit!r} is not a unit")
    return units.parse_units(spelled)


def _is_ours(spelling: str) -> bool:
    """True where a text holds units we define, products, quotients and small powers alone."""
    if len(spelling) > 48 or not re.fullmatch(
        r"(?:1 ?/)?[A-Za-z_*/ ()]+(?:\*\*-?[1-4](?:\.5)?[A-Za-z_*/ ()]*)*", spelling
    ):
        return False
    names = re.findall("[A-Za-z_]+", spelling)
    return bool(names) and all(map(_is_defined, names))


def _is_defined(name: str) -> bool:
    try:
        return name == "dimensionless" or bool(units.get_name(name))
    except pint.UndefinedUnitError:
        return False


def convert_with_pint(value: Any, from_unit: str, to_unit: str) -> Any:
    """Convert between units that the fixed table lacks."""
    try:
        return units.Quantity(value, parsed(from_unit)).m_as(parsed(to_unit))
    except pint.PintError as error:
        raise FieldbookError(f"{from_unit} cannot be converted to {to_unit}") from error


def quantity(text: str) -> Any:
    """Read a number and a unit into a pint quantity, by our own rules.

    Example:
        >>> print(f"{quantity('20 degC').m_as('degF'):.1f}")
        68.0
    """
    body = plain_text(text, "20 degC")
    match = re.fullmatch(rf"({NUMBER}(?:e-?[0-9]{{1,2}})?) ?(.*)", body)
    if match is None:
        raise Unreadable(f'"{text}" is no quantity', 'Write a number and a unit, as "20 degC".')
    figures, _, power = match[1].partition("e")
    value = read_number(figures).value * 10.0 ** int(power or 0)
    unit = find_unit(match[2], "temperature") if match[2] else None
    name = pint_name(unit.name) if unit else match[2] or "dimensionless"
    return units.Quantity(value, parsed(name))
