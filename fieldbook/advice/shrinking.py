"""Shrinkage of the marked bricks of a batch, drying and fired, from the distance of their marks."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

from fieldbook.advice.context import Context
from fieldbook.advice.derive import Known, missing, united, work
from fieldbook.advice.results import Input
from fieldbook.advice.review import Review
from fieldbook.advice.samples import sample
from fieldbook.advice.weighings import MarkedBrick, Weighing
from fieldbook.calc import shrinkage
from fieldbook.calc.uncertainty import expanded, nominal
from fieldbook.errors import NotPossible
from fieldbook.records import Batch

STILL = 24.0
"""[h] Marks that do not move for so long have stopped; common practice."""
SHRINKING, STOPPED = "shrinking", "past the shrinkage stop"


def add(review: Review, batch: Batch, bricks: dict[str, MarkedBrick], context: Context) -> None:
    """Shrinkage so far in drying, and in the fire and in all where fired bricks were measured."""
    _question(bricks, review)
    drying = {name: _drying(brick) for name, brick in bricks.items()}
    seen = stage_by_marks(bricks)
    extra: dict[str, Any] = {"basis": "wet length", "so_far": seen is None or seen[0] == SHRINKING}
    review.add(
        sample(
            "linear_drying_shrinkage", drying or {"": missing("marked")}, "%",
            shrinkage.drying_shrinkage, extra=extra,
        )
    )  # fmt: skip
    if not any(brick.fired_marks for brick in bricks.values()):
        return
    fired = {name: brick for name, brick in bricks.items() if brick.fired_marks}
    for name, formula, basis, find in (
        ("linear_firing_shrinkage", shrinkage.firing_shrinkage, "dry length", _firing),
        ("total_linear_shrinkage", shrinkage.total_shrinkage, "wet length", _total),
    ):
        each = {brick: find(one) for brick, one in fired.items()}
        review.add(sample(name, each, "%", formula, extra={"basis": basis}))


def _drying(brick: MarkedBrick) -> Known:
    first = brick.first_marks or missing("marks")
    last = brick.marks[-1].known if brick.marks else missing("marks in the log")
    return _by(shrinkage.drying_shrinkage, wet_length=first, dry_length=last)


def _firing(brick: MarkedBrick) -> Known:
    last = brick.marks[-1].known if brick.marks else missing("marks in the log")
    fired = brick.fired_marks[-1].known
    return _by(shrinkage.firing_shrinkage, dry_length=last, fired_length=fired)


def _total(brick: MarkedBrick) -> Known:
    first = brick.first_marks or missing("marks")
    fired = brick.fired_marks[-1].known
    return _by(shrinkage.total_shrinkage, wet_length=first, fired_length=fired)


def _by(formula: Any, **known: Known) -> Known:
    try:
        return work(formula, **known)
    except NotPossible:
        return missing()


def _question(bricks: dict[str, MarkedBrick], review: Review) -> None:
    """Marks that stand farther apart than before."""
    for name, brick in bricks.items():
        steps = [brick.first_marks, *(one.known for one in brick.marks)]
        known = [step for step in steps if step is not None]
        for first, later in pairwise(known):
            if not _farther(later, first):
                continue
            what = (
                f"brick {name}: marks {later.text} apart, and {first.text} before ({first.where}): "
                "that is a negative shrinkage"
            )
            review.question_at(later.where, what, "Measure between the same two lines again.")
        if brick.fired_marks and known and _farther(brick.fired_marks[-1].known, known[-1]):
            fired = brick.fired_marks[-1].known
            what = (
                f"brick {name}: longer fired than dry (marks {fired.text}, and {known[-1].text} "
                f"before, {known[-1].where})"
            )
            remedy = "Measure again; or note that it bloated, and lower the peak."
            review.question_at(fired.where, what, remedy)


def _farther(later: Known, first: Known) -> bool:
    more = later.number - first.number
    return bool(nominal(more) > 1e-9 and nominal(more) > expanded(more))


def stage_by_marks(bricks: dict[str, MarkedBrick]) -> tuple[str, tuple[Input, ...]] | None:
    """What the marks tell of the shrinking: of the brick that still moves most; None if nothing."""
    seen = [stage for brick in bricks.values() if (stage := _stage(brick)) is not None]
    if not seen:
        return None
    inputs = united(given for _, given in seen)
    word = SHRINKING if any(one == SHRINKING for one, _ in seen) else STOPPED
    return word, inputs


def _stage(brick: MarkedBrick) -> tuple[str, tuple[Input, ...]] | None:
    """Marks over a day or more: still moving, or not while the brick lost water all the same."""
    if len(brick.marks) < 2:
        return None
    last = brick.marks[-1]
    before = [one for one in brick.marks[:-1] if _hours(one, last) >= STILL]
    if not before:
        return None
    first = before[-1]
    moved = first.known.number - last.known.number
    inputs = (*first.known.inputs, *last.known.inputs)
    if nominal(moved) > max(expanded(moved), 1e-9):
        return SHRINKING, inputs
    lost = [one for one in brick.masses if first.at <= one.at <= last.at]
    if len(lost) >= 2 and lost[-1].known.value < 0.99 * lost[0].known.value:
        return STOPPED, inputs
    return None


def _hours(first: Weighing, last: Weighing) -> float:
    return (last.at - first.at).total_seconds() / 3600
