"""The maker's own pace and losses, and what a number of bricks takes by them."""

from __future__ import annotations

import math
from datetime import datetime, timedelta
from typing import Any

from fieldbook.advice.context import Context
from fieldbook.advice.daylight import by_day, in_working_hours
from fieldbook.advice.firing_phase import events_of
from fieldbook.advice.results import Input
from fieldbook.advice.reviews.batch import still_of
from fieldbook.advice.stock import Lot, Stock, stock_of
from fieldbook.frozen import frozen
from fieldbook.records import Batch, Firing, Kiln

DRYING_YIELD, FIRING_YIELD = 0.95, 0.85
"""Share that comes through, where the maker has no record yet; common practice."""
ENOUGH = 50
"""Bricks from which the maker's own record is used; ours."""
DRYING_DAYS, FIRING_DAYS = 14.0, 4.0
"""Where nothing is recorded: two weeks in a dry season (TEK, hand-moulded brick under cover);
a day to set, two to fire and cool, one to unload (common practice)."""
HANDLING = 5.0
"""[%] Broken in handling and cutting: 5 % of hard bricks to 15 % of soft ones (an informal
note on masonry estimates)."""


@frozen
class Pace:
    """How a maker works, with where each figure is from."""

    drying_yield: float
    firing_yield: float
    handling_loss: float
    """[%]"""
    capacity: int | None
    kiln: str | None
    moulded_per_day: int | None
    drying_days: float
    firing_days: float
    wet_mass: float | None
    """[kg] of one brick as moulded."""
    fuel_each: float | None
    """[kg] of wood for each brick in the kiln."""
    inputs: tuple[Input, ...]


def pace_of(mix: str | None, context: Context) -> Pace:
    """The pace for bricks of one mix, by its own record where there is enough of it."""
    return context.once(_pace, mix or "")


def _pace(context: Context, named: str) -> Pace:
    mix, stock = named or None, stock_of(context)
    inputs: list[Input] = []
    batches = [batch for batch in context.notebook.of(Batch) if mix is None or batch.mix == mix]
    lots = [lot for lot in stock.lots if mix is None or lot.mix == mix]
    if sum(sum(lot.came_out.values()) for lot in lots) < ENOUGH:
        batches, lots = list(context.notebook.of(Batch)), stock.lots
    kiln, capacity = _kiln(context, inputs)
    per_day = context.notebook.settings.practice
    moulded = per_day.moulded_per_day if per_day else None
    if moulded:
        inputs.append(Input("moulded in a day", f"{moulded} bricks", "notebook.toml"))
    return Pace(
        drying_yield=_drying_yield(batches, stock, inputs),
        firing_yield=_firing_yield(lots, inputs),
        handling_loss=_handling(lots, batches, stock, inputs),
        capacity=capacity,
        kiln=kiln,
        moulded_per_day=moulded,
        drying_days=_drying_days(batches, context, inputs),
        firing_days=_firing_days(context, inputs),
        wet_mass=_wet_mass(batches, inputs),
        fuel_each=_fuel_each(context, inputs),
        inputs=tuple(inputs),
    )


def _drying_yield(batches: list[Batch], stock: Stock, inputs: list[Input]) -> float:
    fired = [stock.of_batch(batch.name) for batch in batches]
    fired = [one for one in fired if one.moulded and (one.fired or one.in_kiln)]
    moulded = sum(one.moulded or 0 for one in fired)
    lost = sum(one.lost_green for one in fired)
    if moulded < ENOUGH:
        inputs.append(
            Input("share that dries whole", f"{100 * DRYING_YIELD:g} %", "", "common practice")
        )
        return DRYING_YIELD
    share = min(1.0, max(0.05, 1 - lost / moulded))
    inputs.append(
        Input("share that dries whole", f"{100 * share:.0f} %", "", f"{moulded} moulded so far")
    )
    return share


def _firing_yield(lots: list[Lot], inputs: list[Input]) -> float:
    came = sum(sum(lot.came_out.values()) for lot in lots)
    sound = sum(lot.sound for lot in lots)
    if came < ENOUGH or not sound:
        inputs.append(
            Input("share fired sound", f"{100 * FIRING_YIELD:g} %", "", "common practice")
        )
        return FIRING_YIELD
    inputs.append(
        Input("share fired sound", f"{100 * sound / came:.0f} %", "", f"{came} fired so far")
    )
    return sound / came


def _handling(lots: list[Lot], batches: list[Batch], stock: Stock, inputs: list[Input]) -> float:
    sound = sum(lot.sound for lot in lots)
    broken = sum(stock.of_batch(batch.name).broken_fired for batch in batches)
    if sound < 4 * ENOUGH or not broken:
        inputs.append(Input("broken in handling", f"{HANDLING:g} %", "", "an informal note"))
        return HANDLING
    share = 100 * broken / sound
    inputs.append(Input("broken in handling", f"{share:.1f} %", "", f"{broken} of {sound} so far"))
    return share


def _kiln(context: Context, inputs: list[Input]) -> tuple[str | None, int | None]:
    """The kiln that was fired last, and what it holds."""
    dated = [firing for firing in context.notebook.of(Firing) if firing.log]
    newest = max(dated, key=lambda firing: firing.log[-1].at, default=None)
    names = [newest.kiln] if newest and newest.kiln else []
    names += [kiln.name for kiln in context.notebook.of(Kiln)]
    for name in names:
        kiln = context.notebook.entry(f"kilns/{name}")
        if isinstance(kiln, Kiln) and kiln.capacity:
            where = kiln.where("capacity")
            inputs.append(Input(f"capacity of {name}", f"{kiln.capacity} bricks", where))
            return name, kiln.capacity
    for firing in reversed(dated):
        held = sum(load.count or 0 for load in firing.load)
        if held:
            inputs.append(Input("a kiln load", f"{held} bricks", firing.where("load")))
            return firing.kiln, held
    return None, None


def _drying_days(batches: list[Batch], context: Context, inputs: list[Input]) -> float:
    days = []
    for batch in batches:
        ready = still_of(batch, context).review.get("ready")
        if ready is None or batch.moulded is None or not isinstance(ready.value, str):
            continue
        span = datetime.fromisoformat(ready.value) - batch.moulded.at
        days.append(span.total_seconds() / 86400)
    if not days:
        inputs.append(Input("days to dry", f"{DRYING_DAYS:g} d", "", "two weeks in a dry season"))
        return DRYING_DAYS
    mean = max(1.0, sum(days) / len(days))
    inputs.append(Input("days to dry", f"{mean:.0f} d", "", f"mean of {len(days)} batches"))
    return mean


def _firing_days(context: Context, inputs: list[Input]) -> float:
    days = []
    for firing in context.notebook.of(Firing):
        events = events_of(firing, context.notebook)
        lit, out = events.get("lit"), events.get("unloaded")
        if lit and out and out > lit:
            days.append((out - lit).total_seconds() / 86400)
    if not days:
        words = "to set, fire, cool and unload; common practice"
        inputs.append(Input("days of a firing", f"{FIRING_DAYS:g} d", "", words))
        return FIRING_DAYS
    mean = float(sum(days) / len(days)) + 1.0
    words = f"mean of {len(days)} firings, and a day to set it"
    inputs.append(Input("days of a firing", f"{mean:.1f} d", "", words))
    return mean


def _wet_mass(batches: list[Batch], inputs: list[Input]) -> float | None:
    masses = [
        row.mass
        for batch in batches
        for row in batch.marked.values()
        if row.mass is not None and not row.mass.is_bound
    ]
    if not masses:
        return None
    mean = sum(mass.value for mass in masses) / len(masses)
    inputs.append(Input("a brick as moulded", f"{mean:.2f} kg", masses[-1].where))
    return mean


def _fuel_each(context: Context, inputs: list[Input]) -> float | None:
    each = []
    for firing in context.notebook.of(Firing):
        if not events_of(firing, context.notebook).get("unloaded"):
            continue
        review = context.review(firing.address)
        used = review.number("fuel_used") if review else None
        held = sum(load.count or 0 for load in firing.load)
        if used and held:
            each.append(used / held)
    if not each:
        return None
    mean = sum(each) / len(each)
    words = f"mean of {len(each)} firings"
    inputs.append(Input("wood for each brick in the kiln", f"{mean:.2f} kg", "", words))
    return mean


# --- what it takes ---


@frozen
class Need:
    """What it takes to have so many more fit bricks."""

    missing: int
    to_fire: int
    to_mould: int
    green: int
    """Already moulded and not yet fired, less those that will not dry whole."""
    firings: int | None
    calendar: list[dict[str, Any]]
    days: float | None


Green = list[tuple[datetime, int]]
"""When green bricks are dry, and how many of them."""


def need_of(missing: int, green: Green, pace: Pace, now: datetime) -> Need:
    """Mould, dry and fire until `missing` more are fit; green bricks go first."""
    in_hand = sum(count for _, count in green)
    if missing <= 0:
        return Need(0, 0, 0, in_hand, 0, [], 0.0)
    to_fire = math.ceil(missing / pace.firing_yield - 1e-9)
    dried = min(to_fire, in_hand)
    to_mould = math.ceil((to_fire - dried) / pace.drying_yield - 1e-9)
    firings = math.ceil(to_fire / pace.capacity - 1e-9) if pace.capacity else None
    calendar: list[dict[str, Any]] = []
    days = None
    if firings is not None and (pace.moulded_per_day or not to_mould):
        calendar = _calendar(to_fire, green, firings, pace, now)
        days = (calendar[-1]["to"] - now).total_seconds() / 86400
    return Need(missing, to_fire, to_mould, in_hand, firings, calendar, days)


def _calendar(
    to_fire: int, green: Green, firings: int, pace: Pace, now: datetime
) -> list[dict[str, Any]]:
    """One round a firing: mould what is not yet moulded, dry it, fire it when the kiln is free."""
    rows: list[dict[str, Any]] = []
    moulder = kiln = now
    left, waiting = to_fire, sorted(green)
    assert pace.capacity is not None
    for number in range(1, firings + 1):
        load = min(left, pace.capacity)
        left -= load
        ready, from_stock, waiting = _taken(load, waiting, now)
        fresh = math.ceil((load - from_stock) / pace.drying_yield - 1e-9)
        if fresh and pace.moulded_per_day:
            begin, moulder = moulder, moulder + timedelta(days=fresh / pace.moulded_per_day)
            dry = moulder + timedelta(days=pace.drying_days)
            done = in_working_hours(moulder)
            rows.append(_row("mould", number, in_working_hours(begin), done, fresh))
            rows.append(_row("dry", number, done, by_day(dry), fresh))
            ready = max(ready, dry)
        start = max(ready, kiln).astimezone(now.tzinfo)
        kiln = start + timedelta(days=pace.firing_days)
        rows.append(_row("fire", number, by_day(start), by_day(kiln), load))
    return rows


def _row(what: str, number: int, begin: datetime, end: datetime, bricks: int) -> dict[str, Any]:
    return {"name": f"{what} {number}", "from": begin, "to": end, "bricks": bricks}


def _taken(load: int, waiting: Green, now: datetime) -> tuple[datetime, int, Green]:
    """Green bricks for one load, those that are dry first; when the last of them is dry."""
    ready, taken, rest = now, 0, []
    for dry, count in waiting:
        part = min(load - taken, count)
        if part:
            ready = max(ready, dry)
            taken += part
        if count > part:
            rest.append((dry, count - part))
    return ready, taken, rest
