"""What to do with the fire now: the climb to aim at, and the wood for it by the kiln's answer."""

from __future__ import annotations

from datetime import datetime
from functools import partial
from typing import TYPE_CHECKING, Any

from fieldbook.advice.events import last
from fieldbook.advice.firing_case import FiringCase
from fieldbook.advice.firing_cooling import last_air
from fieldbook.advice.firing_fuel import FuelKind, kind_named, mass_of, own_measure
from fieldbook.advice.firing_state import least_advanced, needs_of_state, standing
from fieldbook.advice.results import Input, Result
from fieldbook.calc import readings as curves
from fieldbook.calc import stoking
from fieldbook.calc.heat_work import time_left
from fieldbook.calc.rates import QUARTZ_ZONE, Allowed
from fieldbook.calc.uncertainty import nominal
from fieldbook.frozen import frozen
from fieldbook.records import FiringLine

if TYPE_CHECKING:
    from fieldbook.advice.firing_heat import Heat

STEADY = 50.0
"""K/h: the most that is advised before quartz is passed; common practice, from memory."""
LAST_STRETCH = 120.0
"""K below the peak from which the climb is steady again; common practice."""
FEED_EVERY = 1 / 6
"""h between feeds, small and often; common practice."""
SHORTEST = 0.25
"""h, the least that wood is worked out for."""
NOTED_WITHIN = 2.0
"""h since the last wood noted, after which the log is taken not to tell of it any more."""
SLOWEST_FALL = 20.0
"""K/h at which even a well built kiln falls unfed at its peak; from memory."""
SOURCE = (
    "one lump with a gain for each kg and a loss to the air, fitted to the last hours and leaning "
    "on the heat balance; checked on simulated kilns"
)


@frozen
class Wood:
    """What was put on, in kg of the first fuel, and when."""

    hours: list[float]
    mass: list[float]
    where: str = ""


@frozen
class Place:
    """One place as the fire is judged by it."""

    name: str
    temperature: float
    """degC at the last reading."""
    read: float
    """h of that reading."""
    response: stoking.Response


def add_feeding(case: FiringCase, heat: Heat) -> None:
    """`aimed_climb` and `next_feed`; a hold that ends before the next reading is due moves it."""
    allowed, peak = case.review.results.get("allowed_climb"), case.peak_wanted
    state, behind = standing(case), least_advanced(case)
    if case.phase not in ("lit", "climbing", "holding") or last(case.firing, "event", "peak"):
        return
    if allowed is None or peak is None or state is None or behind is None:
        needs = ("plan.peak",) if peak is None else ()
        case.missing("aimed_climb", "K/h", *needs, *needs_of_state(case))
        return
    rate = allowed.number if allowed.known else float("inf")
    limited = str(allowed.extra.get("limited_by", "nothing"))
    wood = wood_put_on(case, heat)
    places = places_of(case, heat, wood)
    wish = stoking.Wish(
        peak,
        case.hold_wanted,
        case.loaded.peak_limit,
        greatest=greatest(case, state.hottest.now("face")[1], peak - state.coldest.now("face")[1]),
        fall=fall_expected(case, places),
        heat=heat_of_the_grate(case, wood, places),
        present=max(_climbs(case), default=None),
        hours=hours_to_reading(case),
    )
    aim = stoking.aim(state, Allowed(rate, limited, {}, allowed.source), wish, behind)
    face = behind.now("face")[1]
    left = time_left(behind.now("work")[1], peak, wish.hold, face)
    _add_aim(case, aim, allowed)
    _read_at_the_end(case, left - stoking.embers(wish, face))
    _add_feed(case, heat, aim, wood, places)


def greatest(case: FiringCase, hottest: float, to_peak: float) -> float:
    """K/h that the fire is asked for at most: the group's own limit; steady below quartz and at
    the last, for a fire that races up to its peak runs past it on its embers.
    """
    usual = STEADY if hottest < QUARTZ_ZONE[1] or to_peak < LAST_STRETCH else 2 * STEADY
    return min(usual, case.greatest_climb or usual)


def _climbs(case: FiringCase) -> list[float]:
    found = (curves.climb(series.curve) for series in case.fresh.values())
    return [slope for slope in found if slope is not None]


def fall_expected(case: FiringCase, places: list[Place]) -> float:
    """K/h at which the kiln falls once it is no longer fed, by what was learnt of its losses."""
    known = [place for place in places if place.response.n >= 3]
    if not known:
        return stoking.USUAL_FALL
    coldest = min(known, key=lambda place: place.temperature)
    air = last_air(case.firing)[0]
    return max(coldest.response.loss * (coldest.temperature - air), SLOWEST_FALL)


def heat_of_the_grate(case: FiringCase, wood: Wood, places: list[Place]) -> float | None:
    """K/h at which what burns now heats the coldest place; None where that is not known."""
    if not places or not wood_is_noted(case, wood):
        return None
    coldest = min(places, key=lambda place: place.temperature)
    return coldest.response.gain * stoking.burning_at(wood.hours, wood.mass, case.now)


def wood_put_on(case: FiringCase, heat: Heat) -> Wood:
    """Every feed that was noted; another fuel by the heat it gives beside the first."""
    base = float(nominal(heat.kinds[0].value))
    hours, masses, where = [], [], ""
    for line in case.firing.log:
        if not isinstance(line, FiringLine) or line.fuel is None or line.fuel.is_bound:
            continue
        kind = kind_named(heat.kinds, line.of_)
        mass = mass_of(line.fuel, kind, case.context)
        if mass is not None:
            hours.append(case.log.hours(line.at))
            masses.append(float(nominal(mass)) * float(nominal(kind.value)) / base)
            where = line.where
    return Wood(hours, masses, where)


def places_of(case: FiringCase, heat: Heat, wood: Wood) -> list[Place]:
    """How each place that was read lately answers to the wood; [] where nothing is expected."""
    mass = case.loaded.dry_mass
    if mass is None or mass <= 0:
        return []
    shell = heat.walls.mass[1] if heat.walls else 0.7 * mass
    value = float(nominal(heat.kinds[0].value))
    expected = stoking.expected_response(mass, shell, value)
    air = last_air(case.firing)[0]
    found = []
    for name, series in case.fresh.items():
        curve = series.curve
        if series.kind != "thermometer" or not wood.hours:
            learnt = expected  # a glow is too coarse to learn from, and so is a fire not noted
        else:
            learnt = stoking.learnt_response(
                curve.time, curve.temperature, wood.hours, wood.mass, air=air, expected=expected
            )
        found.append(Place(name, series.last.value, series.last.hours, learnt))
    return found


def _add_aim(case: FiringCase, aim: stoking.Aim, allowed: Result) -> None:
    case.add(
        Result(
            name="aimed_climb",
            value=None if aim.finished else aim.climb,
            unit="K/h",
            extra={"limited_by": aim.why, "finished": aim.finished},
            because=aim.why if aim.finished else "",
            method="three quarters of the allowed climb, as wood is no dial; eased off before "
            "quartz, the peak and the limit of the mix",
            source="the rules of the allowed climb; common practice",
            from_=allowed.from_,
            inputs=(*allowed.inputs, *case.plan_inputs),
            age=allowed.age,
        )
    )


def _read_at_the_end(case: FiringCase, hours: float) -> None:
    """Where the heat-work is done before the next reading is due, it is due then."""
    found = case.review.results.get("next_reading")
    due = case.timeline.due
    if found is None or due is None or not 0 < hours < case.timeline.interval:
        return
    end = case.moment(case.now + max(hours, FEED_EVERY))
    if end < due:
        case.add(
            found.but(
                value=end.isoformat(),
                method="when the heat-work at the coldest place is done at this temperature",
            )
        )


def hours_to_reading(case: FiringCase) -> float:
    """Hours from now to the next reading."""
    due = case.review.results.get("next_reading")
    if due is None or not isinstance(due.value, str):
        return max(case.timeline.interval, SHORTEST)
    return max(case.log.hours(datetime.fromisoformat(due.value)) - case.now, SHORTEST)


def wood_is_noted(case: FiringCase, wood: Wood) -> bool:
    """Whether the log tells what is burnt: else nothing can be learnt from it.

    Where a place falls, nothing was put on that is not noted: whoever was told to put on no more
    for hours has nothing to note.
    """
    lit = case.lit
    early = lit is not None and case.context.hours_since(lit) <= 1.0
    lately = bool(wood.hours) and case.now - wood.hours[-1] <= NOTED_WITHIN
    return early or lately or (bool(wood.hours) and min(_climbs(case), default=0.0) < 0)


def _add_feed(
    case: FiringCase, heat: Heat, aim: stoking.Aim, wood: Wood, places: list[Place]
) -> None:
    if not places or not wood_is_noted(case, wood):
        needs = heat.burnt.needs or ("log: fuel",)
        case.missing("next_feed", "kg", *(needs if places else ("load.count",)))
        return
    hours = hours_to_reading(case)
    feeds = _feeds_in(hours)
    charges = {place.name: _charge(case, place, aim.climb, wood, hours) for place in places}
    # the place that answers most decides: the others may trail, but none runs away
    first = min(places, key=lambda place: (charges[place.name], place.name))
    kind = kind_named(heat.kinds, _put_on_last(case))
    share = float(nominal(heat.kinds[0].value)) / float(nominal(kind.value))
    most = stoking.boldest(wood.hours, wood.mass, first.read, case.now + hours, hours)
    kilograms = 0.0 if aim.finished else min(charges[first.name], most) * share
    extra: dict[str, Any] = {"hours": hours, "feeds": feeds, "of": kind.name, "place": first.name}
    own = own_measure(heat.burnt, kilograms)
    if own:
        extra |= {"measure": own[0], "measure_name": own[1]}
    from_ = (case.log.series[first.name].last.where, wood.where)
    result = _feed_result(kilograms, first.response, kind)
    case.add(
        result.but(extra={**result.extra, **extra}, from_=tuple(filter(None, from_)), age=case.age)
    )


def _charge(case: FiringCase, place: Place, climb: float, wood: Wood, hours: float) -> float:
    """The wood that one place asks for; what its last reading cannot show yet is on the grate."""
    charge = partial(
        stoking.charge_for,
        place.response,
        climb=stoking.asked_of(climb, place.response),
        temperature=place.temperature,
        air=last_air(case.firing)[0],
        hours=hours,
        feeds=_feeds_in(hours),
    )
    now = charge(grate=stoking.grate_of(wood.hours, wood.mass, case.now, hours))
    unshown = stoking.grate_unshown(wood.hours, wood.mass, place.read, case.now + hours)
    if unshown is None:
        return now
    return min(now, charge(grate=unshown, since=max(case.now - place.read, 0.0)))


def _feeds_in(hours: float) -> int:
    return max(round(hours / FEED_EVERY), 1)


def _put_on_last(case: FiringCase) -> str | None:
    line = last(case.firing, "fuel")
    return line.of_ if line is not None else None


def _feed_result(kilograms: float, response: stoking.Response, kind: FuelKind) -> Result:
    """The wood with what it rests on: how this kiln answered so far."""
    doubt = stoking.DOUBT * (1 - response.sure) ** 0.5
    spans = f"{response.n} spans of the log"
    return Result(
        name="next_feed",
        value=kilograms,
        unit="kg",
        low=kilograms / (1 + doubt),
        high=kilograms / (1 - min(doubt, 0.5)),
        extra={
            "gain": response.gain,
            "loss": response.loss,
            "lead": response.lead,
            "sure": response.sure,
        },
        n=response.n,
        method="wood until the next reading for the climb aimed at, as this kiln answered so far; "
        "what still burns taken off",
        source=SOURCE,
        formula="(climb + loss (T - air)) / gain",
        inputs=(
            Input("gain", f"{response.gain:.2g} K/kg", "", spans),
            Input("loss", f"{response.loss:.2g} /h", "", spans),
            Input("lead", f"{response.lead:.2g} K/(kg/h)", "", spans),
            *kind.inputs,
        ),
    )
