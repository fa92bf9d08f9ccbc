"""The dry mass of each marked brick, by the first route that has an answer, and what denies it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any

from fieldbook.advice.context import Context
from fieldbook.advice.derive import Known, default, lines_of, reading, work
from fieldbook.advice.review import Review
from fieldbook.advice.weighings import MOST_LOST_GREEN, MarkedBrick, Weighing, gains, moulded_at
from fieldbook.calc import dry_mass as routes
from fieldbook.calc.uncertainty import expanded, nominal
from fieldbook.errors import NotPossible, OutOfRange
from fieldbook.frozen import frozen
from fieldbook.records import Batch, OvenDry

NEAR_A_WEIGHING = 6.0
"""[h] A weighing this near to the taking of the oven piece counts as its mass then."""


@frozen
class DryMass:
    """The dry mass of one brick."""

    known: Known
    route: str
    """`oven piece`, `fired` or `plateau`."""
    method: str
    formula: Any


@dataclass
class DryMasses:
    """The dry masses of a batch, with what contradicts them."""

    of: dict[str, DryMass] = field(default_factory=dict)
    suspect: dict[str, str] = field(default_factory=dict)
    """Brick -> why its weighings cannot all be right."""
    left_out: set[str] = field(default_factory=set)
    """Lines of weighings that nothing is derived from."""
    refused: str = ""
    """Why there is none at all, where the oven piece contradicts itself."""
    water_held: Known | None = None
    """[%] What an air-dry brick of this mix still holds."""
    held_learnt: bool = False
    first_moisture: Known | None = None
    """[%] Moisture as moulded, by the oven piece."""


def begin(
    batch: Batch,
    bricks: dict[str, MarkedBrick],
    review: Review,
    context: Context,
    water_held: Known | None = None,
) -> DryMasses:
    """What the oven piece alone tells; its own contradiction is pointed out in the review."""
    found = DryMasses(water_held=water_held or _held_by_default(), held_learnt=bool(water_held))
    wet, dry = _piece(batch, context)
    for part in (wet, dry):
        if part.there and part.value <= 0:
            found.refused = "the oven piece weighs nothing"
            what = f"{part.name}: {part.text} is not greater than zero"
            review.question_at(part.where, what, "Weigh it again.")
            return found
    if wet.there and dry.there and dry.value > wet.value:
        found.refused = "the oven piece weighs more dry than wet"
        what = f"oven_dry: dry_mass {dry.text} is more than wet_mass {wet.text}"
        review.question_at(dry.where, what, "See whether the two changed places.")
        return found
    if wet.there and dry.there:
        found.first_moisture = _first_moisture(batch, bricks, wet, dry)
    return found


def find(
    batch: Batch,
    bricks: dict[str, MarkedBrick],
    review: Review,
    context: Context,
    *,
    found: DryMasses,
    ignition_loss: Known,
) -> DryMasses:
    """The dry masses of all bricks; what contradicts them is pointed out in the review.

    Nothing is derived from the weighings that `found` already leaves out. `review` may be one
    that is thrown away, where only the masses are wanted.
    """
    piece = _piece(batch, context)
    for name, brick in bricks.items():
        if not found.refused:
            route = next(iter(_routes(batch, brick, piece, ignition_loss, found)), None)
            if route is not None:
                found.of[name] = route
    for brick in bricks.values():
        _question(batch, brick, found, review)
    return found


def _held_by_default() -> Known:
    low, high = routes.AIR_DRY_WATER
    number = routes.air_dry_water()
    return default("water held air-dry", number, "%", f"{low:g} to {high:g} %", "from memory")


def _piece(batch: Batch, context: Context) -> tuple[Known, Known]:
    piece = batch.oven_dry or OvenDry()
    return (
        reading(context, piece.wet_mass, "oven piece, wet", "oven_dry.wet_mass"),
        reading(context, piece.dry_mass, "oven piece, dry", "oven_dry.dry_mass"),
    )


def _routes(
    batch: Batch,
    brick: MarkedBrick,
    piece: tuple[Known, Known],
    ignition_loss: Known,
    found: DryMasses,
) -> Iterator[DryMass]:
    """The routes that have an answer for a brick, in their order."""
    wet, dry = piece
    then = _mass_when_taken(batch, brick)
    for name, formula, known in (
        ("oven piece", routes.dry_mass_by_piece,
         {"brick_mass": then, "piece_wet": wet, "piece_dry": dry}),
        ("fired", routes.dry_mass_from_fired,
         {"fired_mass": _fired(brick, found), "ignition_loss": ignition_loss}),
        ("plateau", routes.dry_mass_from_plateau,
         {"plateau_mass": _plateau(brick), "water_held": found.water_held}),
    ):  # fmt: skip
        parts = {key: part for key, part in known.items() if part is not None and part.there}
        if len(parts) < len(known):
            continue
        try:
            value = work(formula, f"dry mass of brick {brick.name}", **parts)
        except (NotPossible, OutOfRange):
            continue
        words = {
            "oven piece": "mass when the oven piece was taken x piece dry / piece wet",
            "fired": "mass after firing / (1 - ignition loss)",
            "plateau": "plateau of the drying curve / (1 + water held air-dry)",
        }
        yield DryMass(value, name, words[name], formula)


def _mass_when_taken(batch: Batch, brick: MarkedBrick) -> Known | None:
    """The mass of a brick when the oven piece was taken: as moulded where nothing else is said."""
    taken = batch.oven_dry.at if batch.oven_dry else None
    start = moulded_at(batch)
    if taken is None or start is None:
        return brick.wet.known if brick.wet else None
    half = max(taken.half_hours, batch.moulded.half_hours if batch.moulded else 0.0)
    if abs((taken.at - start).total_seconds()) / 3600 <= max(half, 1.0) and brick.wet:
        return brick.wet.known
    return _between(brick, taken.at, taken.half_hours)


def _between(brick: MarkedBrick, at: datetime, half_hours: float) -> Known | None:
    """The mass at a moment: weighed near it, or on the straight line between two weighings."""
    near = timedelta(hours=max(NEAR_A_WEIGHING, half_hours))
    close = [one for one in brick.masses if abs(one.at - at) <= near]
    before = [one for one in brick.masses if one.at <= at]
    after = [one for one in brick.masses if one.at >= at]
    if before and after and before[-1].at < after[0].at:
        first, second = before[-1], after[0]
        part = (at - first.at) / (second.at - first.at)
        number = first.known.number * (1 - part) + second.known.number * part
        words = f"mass of brick {brick.name} when the oven piece was taken"
        return Known(words, number, "kg", (*first.known.inputs, *second.known.inputs))
    if close:
        return min(close, key=lambda one: abs(one.at - at)).known
    return None


def _fired(brick: MarkedBrick, found: DryMasses) -> Known | None:
    good = [one for one in brick.fired_masses if one.where not in found.left_out]
    return good[-1].known if good else None


def _plateau(brick: MarkedBrick) -> Known | None:
    weighed = brick.masses
    if not weighed:
        return None
    hours = [(one.at - weighed[0].at).total_seconds() / 3600 for one in weighed]
    mass = routes.plateau(hours, [one.known.number for one in weighed])
    return weighed[-1].known.called(f"plateau of brick {brick.name}") if mass is not None else None


def _first_moisture(
    batch: Batch, bricks: dict[str, MarkedBrick], wet: Known, dry: Known
) -> Known | None:
    """Moisture as moulded: of the piece, or of a brick that the piece tells the dry mass of."""
    if batch.oven_dry is None or batch.oven_dry.at is None:
        number = 100 * (wet.number / dry.number - 1)
        return Known("moisture as moulded", number, "%", (*wet.inputs, *dry.inputs))
    for brick in bricks.values():
        then = _mass_when_taken(batch, brick)
        if then is not None and brick.wet:
            dried = then.number * dry.number / wet.number
            number = 100 * (brick.wet.known.number / dried - 1)
            inputs = (*brick.wet.known.inputs, *then.inputs, *wet.inputs, *dry.inputs)
            return Known("moisture as moulded", number, "%", tuple(dict.fromkeys(inputs)))
    return None


# --- what cannot be right ---


def _question(batch: Batch, brick: MarkedBrick, found: DryMasses, review: Review) -> None:
    mass = found.of.get(brick.name)
    if mass is not None:
        _question_below_dry(brick, mass, found, review)
    elif brick.wet:
        _question_lost_too_much(brick, found, review)
    for before, after in gains(batch, brick, mass.known.value if mass else None):
        if after.where in found.left_out:
            continue
        what = (
            f"brick {brick.name} weighs {after.known.text} and weighed {before.known.text} before "
            f"({before.where}): it gained mass while drying, and no rain was logged"
        )
        review.question_at(after.where, what, "Weigh it again; or log rain, if it was rained on.")
        found.left_out.update((before.where, after.where))
        if after is brick.last:
            found.suspect[brick.name] = "it gained mass while drying"


def _question_below_dry(
    brick: MarkedBrick, mass: DryMass, found: DryMasses, review: Review
) -> None:
    dry = mass.known.value
    for one in brick.masses:
        if one.known.value >= dry:
            continue
        gap = mass.known.number - one.known.number
        if nominal(gap) <= max(expanded(gap), 1e-9 * dry):
            continue
        lines = ", ".join(line for line in lines_of(mass.known.inputs) if line != one.where)
        what = (
            f"brick {brick.name} weighs {one.known.text}, less than its own dry mass of "
            f"{dry:.3g} kg (by the {mass.route}: {lines})"
        )
        remedy = (
            "Weigh it again, and look at the masses the dry mass comes from; where it was weighed "
            "after a firing, write firing = NAME in that line."
        )
        review.question_at(one.where, what, remedy)
        found.suspect.setdefault(brick.name, "it weighs less than its own dry mass")


def _question_lost_too_much(brick: MarkedBrick, found: DryMasses, review: Review) -> None:
    """Without a dry mass: a green brick cannot lose more than all the water it could hold."""
    wet = brick.wet
    assert wet is not None
    for one in brick.masses[1:]:
        lost = 100 * (1 - one.known.value / wet.known.value)
        if lost <= MOST_LOST_GREEN:
            continue
        what = (
            f"brick {brick.name} weighs {one.known.text} and was moulded at {wet.known.text} "
            f"({wet.where}): {lost:.0f} % lost in drying; water explains at most about "
            f"{MOST_LOST_GREEN:.0f} %"
        )
        review.question_at(one.where, what, "Weigh it again; see whether the unit is right.")
        found.left_out.add(one.where)
        found.suspect.setdefault(brick.name, "it lost more than all its water")


def sound_weighings(brick: MarkedBrick, found: DryMasses) -> list[Weighing]:
    """The green weighings of a brick that something may be derived from."""
    return [one for one in brick.masses if one.where not in found.left_out]


def held_by(batch: Batch, bricks: dict[str, MarkedBrick], found: DryMasses) -> Known | None:
    """What an air-dry brick holds, learnt: its plateau over the dry mass by an oven piece [%]."""
    values = []
    inputs: tuple[Any, ...] = ()
    for name, mass in found.of.items():
        plateau = _plateau(bricks[name])
        if mass.route != "oven piece" or plateau is None or name in found.suspect:
            continue
        values.append(100 * (plateau.number / mass.known.number - 1))
        inputs = (*inputs, *plateau.inputs, *mass.known.inputs)
    if not values:
        return None
    words = f"water held air-dry, learnt on {batch.address}"
    return Known(words, sum(values) / len(values), "%", inputs)
