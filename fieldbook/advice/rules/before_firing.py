"""Before the fire is lit: is the load dry, who stokes, when to light, what is missing."""

from __future__ import annotations

import math
from collections.abc import Iterator
from datetime import datetime, timedelta

from fieldbook.advice.actions import Action, Urgency
from fieldbook.advice.dry_enough import as_dry
from fieldbook.advice.events import last
from fieldbook.advice.fire import (
    kiln_of,
    mixes_in,
    peak_limit,
    planned,
    wanted_hold,
    wanted_peak,
    wettest_load,
)
from fieldbook.advice.firing_daylight import sun_times
from fieldbook.advice.rules import Case, people, rule
from fieldbook.advice.rules import kiln as kilns
from fieldbook.advice.watches import WATCH
from fieldbook.advice.wording import bricks, percent
from fieldbook.records import Batch, Firing, Kiln, Mix

MANY = 100
"""bricks: a load no one risks on a mix nobody has fired; common practice."""


@rule(
    "state-the-peak",
    on=Firing,
    urgency=Urgency.BLOCKING,
    source="bond from 900 °C on: Beamish and Donovan, Village-Level Brickmaking, GATE/GTZ 1989",
    topic="plan",
)
def state_the_peak(case: Case) -> Iterator[Action]:
    """A planned firing has no peak, so nothing can be said of time, wood or stopping."""
    if not planned(case) or wanted_peak(case) is not None:
        return
    limit = peak_limit(case)
    peak = min(950.0, limit - 50)
    yield case.act(
        "set-peak",
        f"Write the peak you want at the coldest place, such as {case.say.temperature(peak)}.",
        f"Bricks bond from about {case.say.temperature(900)} on, and this load must stay below "
        f"{case.say.temperature(limit)} at the hottest place.",
        numbers={"peak": [peak, "degC"], "peak_limit": [limit, "degC"]},
        log=f'fieldbook set {case.address} plan.peak="… C" plan.hold="1 h"',
        rests_on=("peak_limit",),
        settled_by="plan.peak",
    )


@rule(
    "peak-too-high",
    on=Firing,
    urgency=Urgency.WARE,
    source="the least of the mix's own limit, its trial bars less 30 °C, and 1050 °C",
    topic="plan",
)
def peak_too_high(case: Case) -> Iterator[Action]:
    """The peak planned for the coldest place brings the hottest above what the mix stands."""
    peak, limit = wanted_peak(case), peak_limit(case)
    if not planned(case) or peak is None:
        return
    kiln = kiln_of(case)
    spread = kiln.spread.value if kiln and kiln.spread and not kiln.spread.is_bound else 0.0
    if peak + spread <= limit:
        return
    yield case.act(
        "lower-peak",
        f"Lower the planned peak to {case.say.temperature(limit - spread - 20)} or less.",
        f"At {case.say.temperature(peak)} in the coldest place the hottest reaches "
        f"{case.say.temperature(peak + spread)}; this mix stands {case.say.temperature(limit)}.",
        numbers={"peak": [peak, "degC"], "spread": [spread, "K"], "peak_limit": [limit, "degC"]},
        log=f'fieldbook set {case.address} plan.peak="… C"',
        rests_on=("peak_limit",),
        settled_by="a lower plan.peak",
    )


@rule(
    "load-too-wet",
    on=Firing,
    urgency=Urgency.BLOCKING,
    source="latent heat of water 2.44 MJ/kg and the steam rule; dry to 3 to 5 %: Merschmeyer, GATE",
    topic="light",
)
def load_too_wet(case: Case) -> Iterator[Action]:
    """The wettest bricks set in the kiln hold more water than the target: what that costs."""
    wet = wettest_load(case)
    if not planned(case) or wet is None or wet[1] <= wet[2] + 0.5:
        return
    name, moisture, wanted = wet
    if dry_as_can_be(case, name):
        return  # no waiting helps: the kiln drives off the rest
    cost = wet_cost(case, moisture - wanted)
    yield case.act(
        "dry-longer",
        f"Dry batch {name} on to {percent(wanted)} water before you light the kiln.",
        f"It holds {percent(moisture)}{cost[0]}, all of it below {case.say.temperature(120)}.",
        numbers={"moisture": [moisture, "%"], "target": [wanted, "%"], **cost[1]},
        log=f"fieldbook log batches/{name} '#1 … kg'",
        rests_on=("moisture",),
        settled_by="a weighing at or below the target",
        reason=f"{name} too wet",
    )


def dry_as_can_be(case: Case, name: str) -> bool:
    """Whether a batch dries no further in this air."""
    review = case.context.review(f"batches/{name}")
    return review is not None and as_dry(Case(review.entry, review, case.context))


def wet_cost(case: Case, excess: float) -> tuple[str, dict[str, list[object]]]:
    """What so much more water [% of the dry mass] costs in wood and hours, where it is known."""
    dry = case.fact("dry_mass")
    hours, wood = case.fact("wet_hours"), case.fact("wet_wood")
    numbers: dict[str, list[object]] = {}
    parts = []
    if isinstance(wood, int | float):
        numbers["more_wood"] = [wood, "kg"]
        parts.append(f"{case.say.mass(wood)} more wood")
    elif isinstance(dry, int | float):
        wood = excess / 100 * dry * 2.6 / (14.0 * 0.3)
        numbers["more_wood"] = [wood, "kg"]
        parts.append(f"about {case.say.mass(wood)} more wood")
    if isinstance(hours, int | float):
        numbers["more_hours"] = [hours, "h"]
        parts.append(f"{case.say.hours(hours)} more")
    return (f"; that costs {' and '.join(parts)}" if parts else "", numbers)


@rule(
    "prove-the-mix",
    on=Firing,
    urgency=Urgency.BLOCKING,
    source="50 trial bricks in a small kiln before the large: Village-Level Brickmaking, GATE/GTZ",
    topic="light",
)
def prove_the_mix(case: Case) -> Iterator[Action]:
    """More than a hundred bricks are set of a mix of which nothing was ever fired."""
    count = sum(load.count or 0 for load in case.entry.load)
    unproven = [mix.name for mix in mixes_in(case) if not fired_before(case, mix.name)]
    if not planned(case) or count <= MANY or not unproven:
        return
    yield case.act(
        "prove-mix",
        f"Fire 50 bricks of {unproven[0]} in a small kiln before you fire these {count}.",
        f"No bar and no brick of {unproven[0]} was ever fired; {bricks(count)} are many to lose.",
        numbers={"prove": [50, "bricks"], "load": [count, "bricks"]},
        log="fieldbook add firing … kiln=… load='[{ batch = \"…\", count = 50 }]'",
        settled_by="a firing or a fired trial bar of this mix",
        reason=f"unproven {unproven[0]}",
    )


def fired_before(case: Case, mix_name: str) -> bool:
    """Whether a bar or a brick of a mix was fired before."""
    notebook = case.context.notebook
    mix = notebook.entry(f"mixes/{mix_name}")
    if isinstance(mix, Mix) and any(
        bar.fired or bar.fired_mass or bar.went for bar in mix.bars.values()
    ):
        return True
    batches = {batch.name for batch in notebook.of(Batch) if batch.mix == mix_name}
    return any(
        load.batch in batches and firing.unloaded
        for firing in notebook.of(Firing)
        if firing.name != case.entry.name
        for load in firing.load
    )


@rule(
    "find-stokers",
    on=Firing,
    urgency=Urgency.BLOCKING,
    source="watches of 6 h, two people in full fire; common practice",
    topic="people",
)
def find_stokers(case: Case) -> Iterator[Action]:
    """The firing lasts longer than one person can stoke."""
    hours = firing_hours(case)
    if not planned(case) or hours is None or hours <= WATCH:
        return
    people = min(6, max(2, math.ceil(hours / WATCH / 2) + 1))
    yield case.act(
        "find-stokers",
        f"Find {people} people for watches of {case.say.hours(WATCH)}, two at a time in full fire.",
        f"From lighting to the peak it takes about {case.say.hours(hours)}; one tired person alone "
        "gets burnt or lets it stall.",
        numbers={"people": [people, "people"], "watch": [WATCH, "h"], "firing": [hours, "h"]},
        log=": watches agreed with …",
        rests_on=("time_left",),
        settled_by="the fire is lit",
    )


def firing_hours(case: Case) -> float | None:
    """Hours from lighting to the end of the hold, where the plan tells them."""
    for name in ("planned_hours", "hours_to_peak"):
        hours = case.fact(name)
        if isinstance(hours, int | float):
            return float(hours)
    left = case.number("time_left")
    return left + wanted_hold(case) if left is not None else None


@rule(
    "light-at",
    on=Firing,
    urgency=Urgency.BLOCKING,
    source="the plan at the allowed climb; sunset from the latitude, or 18:00 without one",
    topic="light",
)
def light_at(case: Case) -> Iterator[Action]:
    """All is ready: light at the hour that puts the last climb in the light it needs."""
    hours = firing_hours(case)
    if not planned(case) or hours is None or wanted_peak(case) is None:
        return
    if long_past(case) or not kiln_ready(case):
        return
    start = case.entry.plan.start
    written = start.at if start is not None and start.half_hours == 0 else None
    moment = written or best_start(case, hours)
    peak = moment + timedelta(hours=hours)
    light = "in daylight" if has_thermometer(case) else "in the dark, when colours show"
    reason = "the last climb then falls " + light if written is None else "as the plan says"
    yield case.act(
        "light",
        f"Light a small fire {case.say.at(moment)} and climb {slow_rate(case)} at first.",
        f"It takes about {case.say.hours(hours)}, to {case.say.clock(peak)}; {reason}.",
        when=moment,
        numbers={"firing": [hours, "h"]},
        log="lit",
        rests_on=("time_left", "allowed_climb"),
        settled_by="lit",
        reason="light",
    )


def kiln_ready(case: Case) -> bool:
    """Whether nothing is in the kiln, or to be done to it first: base, leaning wall, drying it."""
    kiln = kiln_of(case)
    if kiln is None:
        return True
    at_kiln = Case(kiln, None, case.context, case.rule)
    if kilns.burning_now(at_kiln):
        return False  # another fire is in it, or its bricks are
    first = (people.no_concrete, kilns.straighten, kilns.dry_the_kiln)
    return not any(list(order(at_kiln)) for order in first)


def long_past(case: Case) -> bool:
    """Whether the start the maker wrote is more than two days gone."""
    start = case.entry.plan.start if case.entry.plan else None
    return start is not None and case.now - start.at > timedelta(days=2)


@rule("plan-again", on=Firing, urgency=Urgency.BLOCKING, source="common practice", topic="light")
def plan_again(case: Case) -> Iterator[Action]:
    """The day the firing was planned for is past and nothing was noted of it."""
    if not planned(case) or not long_past(case):
        return
    start = case.entry.plan.start.at
    yield case.act(
        "plan-again",
        "Write a new start for this firing, or note what was read when it was lit.",
        f"It was planned for {case.say.day(start)} and its log holds no fire.",
        numbers={"since": [case.context.hours_since(start) / 24, "days"]},
        log=f'fieldbook set {case.address} plan.start="…"',
        settled_by="plan.start, or lit",
        reason=f"planned for {start.date().isoformat()}",
    )


def slow_rate(case: Case) -> str:
    """The climb allowed at the start, in words."""
    allowed = case.number("allowed_climb")
    return case.say.rate(allowed) if allowed is not None else f"no faster than {case.say.rate(15)}"


def best_start(case: Case, hours: float) -> datetime:
    """The next start that ends two hours before dusk, or an hour after it with colour alone.

    A start of the last hour still stands: whoever waited for it finds it due, not moved on.
    """
    shift = -2.0 if has_thermometer(case) else 1.0
    earliest = case.say.local(case.now) - timedelta(hours=1)
    day = earliest + timedelta(hours=hours)
    for extra in range(3):
        end = dusk(case, day + timedelta(days=extra)) + timedelta(hours=shift)
        if end - timedelta(hours=hours) >= earliest:
            return quarter(end - timedelta(hours=hours))
    return quarter(earliest)


def dusk(case: Case, day: datetime) -> datetime:
    """Sunset on a day: from the site, or 18:00 where no latitude is written."""
    site = case.context.notebook.settings.site
    if site and isinstance(site.latitude, int | float) and isinstance(site.longitude, int | float):
        times = sun_times(day.date(), site.latitude, site.longitude, day.tzinfo)
        if times is not None:
            return times[1]
    return day.replace(hour=18, minute=0, second=0, microsecond=0)


def quarter(moment: datetime) -> datetime:
    """The quarter of an hour at or before a moment."""
    return moment.replace(minute=moment.minute // 15 * 15, second=0, microsecond=0)


def has_thermometer(case: Case) -> bool:
    """Whether this kiln is read with a thermometer: set up in the notebook, or used before."""
    instruments = case.context.notebook.settings.instruments
    if instruments and instruments.thermometer:
        return True
    kiln = kiln_of(case)
    firings = case.context.notebook.of(Firing)
    name = kiln.name if isinstance(kiln, Kiln) else None
    return any(last(firing, "temperature") for firing in firings if firing.kiln == name)
