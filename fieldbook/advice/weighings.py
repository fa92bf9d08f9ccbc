"""The weighings of marked bricks, green and fired, and what among them cannot be right."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from itertools import pairwise

from fieldbook.advice.context import Context
from fieldbook.advice.derive import Known, reading
from fieldbook.advice.review import Review
from fieldbook.calc.dry_mass import AIR_DRY_WATER, PLATEAU_STEP
from fieldbook.calc.uncertainty import expanded, nominal
from fieldbook.frozen import frozen
from fieldbook.records import Batch, BatchLine

AIR_GIVES = 0.15
"""[%/h] Of the dry mass: the most an air-dry brick takes up from damp air. A wet brick in the same
film loses 0.3 to 0.5 % an hour to air that pulls with some 1000 Pa; between dry and damp air lie a
third of that at most; ours, from memory."""
MOST_LOST_GREEN = 31.0
"""[%] Of the wet mass: more than the 45 % of water, dry basis, that the softest clay holds
(GATE/BASIN, Drying of bricks: forming water at most about 40 %)."""


@frozen
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
    """The marked bricks by name; where none is marked, whatever was weighed.

    A number that no marked brick has is a slip of the pen or another batch's: it is left out.
    """
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
    for line in weighed_lines(batch):
        if line.brick in found or not batch.marked:
            brick = found.setdefault(line.brick or "", MarkedBrick(line.brick or "", line.where))
            _take(brick, line, context)
    return found


def weighed_lines(batch: Batch) -> list[BatchLine]:
    """The lines that name a brick."""
    return [line for line in batch.log if isinstance(line, BatchLine) and line.brick]


def strangers(batch: Batch) -> dict[str, str]:
    """Bricks that were weighed and are not marked, with the first line that names each."""
    found: dict[str, str] = {}
    for line in weighed_lines(batch):
        if line.brick and line.brick not in batch.marked:
            found.setdefault(line.brick, line.where)
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
    known = ", ".join(batch.marked) or "none"
    for name, where in strangers(batch).items():
        left_out = "; it is left out" if batch.marked else ""
        what = f"brick {name} is not among the marked ones ({known}){left_out}"
        remedy = "Correct its name, or write it under [marked] with its mass as moulded."
        review.question_at(where, what, remedy)
    for name, brick in bricks.items():
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


def gains(
    batch: Batch, brick: MarkedBrick, dry_mass: float | None
) -> list[tuple[Weighing, Weighing]]:
    """Neighbouring green weighings of which the later is heavier than rain or the air explain."""
    found = []
    for before, after in pairwise(brick.masses):
        if not gained(before, after) or from_the_air(before, after, dry_mass):
            continue
        if not rained_between(batch, before.at, after.at):
            found.append((before, after))
    return found


def from_the_air(before: Weighing, after: Weighing, dry_mass: float | None) -> bool:
    """Whether damp air alone can have given a brick what it gained.

    An air-dry brick holds 1 to 5 % as the air is dry or damp; what it gains ends there, and comes
    no faster than a film of air lets it. Without a dry mass only what a plateau may move is
    granted.
    """
    more = after.known.value - before.known.value
    if dry_mass is None:
        return 100 * more <= PLATEAU_STEP * before.known.value
    hours = (after.at - before.at).total_seconds() / 3600
    dampest = dry_mass * (1 + AIR_DRY_WATER[1] / 100)
    return after.known.value <= dampest and more <= AIR_GIVES / 100 * dry_mass * hours


def gained(before: Weighing, after: Weighing) -> bool:
    """Whether the later weighing is the heavier, by more than is uncertain."""
    if after.known.value <= before.known.value:
        return False
    more = after.known.number - before.known.number
    return bool(nominal(more) > max(expanded(more), 1e-9))
