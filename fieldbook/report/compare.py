"""Entries side by side: what was done differently first, then what came out differently.

A difference that the bounds of both sides allow is none, and that is said.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from itertools import combinations
from typing import Any, NamedTuple

from fieldbook.advice.context import Context
from fieldbook.advice.results import Result
from fieldbook.advice.review import Review
from fieldbook.quantities.finding import find_unit
from fieldbook.quantities.showing import show_amount
from fieldbook.report.outcomes import is_under_way, outcomes
from fieldbook.report.units import Units
from fieldbook.report.values import say, spell
from fieldbook.report.ways import Trait, Way, no_part, way_of
from fieldbook.text import beside, clean, columns, cut, wrap

DONE = "done differently"
DIFFERS = "differs"
WITHIN = "same to within the bounds"
SAME = "the same"
UNKNOWN = "not known of all"
UNWRITTEN = "not written of all"
ORDER = (DONE, DIFFERS, WITHIN, SAME, UNKNOWN, UNWRITTEN)
"""The verdicts, differences first."""
NOT_WRITTEN = "not written"
NAME_WIDTH = 40
"""Columns of a name in a table, at most."""


class Row(NamedTuple):
    """One thing, entry by entry."""

    name: str
    said: tuple[str, ...]
    verdict: str
    """One of `ORDER`."""
    results: tuple[Result | None, ...] = ()

    def json(self) -> dict[str, Any]:
        """As `compare --json` prints it."""
        values = [result.json() if result else None for result in self.results]
        return {"name": self.name, "said": self.said, "verdict": self.verdict, "values": values}


class Side(NamedTuple):
    """One of the entries that are compared, with what it stands in."""

    name: str
    review: Review
    context: Context


class Comparison(NamedTuple):
    """What was done, and what came out."""

    done: list[Row]
    out: list[Row]
    under_way: tuple[str, ...] = ()
    """Firings whose bricks are not out yet."""

    def rows(self, verdict: str) -> list[Row]:
        """What came out with one verdict; what is known of one side alone is told by `alone`."""
        return [row for row in self.out if row.verdict == verdict and known_of(row) != 1]

    @property
    def told_of_several(self) -> list[Row]:
        """What came out and can be held against another."""
        return [row for row in self.out if known_of(row) != 1]

    def alone(self, names: Sequence[str]) -> list[str]:
        """What is known of one side alone, a line a side."""
        lines = []
        for number, name in enumerate(names):
            rows = [row for row in self.out if known_of(row) == 1 and row.results[number]]
            told = [
                f"{spell(r.name)} {r.said[number]}" for r in rows if is_known(r.results[number])
            ]
            if told:
                lines.append(f"known of {name} alone: {'; '.join(told)}")
        return lines

    def unfinished(self) -> list[str]:
        """Which firings are under way, so that what they have done is as of now."""
        return [f"{name} is under way: what it has done is as of now" for name in self.under_way]

    @property
    def done_by_one(self) -> list[Row]:
        """What is written of some and not of others, so that nobody knows whether it differs."""
        return [row for row in self.done if row.verdict == UNWRITTEN]

    @property
    def done_differently(self) -> list[Row]:
        """What was done differently, beyond the bounds."""
        return [row for row in self.done if row.verdict == DONE]

    @property
    def done_alike(self) -> list[Row]:
        """What was done the same, to within the bounds or altogether."""
        return [row for row in self.done if row.verdict in (WITHIN, SAME)]


def is_known(result: Result | None) -> bool:
    """Whether there is a value."""
    return result is not None and result.known


def known_of(row: Row) -> int:
    """Of how many sides something is known."""
    return sum(is_known(result) for result in row.results)


def compare(sides: Sequence[Side], units: Units, *, then_and_now: bool = False) -> Comparison:
    """Lay entries of one kind side by side, or one entry at two moments."""
    ways = [way_of(side.review, side.context) for side in sides]
    burning = tuple(side.name for side in sides if is_under_way(side.review))
    told = {"then_and_now": then_and_now, "beside_one_out": 0 < len(burning) < len(sides)}
    found = [outcomes(side.review, side.context, **told) for side in sides]
    done, out = done_rows(ways, units), came_out(found, units)
    if not then_and_now:
        out = [row for row in out if row.name not in {each.name for each in done}]
    return Comparison(done, out, burning)


def done_rows(ways: Sequence[Way], units: Units) -> list[Row]:
    """Each thing that was done, the differences first."""
    rows = []
    for name in dict.fromkeys(name for way in ways for name in way):
        missing = no_part(name)
        traits = [way.get(name, missing) for way in ways]
        results = tuple(trait.result if trait else None for trait in traits)
        found = UNWRITTEN if None in traits else verdict(results)
        found = DONE if found in (DIFFERS, UNKNOWN) else found
        rows.append(Row(name, _said(traits, units), found, results))
    return sorted(rows, key=lambda row: ORDER.index(row.verdict))


def _said(traits: Sequence[Trait | None], units: Units) -> tuple[str, ...]:
    """As written; in one unit where they were written in several."""
    amounts = [trait.amount for trait in traits if trait and trait.amount]
    to = dict(units.of)
    for amount in amounts[:1]:
        if find_unit(amount.unit, amount.dimension):
            to.setdefault(amount.dimension, amount.unit)
    said = []
    for trait in traits:
        if trait is None:
            said.append(NOT_WRITTEN)
        elif trait.amount is not None:
            said.append(show_amount(trait.amount, to, ascii_only=units.ascii_only))
        else:
            said.append(say(trait.result, units))
    return tuple(said)


def came_out(found: Sequence[Mapping[str, Result]], units: Units) -> list[Row]:
    """What came out, each with whether the difference is greater than the bounds."""
    rows = []
    for name in dict.fromkeys(name for results in found for name in results):
        results = tuple(each.get(name) for each in found)
        if any(result is not None and result.known for result in results):
            said = tuple(say(result, units) if result else "unknown" for result in results)
            rows.append(Row(name, said, verdict(results), results))
    return sorted(rows, key=lambda row: ORDER.index(row.verdict))


def verdict(results: Sequence[Result | None]) -> str:
    """Whether the difference of any two is more than the bounds of both allow.

    Independent expanded uncertainties add in squares (JCGM 100:2008, 5.1.2); of bounds that are
    not symmetric the sides that face each other count (Newcombe 1998, Stat. Med. 17, 873-890,
    method 10); of a mean of bricks the 95 % interval, where that is wider.
    """
    known = [result for result in results if result is not None and result.known]
    if len(known) < len(results):
        return UNKNOWN
    if not all(isinstance(result.value, int | float) for result in known):
        return SAME if len({str(result.value) for result in known}) == 1 else DIFFERS
    rising = sorted(known, key=lambda result: result.number)
    if rising[0].number == rising[-1].number:
        return SAME
    return WITHIN if all(within(*pair) for pair in combinations(rising, 2)) else DIFFERS


def within(low: Result, high: Result) -> bool:
    """Whether the bounds of two values allow that they are one."""
    apart = high.number - low.number
    return apart <= math.hypot(half_width(low, up=True), half_width(high, up=False)) + 1e-12


def half_width(result: Result, *, up: bool) -> float:
    """How far a value may be out on one side, by the widest of its bounds."""
    widths = [result.plus_minus or 0.0]
    for ends in ((result.low, result.high), result.interval or (None, None)):
        end = ends[1] if up else ends[0]
        if isinstance(end, int | float):
            widths.append(end - result.number if up else result.number - end)
    return max(widths)


def table_lines(names: Sequence[str], rows: Sequence[Row], width: int) -> list[str]:
    """Rows as a table for a pipe; on a terminal one entry a line under each name."""
    if width:
        return _stacked(names, rows, width)
    if not rows:
        return []
    rows = [row._replace(said=tuple(cut(clean(text), 40) for text in row.said)) for row in rows]
    wide = [max(columns(n), *(columns(r.said[i]) for r in rows)) for i, n in enumerate(names)]
    heads = [cut(clean(spell(row.name)), NAME_WIDTH) for row in rows]
    room = max(26, *(columns(head) for head in heads)) + 2
    lines = [beside("", room) + "  ".join(beside(n, w) for n, w in zip(names, wide, strict=True))]
    for head, row in zip(heads, rows, strict=True):
        cells = "  ".join(beside(text, w) for text, w in zip(row.said, wide, strict=True))
        lines.append(f"{beside(head, room)}{cells}  {row.verdict}")
    return [line.rstrip() for line in lines]


def _stacked(names: Sequence[str], rows: Sequence[Row], width: int) -> list[str]:
    lines = []
    for row in rows:
        lines += wrap(f"{spell(row.name)}: {row.verdict}", width, "  ")
        for name, text in zip(names, row.said, strict=True):
            lines += wrap(f"{name}: {text}", width, "      ", "    ")
    return lines


def compare_lines(names: Sequence[str], found: Comparison, width: int) -> list[str]:
    """The whole comparison, differences first, as `compare` prints it."""
    lines = [*found.unfinished(), DONE, *table_lines(names, found.done_differently, width)]
    if not found.done_differently:
        lines = [*found.unfinished(), "nothing was done differently, as far as it is written"]
    for head, rows in aside(found):
        lines += wrap(f"{head}: {', '.join(spell(row.name) for row in rows)}", width, "    ", "")
    lines += ["", "came out", *table_lines(names, found.told_of_several, width)]
    for line in found.alone(names):
        lines += wrap(line, width, "    ", "")
    return [clean(line) for line in lines]


def aside(found: Comparison) -> list[tuple[str, list[Row]]]:
    """What was done and is told by name alone, with the words before it."""
    both = [
        ("done the same to within the bounds", found.done_alike),
        ("written of some alone", found.done_by_one),
    ]
    return [(head, rows) for head, rows in both if rows]
