"""At the kiln: climb, hold or slow down; more air; feed a cold place; stop; when to look again."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

from fieldbook.advice.actions import Action, Urgency
from fieldbook.advice.events import last
from fieldbook.advice.fire import (
    burning,
    coldest,
    fuel_words,
    hottest,
    peak_limit,
    wanted_hold,
    wanted_peak,
)
from fieldbook.advice.fire_step import (
    BOILING_FACE,
    DRY_CORE,
    MARGIN,
    by_limit,
    long_unread,
    next_feed,
    next_step,
    reading_hours,
    steam_minutes,
    too_fast,
    wants_wood,
)
from fieldbook.advice.offered import is_without_thermometer, places_read, readings
from fieldbook.advice.rules import Case, rule
from fieldbook.advice.wording import listed, percent
from fieldbook.calc.heat_work import work_rate
from fieldbook.calc.stoking import KEPT
from fieldbook.records import Firing

STEAM = "saturation pressure of steam (IAPWS); the rule that holds a wet core below 120 °C: derived"
AGUMBA = "Agumba and Abbott, How to Build, Use and Maintain a Better Bonfire Kiln, 1996"
STALL = 5.0
"""K/h: no climb to speak of; common practice."""


@rule(
    "stop-feeding",
    on=Firing,
    urgency=Urgency.WARE,
    source="30 °C below the coolest trial bar that bloated, bent or stuck; 1050 °C if nothing is "
    "known",
    topic="fire",
)
def stop_feeding(case: Case) -> Iterator[Action]:
    """The hottest place comes near the most the mix stands: no more fuel, whatever is colder."""
    hot, limit = hottest(case.result("face_temperature")), peak_limit(case)
    if not burning(case) or hot is None or hot.value < limit - MARGIN:
        return
    yield case.act(
        "stop-feeding",
        f"Stop feeding now; let it fall below {case.say.temperature(limit - MARGIN)}{hot.at}.",
        f"The hottest bricks are at {case.say.temperature(hot.value)} and this mix softens from "
        f"{case.say.temperature(limit)} on; bent bricks are not mended by time.",
        numbers={
            "hottest": [hot.value, "degC"],
            "peak_limit": [limit, "degC"],
            "fuel": [0.0, "kg"],
        },
        log="… C" + (f" {hot.place}" if hot.at else ""),
        rests_on=("face_temperature", "peak_limit"),
        settled_by=f"a reading{hot.at} below the limit",
        reason=f"near the limit{hot.at}",
    )


@rule(
    "slow-down",
    on=Firing,
    urgency=Urgency.WARE,
    source="the least of the steam, the stress and the quartz rule; each is named in the reason",
    topic="fire",
)
def slow_down(case: Case) -> Iterator[Action]:
    """The fire climbs faster than the thickest and wettest brick in the load stands."""
    climb, allowed = case.number("climb"), case.number("allowed_climb")
    if not burning(case) or climb is None or allowed is None:
        return
    if not too_fast(case.review, "climb") or long_unread(case):
        return
    limited = case.word("climb_is_limited_by") or "the least of the three rules"
    feed = next_feed(case)
    order = f"Slow the climb to {case.say.rate(allowed)}" if allowed >= 1 else "Stop the climb"
    how = f"with less air and {feed.words or 'smaller feeds until it does'}"
    most = f"where {case.say.rate(allowed)} is allowed" if allowed >= 1 else "where none is allowed"
    yield case.act(
        "slow-down",
        f"{order} {how}.",
        f"It climbs {case.say.rate(climb)} {most}, {by_limit(limited)}.",
        numbers={
            "climb": [climb, "K/h"],
            "allowed_climb": [allowed, "K/h"],
            **feed.numbers,
        },
        log=readings(case.entry.log),
        rests_on=("climb", "allowed_climb", "climb_is_limited_by"),
        settled_by="readings that climb no faster than is allowed",
        reason=f"too fast by {limited}",
    )


@rule(
    "hold-for-steam",
    on=Firing,
    urgency=Urgency.WARE,
    source=STEAM,
    topic="fire",
)
def hold_for_steam(case: Case) -> Iterator[Action]:
    """The core still holds free water while the face is near or above 120 °C: hold it there."""
    water, face = case.result("free_water_left"), hottest(case.result("face_temperature"))
    if not burning(case) or water is None or face is None or not 95 <= face.value < 200:
        return
    left = hottest(water)
    if left is None or left.value <= DRY_CORE or long_unread(case):
        return
    minutes = steam_minutes(case)
    span = f" about {case.say.hours(minutes / 60)}" if minutes else ""
    feed = next_feed(case)
    yield case.act(
        "hold",
        f"Hold at {case.say.temperature(BOILING_FACE)}{span}, top open, until the core is dry"
        f"{feed.words and ', with '}{feed.words}.",
        f"The core{left.at} still holds {percent(left.value)} water; above "
        f"{case.say.temperature(BOILING_FACE)} its steam can burst the brick.",
        numbers={
            "free_water_left": [left.value, "%"],
            "face": [face.value, "degC"],
            "hold_at": [BOILING_FACE, "degC"],
            **({"hold": [minutes, "min"]} if minutes else {}),
            **feed.numbers,
        },
        log="no steam",
        rests_on=("free_water_left", "face_temperature"),
        settled_by="a draw brick that no longer loses mass, or the steam gone below 200 °C",
        reason="core wet",
    )


@rule(
    "feed-stalled-fire",
    on=Firing,
    urgency=Urgency.TIMED,
    source=f"steady feed, small and often: {AGUMBA}",
    topic="fire",
)
def feed_stalled_fire(case: Case) -> Iterator[Action]:
    """The fire stands still below the peak, and nothing inside the bricks asks for a hold."""
    climb, face, peak = (
        case.number("climb"),
        coldest(case.result("face_temperature")),
        wanted_peak(case),
    )
    if not burning(case) or climb is None or face is None or peak is None:
        return
    water = hottest(case.result("free_water_left"))
    if abs(climb) > STALL or face.value > peak - 30 or face.value < 150:
        return
    if water and water.value > DRY_CORE and face.value < 200:
        return
    aimed = case.number("aimed_climb")
    if (aimed is not None and aimed < 2 * STALL) or long_unread(case) or not wants_wood(case):
        return
    feed = next_feed(case)
    wood = f"go on with {feed.words}" if feed.words else "feed half as much twice as often"
    yield case.act(
        "feed",
        f"Split the {fuel_words(case)} finer, rake the ash, and {wood}.",
        f"It climbs only {case.say.rate(climb)} at {case.say.temperature(face.value)}, "
        f"{case.say.difference(peak - face.value)} below the peak.",
        numbers={
            "climb": [climb, "K/h"],
            "face": [face.value, "degC"],
            "peak": [peak, "degC"],
            **feed.numbers,
        },
        log=f"+… {fuel_words(case)}",
        rests_on=("climb", "face_temperature"),
        settled_by="readings that climb",
        reason="stalled",
    )


@rule(
    "end-the-fire",
    on=Firing,
    urgency=Urgency.TIMED,
    source="heat-work, not the clock: the temperature which, held 1 h, does the same work",
    topic="fire",
)
def end_the_fire(case: Case) -> Iterator[Action]:
    """The coldest place has done the heat-work that was wanted: the fire is over."""
    left, work = case.number("heat_work_left"), case.number("heat_work")
    if not burning(case) or last(case.entry, "event", "peak"):
        return
    embers = embers_finish(case)
    if not embers and (left is None or left > 0):
        return
    done = f" of {case.say.temperature(work)} held 1 h" if work is not None else ""
    why = (
        f"The coldest bricks have done the heat-work{done}; the embers do the little that is left."
        if embers and left
        else f"The coldest bricks have done the heat-work{done} that the plan asks for."
    )
    yield case.act(
        "end-the-fire",
        "Stop feeding, note the peak, and let the flames burn down before you seal.",
        why,
        numbers={
            **({"heat_work_left": [left, "min"]} if left is not None else {}),
            **({"heat_work": [work, "degC"]} if work else {}),
            "fuel": [0.0, "kg"],
        },
        log="peak",
        rests_on=("heat_work", "heat_work_left"),
        settled_by="peak noted",
        reason="heat-work done",
    )


def embers_finish(case: Case) -> bool:
    """Whether what still burns and the slow fall after it complete the heat-work."""
    aimed = case.review.results.get("aimed_climb") if case.review else None
    return bool(aimed and aimed.extra.get("finished"))


@rule(
    "hold-at-peak",
    on=Firing,
    urgency=Urgency.TIMED,
    source="heat-work at the coldest place; its activation energy is stated with it",
    topic="fire",
)
def hold_at_peak(case: Case) -> Iterator[Action]:
    """The coldest place is at its peak and still lacks heat-work: hold for so many minutes."""
    left, peak = case.number("heat_work_left"), wanted_peak(case)
    cold, hot = coldest(case.result("face_temperature")), hottest(case.result("face_temperature"))
    if not burning(case) or left is None or peak is None or cold is None or hot is None:
        return
    near = cold.value >= peak - MARGIN or hot.value >= peak_limit(case) - 2 * MARGIN
    if left <= 0 or not near or left > 60 * 12 or embers_finish(case) or long_unread(case):
        return
    at = min(peak, cold.value + max(0.0, peak_limit(case) - KEPT - hot.value))
    hours = left / 60 * float(work_rate(cold.value) / work_rate(at))
    until, feed = case.in_hours(hours), next_feed(case)
    how = feed.words or "feed small and often"
    if feed.numbers.get("fuel", [0.0])[0]:
        how += f" by {case.say.clock(case.in_hours(reading_hours(case)))}"
    yield case.act(
        "hold",
        f"Hold {case.say.temperature(at)}{cold.at} until {case.say.clock(until)}: {how}.",
        f"It takes {case.say.hours(hours)} more there to do the work of "
        f"{case.say.hours(wanted_hold(case))} at {case.say.temperature(peak)}.",
        numbers={
            "heat_work_left": [left, "min"],
            "coldest": [cold.value, "degC"],
            "hold_at": [at, "degC"],
            **feed.numbers,
        },
        log=readings(case.entry.log),
        rests_on=("heat_work_left",),
        settled_by="readings that complete the heat-work",
        reason="heat-work not done",
    )


@rule(
    "climb-on",
    on=Firing,
    urgency=Urgency.TIMED,
    source="the allowed climb of the thickest and wettest brick in the load; never above 50 °C/h "
    "before 620 °C: common practice, from memory",
    topic="fire",
)
def climb_on(case: Case) -> Iterator[Action]:
    """Nothing holds the fire back: climb at the allowed rate to the next reading."""
    step = next_step(case)
    if step is None or step.rise < 1:
        return
    reach = step.cold.value + step.rise
    feed = next_feed(case)
    limit = f"; {step.why} sets the pace" if step.why else ""
    yield case.act(
        "climb",
        f"Climb {case.say.rate(step.rate)}, to {case.say.temperature(reach)}{step.cold.at} by "
        f"{case.say.clock(case.in_hours(step.hours))}{feed.words and ' with '}{feed.words}.",
        f"The coldest bricks are at {case.say.temperature(step.cold.value)} and nothing in them "
        f"asks for a hold{limit}.",
        numbers={
            "climb": [step.rate, "K/h"],
            "allowed_climb": [case.number("allowed_climb"), "K/h"],
            "coldest": [step.cold.value, "degC"],
            "reach": [reach, "degC"],
            **feed.numbers,
        },
        log=readings(case.entry.log),
        rests_on=("aimed_climb", "next_feed", "allowed_climb", "face_temperature"),
        settled_by="the next reading",
        reason="climb",
    )


@rule(
    "hold-for-core",
    on=Firing,
    urgency=Urgency.TIMED,
    source="the least of the steam, the stress and the quartz rule; the limit of the mix",
    topic="fire",
)
def hold_for_core(case: Case) -> Iterator[Action]:
    """Below the peak the fire may hardly climb: hold until core or cold place is through."""
    step = next_step(case)
    if step is None or step.rise >= 1:
        return
    limited = case.word("climb_is_limited_by") or "stress"
    near = step.rate * step.hours >= 1 or "limit of" in step.why
    feed = next_feed(case)
    why = (
        "The hottest place is near the limit of its mix while the coldest is below the peak"
        f"{uneven(case)}."
        if near
        else f"No more than {case.say.rate(step.rate)} is safe now, {by_limit(limited)}."
    )
    yield case.act(
        "hold",
        f"Hold {case.say.temperature(step.cold.value)}{step.cold.at} until "
        f"{case.say.clock(case.in_hours(step.hours))} with {feed.words or 'small feeds'}, "
        "then read it again.",
        why,
        numbers={
            "coldest": [step.cold.value, "degC"],
            "climb": [step.rate, "K/h"],
            **feed.numbers,
        },
        log=readings(case.entry.log),
        rests_on=("aimed_climb", "next_feed", "allowed_climb", "face_temperature"),
        settled_by="a reading that allows a climb",
        reason=f"held by {'the limit' if near else limited}",
    )


def uneven(case: Case) -> str:
    """Where to feed and where to rest the fire, where two places are known."""
    cold, hot = coldest(case.result("face_temperature")), hottest(case.result("face_temperature"))
    if cold is None or hot is None or not cold.at or cold.place == hot.place:
        return ""
    feed = f"feed under {cold.place}, " if wants_wood(case) else ""
    return f"; {feed}rest the fire under {hot.place}"


@rule(
    "read-now",
    on=Firing,
    urgency=Urgency.TIMED,
    source="20 min below 150 °C, 30 min climbing, 1 h holding, unless the maker set another",
    topic="reading",
)
def read_now(case: Case) -> Iterator[Action]:
    """The next reading of a burning kiln is due, or was."""
    due = case.time("next_reading")
    if not burning(case) or due is None or due > case.now + timedelta(hours=3):
        return
    colour = is_without_thermometer(case.entry.log)
    what = "the glow, in the same shade as before" if colour else "the temperature"
    where = reading_places(case)
    yield case.act(
        "read",
        f"Read {what}{where} {case.say.at(due)}; note steam, smoke and wood put on.",
        "Without it the state inside the bricks is only as of the last reading.",
        when=due,
        log=readings(case.entry.log),
        rests_on=("next_reading",),
        settled_by="a reading",
        reason=f"reading due {due.isoformat(timespec='minutes')}",
    )


def reading_places(case: Case) -> str:
    """` at top and bottom`, the places read so far; nothing where there is only one."""
    places = places_read(case.entry.log)
    return f" at {listed(places)}" if len(places) > 1 else ""
