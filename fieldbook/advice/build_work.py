"""What a build still takes in work: firings, clay, wood, days, by the maker's own pace."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any

from fieldbook.advice import pace, stock
from fieldbook.advice.context import Context
from fieldbook.advice.derive import lines_of, united
from fieldbook.advice.pace import Need, Pace
from fieldbook.advice.results import Result
from fieldbook.advice.review import Review
from fieldbook.advice.reviews.batch import still_of
from fieldbook.records import Batch, Build

NAMES = {
    "firings_needed": "firings",
    "clay_needed": "kg",
    "wood_needed": "kg",
    "days_needed": "d",
    "calendar": None,
}
"""What is told, and its unit."""


def add(review: Review, needed: int | None, in_hand: int, context: Context) -> Need | None:
    """The five results; what they lack where nobody knows how many bricks it takes.

    `in_hand`: bricks that are laid, or fit and in stock.
    """
    build = review.entry
    assert isinstance(build, Build)
    own = pace.pace_of(build.mix, context)
    if needed is None:
        _unknown(review)
        return None
    green = _green(build, own, context)
    need = pace.need_of(max(0, needed - in_hand), green, own, context.midnight)
    told: dict[str, Any] = {
        "source": "the maker's own record; common practice where there is none",
        "inputs": united([own.inputs]),
        "from_": lines_of(own.inputs),
    }
    _firings(review, need, own, told)
    _by_brick(review, "clay_needed", need.to_mould, own.wet_mass, "marked mass", told)
    _by_brick(review, "wood_needed", need.to_fire, own.fuel_each, "a finished firing", told)
    _calendar(review, need, own, told)
    return need


def _unknown(review: Review) -> None:
    bricks = review.results["bricks_needed"]
    for name, unit in NAMES.items():
        review.add(
            Result(name=name, value=None, unit=unit, needs=bricks.needs, because=bricks.because)
        )


def _firings(review: Review, need: Need, own: Pace, told: dict[str, Any]) -> None:
    extra = {
        "missing": need.missing, "to_fire": need.to_fire, "to_mould": need.to_mould,
        "green": need.green, "capacity": own.capacity, "kiln": own.kiln,
    }  # fmt: skip
    lacking = () if need.firings is not None else ("kilns: capacity",)
    review.add(
        Result(
            name="firings_needed", value=need.firings, unit="firings", needs=lacking, extra=extra,
            method="bricks still to fire over what the kiln holds",
            formula="n = (needed - laid - fit) / firing yield / capacity", **told,
        )
    )  # fmt: skip


def _green(build: Build, own: Pace, context: Context) -> pace.Green:
    """Bricks of the mix that are moulded and not yet fired, less those that will not dry whole."""
    counted = stock.stock_of(context)
    found: pace.Green = []
    for batch in context.notebook.of(Batch):
        bricks = counted.of_batch(batch.name)
        if build.mix not in (None, batch.mix) or bricks.planned or not bricks.green:
            continue
        ready = still_of(batch, context).review.get("ready")
        dry = context.midnight
        if ready is not None and isinstance(ready.value, str):
            dry = max(dry, datetime.fromisoformat(ready.value))
        elif batch.moulded is not None:
            dry = max(dry, batch.moulded.at + timedelta(days=own.drying_days))
        found.append((dry, int(bricks.green * own.drying_yield)))
    return found


def _by_brick(
    review: Review, name: str, bricks: int, each: float | None, need: str, told: dict[str, Any]
) -> None:
    words = {
        "clay_needed": ("bricks to mould x mass of one as moulded, water and all", "m = n m_wet"),
        "wood_needed": ("bricks to fire x wood for each, as fired so far", "m = n m_wood"),
    }[name]
    known = each is not None or not bricks
    review.add(
        Result(
            name=name,
            value=bricks * (each or 0.0) if known else None,
            unit="kg",
            needs=() if known else (need,),
            method=words[0],
            formula=words[1],
            **told,
        )
    )


def _calendar(review: Review, need: Need, own: Pace, told: dict[str, Any]) -> None:
    known = need.days is not None
    lacking = () if known else ("practice.moulded_per_day",)
    method = "one round a firing: mould, dry, fire when the kiln is free"
    review.add(
        Result(
            name="days_needed", value=need.days, unit="d", needs=lacking, method=method,
            formula="moulding + drying + firings one after the other", **told,
        )
    )  # fmt: skip
    rows = [{**row, "from": row["from"].isoformat(timespec="minutes"),
             "to": row["to"].isoformat(timespec="minutes")} for row in need.calendar]  # fmt: skip
    extra = {"moulded_per_day": own.moulded_per_day, "drying_days": own.drying_days,
             "firing_days": own.firing_days}  # fmt: skip
    review.add(
        Result(
            name="calendar", value=rows if known else None, unit=None, needs=lacking,
            method=method, extra=extra, **told,
        )
    )  # fmt: skip
