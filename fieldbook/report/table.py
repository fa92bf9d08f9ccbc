"""Tables for a spreadsheet: an entry a row, or an observation a row, units in the header.

A cell of text that a spreadsheet would take for a formula gets an apostrophe before it, which
spreadsheets take for "this is text". Headers are plain ASCII, since some programs guess at more.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from fieldbook.advice.context import Context
from fieldbook.advice.results import Result
from fieldbook.advice.review import Review
from fieldbook.quantities import Amount
from fieldbook.quantities.table import CANONICAL
from fieldbook.records import Entry, Test, attribute, specs
from fieldbook.report.history import began
from fieldbook.report.outcomes import outcomes
from fieldbook.report.values import spell
from fieldbook.report.ways import UNIT_OF, way_of
from fieldbook.text import clean

Cell = str | int | float | None
Table = tuple[list[str], list[list[Cell]]]
"""The header and the rows."""
STARTS_A_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n")
ASCII = {"°C": "degC", "m³": "m3", "²": "2", "³": "3", "µ": "u", "·": "*", "°": "deg"}


def csv_text(table: Table) -> str:
    """A table as CSV (RFC 4180, but with plain line ends)."""
    header, rows = table
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(safe(name) for name in header)
    for row in rows:
        writer.writerow(safe(cell) for cell in row)
    return out.getvalue()


def safe(cell: Cell) -> str:
    """A cell as text: a number plain, text cleaned and never a formula."""
    if cell is None:
        return ""
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, int | float):
        return f"{cell:.10g}"
    begins = cell.lstrip(" ").startswith(STARTS_A_FORMULA) or cell.startswith(STARTS_A_FORMULA)
    return f"'{clean(cell)}" if begins else clean(cell)


def table_of_entries(reviews: Sequence[Review], context: Context) -> Table:
    """An entry a row: what it is, what was done, what came out, each with its bounds."""
    columns: dict[str, None] = dict.fromkeys(("entry", "title", "maker", "began"))
    rows = []
    for review in reviews:
        entry = review.entry
        at = began(entry)
        row: dict[str, Cell] = {
            "entry": entry.address,
            "title": entry.title,
            "maker": entry.maker,
            "began": at.isoformat() if at else None,
        }
        for trait in way_of(review, context).values():
            row |= cells(trait.result)
        for result in outcomes(review, context).values():
            row |= cells(result)
        columns.update(dict.fromkeys(row))
        rows.append(row)
    return list(columns), [[row.get(name) for name in columns] for row in rows]


def cells(result: Result) -> dict[str, Cell]:
    """One value and what belongs to it, each under its header; nothing of what is not known."""
    name = spell(result.name)
    if not isinstance(result.value, int | float):
        return {name: result.value} if isinstance(result.value, str) else {}
    unit = unit_text(result.unit)
    found: dict[str, Cell] = {headed(name, unit): result.value}
    for word, value in (
        ("plus minus", result.plus_minus),
        ("low", result.low),
        ("high", result.high),
        ("sd", result.sd),
    ):
        if value is not None:
            found[headed(f"{name} {word}", "K" if word in STEPS and unit == "degC" else unit)] = (
                value
            )
    if result.n is not None:
        found[f"{name} n"] = result.n
    return found


STEPS = ("plus minus", "sd")
"""What is a difference of values: of temperatures in kelvin."""


def headed(name: str, unit: str) -> str:
    """A header with its unit, such as `peak [degC]`."""
    return f"{name} [{unit}]" if unit else name


def unit_text(unit: str | None) -> str:
    """A unit in plain ASCII."""
    text = "" if unit in (None, "1", "time") else str(unit)
    for sign, plain in ASCII.items():
        text = text.replace(sign, plain)
    return text.encode("ascii", "replace").decode()


def table_of_observations(entry: Entry, review: Review | None) -> Table:
    """An observation a row, or of a test a specimen a row, in the order of the entry."""
    if isinstance(entry, Test):
        return _specimens(entry, review)
    rows = [{"time": line.at.isoformat(), **_record(line, entry.line_type)} for line in entry.log]
    return _columns(("time",), rows)


def _specimens(test: Test, review: Review | None) -> Table:
    derived = list(review.results.values()) if review is not None else []
    rows = []
    for name, specimen in test.specimens.items():
        row: dict[str, Cell] = {"specimen": name, **_record(specimen, type(specimen))}
        for result in derived:
            value = result.each.get(name)
            if isinstance(value, int | float | str):
                row[headed(spell(result.name), unit_text(result.unit))] = value
        rows.append(row)
    return _columns(("specimen",), rows)


def _columns(first: Iterable[str], rows: list[dict[str, Cell]]) -> Table:
    names = dict.fromkeys([*first, *(name for row in rows for name in row)])
    return list(names), [[row.get(name) for name in names] for row in rows]


def _record(record: Any, kind: type) -> dict[str, Cell]:
    """The fields that are written, amounts in one unit each; a bound as it was written."""
    found: dict[str, Cell] = {}
    for field, spec in specs(kind).items():
        value = getattr(record, attribute(field))
        if isinstance(value, Amount):
            unit = UNIT_OF.get(value.dimension) or CANONICAL.get(value.dimension) or value.unit
            cell: Cell = value.text if value.is_bound else value.value
            found[headed(spell(field), unit_text(unit))] = cell
        elif isinstance(value, str | int | bool):
            found[spell(field)] = value
        elif spec.holds == "table" and spec.of is not None and value is not None:
            inner = _record(value, spec.of)
            found |= {f"{spell(field)} {name}": cell for name, cell in inner.items()}
    return found


def json_row(value: Mapping[str, Any]) -> dict[str, Any]:
    """An answer on one line; TOML's dates and what JSON has no number for as text."""
    return {key: _plain(item) for key, item in value.items()}


def _plain(value: Any) -> Any:
    if isinstance(value, Mapping):
        return json_row(value)
    if isinstance(value, list | tuple):
        return [_plain(item) for item in value]
    is_number = isinstance(value, float) and value - value == 0
    return value if value is None or is_number or isinstance(value, str | int) else str(value)
