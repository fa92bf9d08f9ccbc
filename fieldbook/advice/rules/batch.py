"""Bricks drying: when to weigh, when they dry too fast or too slowly, rain, frost, when to fire."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

from fieldbook.advice.actions import Action, Urgency
from fieldbook.advice.daylight import due_by_day
from fieldbook.advice.dry_enough import MARGIN, as_dry, is_dry
from fieldbook.advice.events import last, planned_for
from fieldbook.advice.green import (
    doubt,
    drying,
    stack,
    still_soft,
    target,
    wettest,
)
from fieldbook.advice.offered import of_each
from fieldbook.advice.plan_line import plan_line
from fieldbook.advice.rules import Case, rule
from fieldbook.advice.weighing_due import FAST, forgotten, next_weighing, quiet_days
from fieldbook.advice.wording import bricks, listed, percent
from fieldbook.records import Batch

GATE = "Merschmeyer, Drying of Clay Bricks and Tiles, GATE/BASIN technical brief, 2000"
DAVIS = "Davis, Practical Treatise on the Manufacture of Brick, Tiles and Terra-Cotta: Drying"
SLOW = 0.5
"""% a day: hardly drying; common practice."""
FREEZES = 3.0
"""% of the dry mass above which frost can burst a green brick; common practice."""
RECENT = timedelta(hours=48)


@rule(
    "mark-bricks",
    on=Batch,
    urgency=Urgency.TIMED,
    source=f"weighing tells when they are dry: {GATE}; three bricks: common practice",
    topic="weigh",
)
def mark_bricks(case: Case) -> Iterator[Action]:
    """A batch that is drying has no marked brick, so nothing can tell when it is dry."""
    if case.entry.marked or not drying(case):
        return
    line = case.say.length(0.150)
    yield case.act(
        "mark",
        f"Mark 3 bricks, one in the middle of the stack: two lines {line} apart; weigh each now.",
        "No brick of this batch is marked, so neither its water nor the day it is dry can be told.",
        numbers={"bricks": [3, "bricks"], "marks": [0.150, "m"]},
        log=f'fieldbook set {case.address} marked.1=\'{{ marks = "… mm", mass = "… kg" }}\'',
        settled_by="a marked brick with its mass",
    )


@rule(
    "weigh",
    on=Batch,
    urgency=Urgency.TIMED,
    source=f"to constant mass: {GATE}; the interval from the fitted drying curve",
    topic="weigh",
)
def weigh(case: Case) -> Iterator[Action]:
    """Marked bricks are drying; due when enough water has moved to be worth a weighing."""
    if not case.entry.marked or not drying(case) or case.fact("suspect_bricks"):
        return
    if is_dry(case) or forgotten(case):
        return
    if as_dry(case) and planned_for(case.context, case.entry):
        return  # set in the kiln: it drives off the rest
    tells, why, numbers = next_weighing(case)
    due = due_by_day(case.context, tells) or tells
    names = list(case.entry.marked)[:3]
    named = f"brick{'s' if len(names) > 1 else ''} {listed(names)}"
    yield case.act(
        "weigh",
        f"Weigh {named} {case.say.at(due)}, to 10 g or finer.",
        why,
        when=due,
        numbers={**numbers, "to": [10, "g"]},
        log=of_each(names, "… kg"),
        rests_on=("moisture", "ready"),
        settled_by=f"a mass of brick {names[0]}",
        reason=f"weigh, due {tells.isoformat(timespec='hours')}",
    )


@rule(
    "what-became",
    on=Batch,
    urgency=Urgency.TEACHING,
    source="bricks under a roof are air-dry within two months; common practice",
    topic="weigh",
)
def what_became(case: Case) -> Iterator[Action]:
    """Bricks were left drying and nothing was written of them for two months, up to a year."""
    if not drying(case) or not forgotten(case) or case.fact("suspect_bricks"):
        return
    quiet = quiet_days(case)
    if quiet > 365:
        return
    yield case.act(
        "account",
        f"Weigh one of {stack(case)}, or write how many are broken or lost.",
        f"Nothing was written of them for {quiet} days.",
        numbers={"quiet": [quiet, "days"]},
        log="broken …",
        rests_on=("moisture",),
        settled_by="a weighing, or what became of them",
    )


@rule(
    "weigh-again",
    on=Batch,
    urgency=Urgency.TIMED,
    source="a green brick only loses mass while it dries; common practice",
    topic="weigh",
)
def weigh_again(case: Case) -> Iterator[Action]:
    """The weighings of a brick cannot all be right; nothing is derived from them meanwhile."""
    suspect = case.fact("suspect_bricks") or ()
    if not suspect or not drying(case):
        return
    name = str(next(iter(suspect)))
    yield case.act(
        "weigh-again",
        f"Weigh brick {name} again, twice, and read its unit off the scale.",
        f"The masses noted for brick {name} contradict each other, so its water is not told.",
        numbers={"times": [2, "weighings"]},
        log=f"#{name} … kg",
        rests_on=("mass_balance",),
        settled_by=f"a mass of brick {name} that agrees with one of the two",
        reason=f"weigh-again {name}",
    )


@rule(
    "dry-a-piece",
    on=Batch,
    urgency=Urgency.BLOCKING,
    source="dry at 105 to 110 °C until two weighings 2 h apart agree within 0.2 %: ASTM C67",
    topic="dry-mass",
)
def dry_a_piece(case: Case) -> Iterator[Action]:
    """The dry mass of the bricks is not known from any piece, so their water is a guess."""
    result = case.review.results.get("moisture") if case.review else None
    asks = result is not None and not result.known and "oven_dry" in " ".join(result.needs)
    if not asks or not drying(case):
        return
    heat = case.say.temperature(105)
    yield case.act(
        "dry-a-piece",
        f"Weigh a {case.say.mass(0.5)} piece, dry it in an oven at {heat}, and weigh it again.",
        "Without a dry mass the water in the bricks is unknown; one dried piece tells it for all.",
        numbers={"piece": [0.5, "kg"], "temperature": [105, "degC"]},
        log=f"fieldbook set {case.address} oven_dry.wet_mass=… oven_dry.dry_mass=…",
        rests_on=("moisture",),
        settled_by="oven_dry with both masses",
    )


@rule(
    "dry-slower",
    on=Batch,
    urgency=Urgency.WARE,
    source=f"cracks before the colour change mean too fast: {GATE}",
    topic="drying",
)
def dry_slower(case: Case) -> Iterator[Action]:
    """Bricks that still shrink lose water within a day that should take two, or crack."""
    if not drying(case) or case.word("drying_stage") != "shrinking":
        return
    cracked = last(case.entry, "cracked")
    rate = case.number("drying_rate")
    covered = last(case.entry, "covered")
    newest = last(case.entry, "mass") or last(case.entry, "cracked")
    if covered and (newest is None or newest.at <= covered.at):
        return
    if cracked and not (covered and covered.at >= cracked.at):
        why = f"{bricks(cracked.cracked)} cracked while the bricks still shrink: they dry too fast."
        numbers: dict[str, list[object]] = {"cracked": [cracked.cracked, "bricks"]}
    elif rate is not None and rate > FAST:
        why = f"They lose {percent(rate * 24)} of water a day and still shrink; that cracks them."
        numbers = {"drying_rate": [rate, "%/h"], "limit": [FAST, "%/h"]}
    else:
        return
    yield case.act(
        "dry-slower",
        "Shade and cover the stack and close its gaps until the bricks stop shrinking.",
        why,
        numbers=numbers,
        log="covered",
        rests_on=("drying_stage", "drying_rate"),
        settled_by="covered, then a weighing that shows a slower loss",
    )


@rule(
    "dry-faster",
    on=Batch,
    urgency=Urgency.TIMED,
    source=f"no colour change for days means too little air: {GATE}",
    topic="drying",
)
def dry_faster(case: Case) -> Iterator[Action]:
    """Bricks hardly dry though they are far from dry, and nobody has opened or turned them."""
    rate, moisture = case.number("drying_rate"), case.number("moisture")
    if rate is None or moisture is None or not drying(case):
        return
    turned, newest, rain = (
        last(case.entry, "turned"),
        last(case.entry, "mass"),
        last(case.entry, "rain"),
    )
    if rate * 24 >= SLOW or moisture < target(case) + 3 or rate < 0:
        return
    if turned and (newest is None or newest.at <= turned.at):
        return
    frost = last(case.entry, "frost")
    if any(line and case.now - line.at < RECENT for line in (rain, frost)):
        return
    yield case.act(
        "dry-faster",
        "Open the stack a finger between bricks, and turn them on edge.",
        f"At {percent(moisture)} water they lose only {percent(rate * 24)} a day.",
        numbers={
            "moisture": [moisture, "%"],
            "drying_rate": [rate, "%/h"],
            "limit": [SLOW, "%/day"],
        },
        log="turned",
        rests_on=("moisture", "drying_rate"),
        settled_by="turned, then a weighing that shows a faster loss",
    )


@rule(
    "lay-flat",
    on=Batch,
    urgency=Urgency.WARE,
    source=f"bricks rained on while soft are laid flat again: {DAVIS}",
    topic="rain",
)
def lay_flat(case: Case) -> Iterator[Action]:
    """It rained within two days on bricks that are still soft, and they were not seen to since."""
    rain = last(case.entry, "rain")
    if rain is None or not drying(case) or case.now - rain.at > RECENT or not still_soft(case):
        return
    seen = [last(case.entry, "covered"), last(case.entry, "turned")]
    if any(line and line.at > rain.at for line in seen):
        return
    yield case.act(
        "lay-flat",
        "Lay the rained-on bricks flat under cover; do not carry them until they are firm.",
        f"It rained on them at {case.say.clock(rain.at)} while they were soft; carried now they "
        "bend.",
        numbers={"since_rain": [case.context.hours_since(rain.at), "h"]},
        log="covered",
        settled_by="covered or turned",
        reason=f"rain {rain.key or rain.at.isoformat()}",
    )


@rule(
    "cover-from-frost",
    on=Batch,
    urgency=Urgency.WARE,
    source="a green brick frozen wet falls apart when it thaws; common practice",
    topic="frost",
)
def cover_from_frost(case: Case) -> Iterator[Action]:
    """Frost was noted within two days on bricks not known to be dry, and not covered since."""
    frost = last(case.entry, "frost")
    if frost is None or not drying(case) or case.now - frost.at > RECENT:
        return
    moisture, covered = wettest(case), last(case.entry, "covered")
    if (covered and covered.at > frost.at) or (moisture is not None and moisture <= FREEZES):
        return
    water = f"at {percent(moisture)} water" if moisture is not None else "not known to be dry"
    yield case.act(
        "cover-from-frost",
        f"Cover {stack(case)} with straw and a sheet before dark, thicker on the windy side.",
        f"Frost was noted at {case.say.clock(frost.at)}, the bricks are {water}; frozen wet they "
        "are lost.",
        numbers={"moisture": [moisture, "%"]} if moisture is not None else {},
        log="covered",
        rests_on=("moisture",),
        settled_by="covered",
        reason=f"frost {frost.key or frost.at.isoformat()}",
    )


@rule(
    "fire-batch",
    on=Batch,
    urgency=Urgency.BLOCKING,
    source=f"dry to 3 to 5 %, then fire: {GATE}",
    topic="next-step",
)
def fire_batch(case: Case) -> Iterator[Action]:
    """The bricks are dry enough and no firing is planned for them."""
    if not drying(case) or not is_dry(case) or planned_for(case.context, case.entry):
        return
    moisture, wanted = wettest(case) or 0.0, target(case)
    yield case.act(
        "plan-firing",
        f"Plan the firing of {stack(case)}; keep them dry until they are set in the kiln.",
        f"The wettest brick is at {percent(moisture)} water, below the {percent(wanted)} wanted.",
        numbers={"moisture": [moisture, "%"], "target": [wanted, "%"]},
        log=plan_line(case),
        rests_on=("moisture", "ready"),
        settled_by="a firing with this batch in its load",
    )


@rule(
    "settle-dryness",
    on=Batch,
    urgency=Urgency.BLOCKING,
    source="a decision within its own uncertainty of the limit is not made: JCGM 100",
    topic="next-step",
)
def settle_dryness(case: Case) -> Iterator[Action]:
    """The bricks seem dry, and their dry mass is so uncertain that they may yet be too wet."""
    moisture, result = wettest(case), case.result("moisture")
    if not drying(case) or is_dry(case) or moisture is None or result is None:
        return
    if moisture > target(case) or planned_for(case.context, case.entry):
        return
    heat = case.say.temperature(105)
    yield case.act(
        "dry-a-piece",
        f"Weigh a piece of the dampest brick, dry it in an oven at {heat}, and weigh it again.",
        f"The wettest is at {percent(moisture)} ± {percent(doubt(case))}, and no more than "
        f"{percent(target(case) + MARGIN)} is safe: its dry mass is a guess.",
        numbers={"moisture": [moisture, "%"], "plus_minus": [doubt(case), "%"]},
        log=f"fieldbook set {case.address} oven_dry.wet_mass=… oven_dry.dry_mass=… oven_dry.at=…",
        rests_on=("moisture",),
        settled_by="oven_dry with both masses and its time",
    )


@rule(
    "as-dry-as-air",
    on=Batch,
    urgency=Urgency.BLOCKING,
    source=f"an air-dry brick keeps 1 to 5 % water: from memory; dry to 3 to 5 %: {GATE}",
    topic="next-step",
)
def as_dry_as_air(case: Case) -> Iterator[Action]:
    """The target lies below what this air can dry to, or is nearly reached and the bricks hardly
    lose any more: the rest is left to the kiln."""
    if not drying(case) or not as_dry(case) or planned_for(case.context, case.entry):
        return
    moisture, wanted = wettest(case), target(case)
    if moisture is None or moisture <= wanted:
        return
    below = case.say.temperature(100)
    yield case.act(
        "plan-firing",
        f"Plan the firing of {stack(case)}, with a long slow fire below {below}.",
        f"This air dries them no further than {percent(moisture)}, above the {percent(wanted)} "
        "wanted; the kiln must drive off the rest.",
        numbers={"moisture": [moisture, "%"], "target": [wanted, "%"], "below": [100, "degC"]},
        log=plan_line(case),
        rests_on=("moisture", "ready"),
        settled_by="a firing with this batch in its load",
    )


@rule(
    "ready-soon",
    on=Batch,
    urgency=Urgency.TEACHING,
    source="the fit of the drying law to the weighings, 80 % interval",
    topic="next-step",
)
def ready_soon(case: Case) -> Iterator[Action]:
    """The day the bricks are dry is foreseen within two weeks: make the kiln and wood ready."""
    ready, result = case.time("ready"), case.result("ready")
    if ready is None or result is None or not drying(case) or is_dry(case):
        return
    if planned_for(case.context, case.entry) or not case.now < ready < case.in_hours(14 * 24):
        return
    span = case.say.days_between(*result.interval) if result.interval else ""
    yield case.act(
        "get-ready",
        f"Get kiln, wood and helpers ready to fire {stack(case)} from {case.say.day(ready)} on.",
        f"The wettest brick falls below {percent(target(case))} on {case.say.day(ready)}{span}.",
        when=ready,
        numbers={"target": [target(case), "%"]},
        log=of_each(list(case.entry.marked)[:3] or ["1"], "… kg"),
        rests_on=("ready",),
        settled_by="a firing with this batch in its load",
    )
