"""From a value to the text people read."""

import math
from collections.abc import Mapping

from fieldbook.errors import Unreadable
from fieldbook.quantities.amount import Amount
from fieldbook.quantities.finding import convert, find_unit
from fieldbook.quantities.table import CANONICAL

SYSTEMS: dict[str, dict[str, str]] = {
    "metric": {
        "length": "mm", "mass": "kg", "volume": "l", "temperature": "degC",
        "difference": "delta_degC", "rate": "delta_degC/h", "force": "N", "time": "h",
        "density": "kg/m3", "area": "cm2", "flow": "m3/h", "pressure": "Pa", "speed": "m/s",
        "calorific": "MJ/kg", "energy": "Wh", "conductivity": "W/(m K)",
    },
    "us": {
        "length": "in", "mass": "lb", "volume": "gal", "temperature": "degF",
        "difference": "delta_degF", "rate": "delta_degF/h", "force": "lbf", "time": "h",
        "density": "lb/ft3", "area": "in2", "flow": "cfm", "pressure": "in water", "speed": "mph",
        "calorific": "BTU/lb", "energy": "Wh", "conductivity": "BTU in/(h ft2 F)",
    },
}  # fmt: skip
"""System -> dimension -> the unit people of that system read."""

_SIGNS = {
    "degC": "°C", "degF": "°F", "delta_degC": "°C", "delta_degF": "°F", "1": "",
    "W/(m K)": "W/(m·K)", "BTU in/(h ft2 F)": "BTU·in/(h·ft²·°F)", "BTU/(h ft F)": "BTU/(h·ft·°F)",
}  # fmt: skip
_PLAIN = {"degC": "C", "degF": "F", "delta_degC": "C", "delta_degF": "F", "1": ""}


def preferred(system: str, show_table: Mapping[str, object] | None = None) -> dict[str, str]:
    """Give the unit for each dimension: of a system, the notebook's `[show]` going first.

    `as-written` follows `[show]` alone; what it does not name is shown as it was written.
    """
    units = dict(SYSTEMS.get(system, {}))
    for dimension, name in (show_table or {}).items():
        if dimension not in CANONICAL:
            continue
        unit = find_unit(name, dimension) if isinstance(name, str) else None
        if unit is None:
            usual = SYSTEMS["metric"].get(dimension, CANONICAL[dimension])
            raise Unreadable(
                f"[show] {dimension} names no unit known here",
                f'Write a unit, for example {dimension} = "{usual}".',
            )
        units[dimension] = unit.name
        if dimension == "temperature" and unit.name != "K":
            units["difference"] = f"delta_{unit.name}"
            units["rate"] = f"delta_{unit.name}/h"
    return units


def show(
    value: float,
    unit: str,
    half: float | None = None,
    to: str | None = None,
    *,
    ascii_only: bool = False,
    with_half: bool = False,
) -> str:
    """Write a value for people, in another unit if asked.

    Args:
        value: in `unit`.
        unit: as in the table of units; empty for a plain number.
        half: half-width or plus-minus in `unit` (kelvins or degrees); guides the digits.
        to: the unit to show.
        ascii_only: no degree sign, no raised figures.
        with_half: write the half-width too.

    Example:
        >>> show(100.0, "degC", 0.3, to="degF", ascii_only=True)
        '212.0 F'
        >>> show(1.9213, "kg", 0.01)
        '1.92 kg'
    """
    if to is not None and to != unit:
        shown = convert(value, unit, to)
        if half is not None:
            half = abs(convert(value + half, unit, to) - shown)
        value, unit = shown, to
    if not math.isfinite(value):
        return "unknown"
    figures = _figures(value, half)
    sign = unit_sign(unit, ascii_only=ascii_only)
    if with_half and half:
        figures += f" {'+/-' if ascii_only else '±'} {_figures(half, half)}"
    return f"{figures} {sign}".rstrip()


def show_amount(amount: Amount, units: Mapping[str, str], *, ascii_only: bool = False) -> str:
    """Write an amount in the unit that `units` has for its dimension; else as it was written.

    Example:
        >>> from fieldbook.quantities import preferred, read_amount
        >>> show_amount(read_amount("> 1000 C", "temperature"), preferred("us"), ascii_only=True)
        '> 1832 F'
    """
    to = units.get(amount.dimension)
    if to is None or amount.dimension not in CANONICAL or amount.unit == to:
        return amount.text
    mark = {"above": "> ", "below": "< ", "rough": "~"}.get(amount.how, "")
    text = show(
        amount.value, CANONICAL[amount.dimension], amount.half, to, ascii_only=ascii_only,
        with_half=amount.how in ("range", "stated"),
    )  # fmt: skip
    return mark + text


def _figures(value: float, half: float | None) -> str:
    if half is None or not half > 0 or not math.isfinite(half):
        places = max(0, 3 - _magnitude(value)) if value else 0
        text = f"{value:.{places}f}"
        return text.rstrip("0").rstrip(".") if "." in text else text
    text = f"{value:.{max(0, -_magnitude(half))}f}"
    return text.lstrip("-") if float(text) == 0 else text


def _magnitude(value: float) -> int:
    """Decimal place of the leading digit, after rounding to that digit."""
    return int(f"{abs(value):.0e}".split("e")[1])


def unit_sign(unit: str, *, ascii_only: bool = False) -> str:
    """Give the sign people know for a unit."""
    if unit in (_PLAIN if ascii_only else _SIGNS):
        return (_PLAIN if ascii_only else _SIGNS)[unit]
    upper, slash, lower = unit.partition("/")
    if slash and "(" not in unit:
        parts = (unit_sign(part, ascii_only=ascii_only) for part in (upper, lower))
        return "/".join(parts)
    if ascii_only:
        return unit
    return unit.replace("2", "²").replace("3", "³").replace("um", "µm")
