"""What burns off a mix in the fire: its ignition loss, its carbon, its carbonate."""

from __future__ import annotations

from typing import Any

from fieldbook.advice.context import Context
from fieldbook.advice.review import Review
from fieldbook.calc.brick import Brick, Three
from fieldbook.records import Clay, Mix

BURNT_IGNITION_LOSS: Three = (0.04, 0.07, 0.15)
"""Of the dry mass, of brick clay where none is known: 4 to 15 % (Karaman 2006; low end from
memory)."""


def burns_off(mix: Mix | None, context: Context) -> tuple[Three, Three, Three]:
    """Ignition loss, organic carbon and carbonate of a mix, of its dry mass."""
    default = Brick(1, 1, 1)
    review = context.review(mix.address) if mix else None
    loss = _share(review, "loss_on_ignition")
    lime = _share(review, "carbonate")
    clays = _clays(mix, context)
    carbons = [c.organic_carbon.value / 100 for c in clays if c.organic_carbon]
    carbon = (0.8 * max(carbons), max(carbons), 1.2 * max(carbons)) if carbons else default.carbon
    burn = mix.burn_out if mix else None
    if burn and burn.share:
        part = burn.carbon.value / 100 if burn.carbon else 0.5
        added = burn.share.value / 100 * part
        carbon = (carbon[0] + added, carbon[1] + added, carbon[2] + added)
    if lime is None and clays and all(clay.fizz == "none" for clay in clays):
        lime = (0.0, 0.0, 0.005)
    return loss or BURNT_IGNITION_LOSS, carbon, lime or default.carbonate


def _clays(mix: Mix | None, context: Context) -> list[Clay]:
    names = [part.clay for part in mix.parts if part.clay] if mix else []
    entries = [context.notebook.entry(f"clays/{name}") for name in names]
    return [entry for entry in entries if isinstance(entry, Clay)]


def _share(review: Review | None, name: str) -> Three | None:
    """A percentage of another review as a fraction: low, middle, high."""
    found = review.get(name) if review else None
    if found is None or not isinstance(found.value, int | float):
        return None
    low, high = found.low, found.high
    if found.interval is not None:
        low, high = found.interval
    wide = found.plus_minus or 0.0
    middle = found.number
    low = middle - wide if low is None else low
    high = middle + wide if high is None else high
    ends: list[Any] = sorted((max(low, 0.0), middle, high))
    return (ends[0] / 100, ends[1] / 100, ends[2] / 100)
