"""The weighings of marked bricks, green and fired, and what among them cannot be right."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from itertools import pairwise

from fieldbook.advice.context import Context
from fieldbook.advice.derive import Known, reading
from fieldbook.advice.review import Review
from fieldbook.calc.uncertainty import expanded, nominal
from fieldbook.records import Batch, BatchLine

MOST_LOST_GREEN = 31.0
"""[%] Of the wet mass: more than the 45 % of water, dry basis, that the softest clay holds
(GATE/BASIN, Drying of bricks: forming water at most about 40 %)."""


@dataclass(frozen=True)
class Weighing:
    """One brick on the scale, or its marks under the ruler."""

    at: datetime
    known: Known
    half_hours: float = 0.0
    """Half of what its time is uncertain by: 12 of a whole day."""

    @property
    def where(self) -> str:
        """File and line it stands at."""
        return self.known.where


@dataclass
class MarkedBrick:
    """All that was measured on one marked brick, in order of time."""

    name: str
    where: str
    masses: list[Weighing] = field(default_factory=list)
    """Green; the first as moulded, where that was weighed."""
    as_moulded: bool = False
    """Whether the first of the masses is that as moulded."""
    fired_masses: list[Weighing] = field(default_factory=list)
    marks: list[Weighing] = field(default_factory=list)
    fired_marks: list[Weighing] = field(default_factory=list)
    first_marks: Known | None = None

    @property
    def wet(self) -> Weighing | None:
        """The mass as moulded."""
        return self.masses[0] if self.masses and self.as_moulded else None

    @property
    def last(self) -> Weighing | None:
        """The last green weighing."""
        return self.masses[-1] if self.masses else None


def moulded_at(batch: Batch) -> datetime | None:
    """When it was moulded: of a day its noon, or the first weighing of that day if earlier."""
    moment = batch.moulded
    if moment is None:
        return None
    first = next((line.at for line in batch.log if getattr(line, "mass", None)), moment.at)
    early = (moment.at - first).total_seconds() / 3600
    return first if 0 < early <= moment.half_hours else moment.at


def bricks_of(batch: Batch, context: Context) -> dict[str, MarkedBrick]:
    """The marked bricks, and any other that was weighed, by name."""
    found: dict[str, MarkedBrick] = {}
    start = moulded_at(batch)
    for name, row in batch.marked.items():
        brick = found[name] = MarkedBrick(name, batch.where(f"marked.{name}"))
        mass = reading(context, row.mass, f"mass of brick {name} as moulded", "mass")
        if mass.there and start is not None:
            half = batch.moulded.half_hours if batch.moulded else 0.0
            brick.masses.append(Weighing(start, mass, half))
            brick.as_moulded = True
        marks = reading(context, row.marks, f"marks of brick {name} as moulded", "marks")
        brick.first_marks = marks if marks.there else None
    for line in batch.log:
        if isinstance(line, BatchLine) and line.brick:
            brick = found.setdefault(line.brick, MarkedBrick(line.brick, line.where))
            _take(brick, line, context)
    return found


def _take(brick: MarkedBrick, line: BatchLine, context: Context) -> None:
    words = "fired" if line.firing else f"on {line.at:%d %b %H:%M}"
    mass = reading(context, line.mass, f"mass of brick {brick.name} {words}", "mass")
    if mass.there:
        (brick.fired_masses if line.firing else brick.masses).append(Weighing(line.at, mass))
    marks = reading(context, line.marks, f"marks of brick {brick.name} {words}", "marks")
    if marks.there:
        (brick.fired_marks if line.firing else brick.marks).append(Weighing(line.at, marks))


def question_all(batch: Batch, bricks: dict[str, MarkedBrick], review: Review) -> None:
    """Point out what is wrong whatever the dry mass is: no mass, too early, gone too far."""
    for name, brick in bricks.items():
        if name not in batch.marked:
            known = ", ".join(batch.marked) or "none"
            what = f"brick {name} is not among the marked ones ({known})"
            remedy = "Correct its name, or write it under [marked] with its mass as moulded."
            review.question_at(brick.where, what, remedy)
        for group in (brick.masses, brick.fired_masses, brick.marks, brick.fired_marks):
            for one in [one for one in group if one.known.value <= 0]:
                what = f"brick {name}: {one.known.text} is not greater than zero"
                review.question_at(one.where, what, "Measure it again.")
                if group is brick.masses and group[0] is one:
                    brick.as_moulded = False
                group.remove(one)
        if brick.first_marks is not None and brick.first_marks.value <= 0:
            what = f"brick {name}: marks of {brick.first_marks.text} are not greater than zero"
            review.question_at(brick.first_marks.where, what, "Measure them again.")
            brick.first_marks = None
        moulded = batch.moulded
        for one in brick.masses[1 if brick.as_moulded else 0 :]:
            early = (moulded.at - one.at).total_seconds() / 3600 if moulded else 0.0
            if moulded and early > moulded.half_hours:
                what = f"brick {name} was weighed before the batch was moulded ({moulded.text})"
                review.question_at(one.where, what, "Correct the time of one of the two.")


def rained_between(batch: Batch, first: datetime, last: datetime) -> bool:
    """Whether the log knows of rain between two moments."""
    return any(
        isinstance(line, BatchLine) and line.rain and first <= line.at <= last for line in batch.log
    )


def gains(batch: Batch, brick: MarkedBrick) -> list[tuple[Weighing, Weighing]]:
    """Neighbouring green weighings of which the later is the heavier, no rain between them."""
    found = []
    for before, after in pairwise(brick.masses):
        if gained(before, after) and not rained_between(batch, before.at, after.at):
            found.append((before, after))
    return found


def gained(before: Weighing, after: Weighing) -> bool:
    """Whether the later weighing is the heavier, by more than is uncertain."""
    if after.known.value <= before.known.value:
        return False
    more = after.known.number - before.known.number
    return bool(nominal(more) > max(expanded(more), 1e-9))
