"""Entries side by side: what was done differently first, then what came out differently."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple

from fieldbook.advice.results import Result
from fieldbook.advice.review import Review
from fieldbook.report.entry import flat
from fieldbook.report.units import Units
from fieldbook.report.values import say, spell
from fieldbook.text import beside, clean, columns, cut, wrap

OBSERVED = {"log", "specimens", "marked", "bars", "unloaded", "oven_dry", "title", "note"}
"""Tables and fields that say what was seen, not what was done."""


class Row(NamedTuple):
    """One field or value, entry by entry."""

    name: str
    said: tuple[str, ...]
    verdict: str
    """`done differently`, `differs`, `within the error`, or `unknown here`."""


def done_differently(recorded: Sequence[Mapping[str, Any]]) -> list[Row]:
    """The fields that were written differently; observations apart, since each has its own."""
    tables = [dict(flat({k: v for k, v in data.items() if k not in OBSERVED})) for data in recorded]
    names = dict.fromkeys(name for table in tables for name in table)
    rows = []
    for name in names:
        said = tuple(table.get(name, "") for table in tables)
        if len(set(said)) > 1:
            rows.append(
                Row(name, tuple(text or "not written" for text in said), "done differently")
            )
    return rows


def came_out(reviews: Sequence[Review], units: Units) -> list[Row]:
    """The derived values, each with whether the difference is greater than the errors."""
    names = dict.fromkeys(name for review in reviews for name in review.results)
    rows = []
    for name in names:
        results = [review.results.get(name) for review in reviews]
        if any(result is not None and isinstance(result.value, list) for result in results):
            continue
        said = tuple(say(result, units) if result else "unknown" for result in results)
        if len(set(said)) > 1 or any(result and result.known for result in results):
            rows.append(Row(name, said, verdict(results)))
    order = {"differs": 0, "within the error": 1, "the same": 2, "unknown here": 3}
    return sorted(rows, key=lambda row: order.get(row.verdict, 4))


def verdict(results: Sequence[Result | None]) -> str:
    """Whether the greatest difference is more than what the errors allow.

    Independent expanded uncertainties add in squares (JCGM 100:2008, 5.1.2); of a mean of bricks
    the half of its 95 % interval counts, where that is wider.
    """
    known = [result for result in results if result is not None and result.known]
    if len(known) < len(results):
        return "unknown here"
    if not all(isinstance(result.value, int | float) for result in known):
        return "the same" if len({str(result.value) for result in known}) == 1 else "differs"
    ends = sorted(known, key=lambda result: result.number)
    apart = ends[-1].number - ends[0].number
    if apart == 0:
        return "the same"
    error = math.hypot(half_width(ends[0]), half_width(ends[-1]))
    return "differs" if apart > error else "within the error"


def half_width(result: Result) -> float:
    """How far a value may be out, by the widest of its bounds."""
    widths = [result.plus_minus or 0.0]
    if result.low is not None and result.high is not None:
        widths.append((result.high - result.low) / 2)
    if result.interval and all(isinstance(end, int | float) for end in result.interval):
        widths.append((result.interval[1] - result.interval[0]) / 2)
    return max(widths)


def table_lines(names: Sequence[str], rows: Sequence[Row], width: int) -> list[str]:
    """Rows as a table for a pipe; on a terminal one entry a line under each name."""
    if width:
        return _stacked(names, rows, width)
    if not rows:
        return []
    rows = [row._replace(said=tuple(cut(clean(text), 40) for text in row.said)) for row in rows]
    wide = [max(len(n), *(columns(row.said[i]) for row in rows)) for i, n in enumerate(names)]
    lines = [beside("", 28) + "  ".join(beside(n, w) for n, w in zip(names, wide, strict=True))]
    for row in rows:
        cells = "  ".join(beside(text, w) for text, w in zip(row.said, wide, strict=True))
        lines.append(f"{beside(clean(spell(row.name)), 28)}{cells}  {row.verdict}".rstrip())
    return [line.rstrip() for line in lines]


def _stacked(names: Sequence[str], rows: Sequence[Row], width: int) -> list[str]:
    lines = []
    for row in rows:
        lines += wrap(f"{spell(row.name)}: {row.verdict}", width, "  ")
        for name, text in zip(names, row.said, strict=True):
            lines += wrap(f"{name}: {text}", width, "      ", "    ")
    return lines
