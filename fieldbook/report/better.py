"""Which firings of others did better than one's own, and what they did differently."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, NamedTuple

from fieldbook.advice.context import Context
from fieldbook.advice.results import Result
from fieldbook.advice.review import Review
from fieldbook.records import Firing
from fieldbook.report.compare import DIFFERS, DONE, Row, done_rows, verdict
from fieldbook.report.history import began
from fieldbook.report.makers import Makers
from fieldbook.report.outcomes import of_firing
from fieldbook.report.units import Units
from fieldbook.report.values import say
from fieldbook.report.ways import Way, way_of

MEASURES = {
    "yield": ("sound bricks", True),
    "cold_absorption": ("absorption", False),
    "compressive_strength": ("crushing strength", True),
    "modulus_of_rupture": ("bending strength", True),
    "wood per brick": ("wood per brick", False),
}
"""What a firing is measured by: its words, and whether more is better."""
TOLD = {
    "mix": "mix",
    "moisture when set": "water when set",
    "climb": "climb",
    "fastest climb": "fastest climb",
    "peak": "peak",
    "hold": "hold",
    "fastest cooling": "cooling",
    "setting gap": "gap",
    "setting bench": "bench",
    "setting courses": "courses",
    "fuel name": "fuel",
    "kiln": "kiln",
}
"""What is told of how they did it, and its words; all of it stands in `compare`."""


class Held(NamedTuple):
    """One measure of their firing, held against one's own."""

    name: str
    theirs: Result
    mine: Result

    def words(self, units: Units) -> str:
        """Such as `sound bricks 91 % (86 % to 94 %), yours 62 % (55 % to 69 %)`."""
        return f"{self.name} {short(self.theirs, units)}, yours {short(self.mine, units)}"


class Better(NamedTuple):
    """A firing of theirs that did better than one of one's own, beyond the bounds."""

    theirs: str
    maker: str
    mine: str
    better: tuple[Held, ...]
    worse: tuple[Held, ...]
    done: tuple[Row, ...]
    """What they did differently; said of theirs first, then of one's own."""

    def did(self, units: Units) -> str:
        """What they did differently, in one line."""
        names = [row.name for row in self.done]
        said = []
        for row in self.done:
            if row.name != "fastest climb" or "climb" not in names:
                theirs, mine = _brief(row, units)
                said.append(f"{TOLD[row.name]} {theirs} (yours {mine})")
        return "; ".join(said) or "nothing that is written of both"

    def json(self) -> dict[str, Any]:
        """As `news --json` prints it."""
        held = {
            word: [
                {"name": h.name, "theirs": h.theirs.json(), "yours": h.mine.json()} for h in rows
            ]
            for word, rows in (("better", self.better), ("worse", self.worse))
        }
        done = [row.json() for row in self.done]
        names = {"theirs": self.theirs, "maker": self.maker, "yours": self.mine}
        return {**names, **held, "done_differently": done}


class Outcome(NamedTuple):
    """A firing that is out, with what it gave."""

    review: Review
    way: Way
    measured: dict[str, Result]

    @property
    def firing(self) -> Firing:
        """Its record."""
        assert isinstance(self.review.entry, Firing)
        return self.review.entry


def own_outcomes(makers: Makers, context: Context) -> list[Outcome]:
    """One's own firings that are out and measured."""
    mine = [firing for firing in context.notebook.of(Firing) if makers.is_mine(firing)]
    found = (outcome_of(firing.address, context) for firing in mine)
    return [outcome for outcome in found if outcome is not None]


def better_than_mine(
    theirs: Iterable[str], mine: list[Outcome], makers: Makers, context: Context, units: Units
) -> list[Better]:
    """Their firings, by address, that did better than one's own of the same mix, or the latest."""
    found = []
    for address in theirs:
        other = outcome_of(address, context)
        own = _beside(other, mine) if other is not None else None
        if other is not None and own is not None:
            held = _held(other, own, makers.of(other.firing), units)
            found += [held] if held.better else []
    return sorted(found, key=lambda each: (-len(each.better), each.theirs))


def outcome_of(address: str, context: Context) -> Outcome | None:
    """What a firing gave; None while it is not out, or where nothing of it was measured."""
    review = context.review(address)
    if review is None or review.facts.get("phase") != "unloaded":
        return None
    measured = {result.name: result for result in of_firing(review, context)}
    measured = {name: measured[name] for name in MEASURES if name in measured}
    return Outcome(review, way_of(review, context), measured) if measured else None


def _beside(other: Outcome, mine: list[Outcome]) -> Outcome | None:
    """One's own firing to hold theirs against: of the same mix, else in the same kiln; the last."""

    def fits(own: Outcome) -> tuple[bool, bool, str]:
        at = began(own.firing)
        return (
            _said(own, "mix") == _said(other, "mix") is not None,
            own.firing.kiln == other.firing.kiln,
            at.isoformat() if at else "",
        )

    sharing = [own for own in mine if own.measured.keys() & other.measured.keys()]
    return max(sharing, key=fits, default=None)


def _said(outcome: Outcome, name: str) -> str | None:
    trait = outcome.way.get(name)
    return str(trait.result.value) if trait else None


def _held(other: Outcome, own: Outcome, maker: str, units: Units) -> Better:
    better: list[Held] = []
    worse: list[Held] = []
    for name, (words, more) in MEASURES.items():
        theirs, mine = other.measured.get(name), own.measured.get(name)
        if theirs is None or mine is None or verdict([theirs, mine]) != DIFFERS:
            continue
        is_better = (theirs.number > mine.number) == more
        (better if is_better else worse).append(Held(words, theirs, mine))
    rows = {row.name: row for row in done_rows([other.way, own.way], units)}
    done = [rows[name] for name in TOLD if name in rows and rows[name].verdict == DONE]
    return Better(
        other.firing.address,
        maker,
        own.firing.address,
        tuple(better),
        tuple(worse),
        tuple(done),
    )


def _brief(row: Row, units: Units) -> list[str]:
    """What a row says, without bounds: the difference is greater than they are."""
    said = []
    for text, result in zip(row.said, row.results, strict=True):
        is_derived = result is not None and "±" in text
        said.append(bare(result, units) if is_derived and result else text)
    return said


def bare(result: Result, units: Units) -> str:
    """A value alone, no finer than it is known."""
    return units.say(result.number, result.unit, result.plus_minus)


def short(result: Result, units: Units) -> str:
    """A value with its bounds and no more."""
    return say(result.but(n=None, sd=None), units)
