"""How this kiln answers to wood, learnt from the log, and how much to put on next.

The kiln as one lump: climb = gain * wood by the hour - loss * (temperature - air), and what is read
ahead of it by lead * wood by the hour. Gain, loss and lead are fitted to the last hours of the
log, leaning on what the heat balance expects of them.
"""

from typing import Any

import numpy as np

from fieldbook.calc.heat_work import time_left, work_rate
from fieldbook.calc.rates import QUARTZ_RATE, QUARTZ_ZONE, STEAM_DRY, Allowed
from fieldbook.calc.state import FiringState, PlaceState
from fieldbook.errors import NotPossible
from fieldbook.frozen import frozen

BURNS_FOR = 0.3  # h in which most of a charge burns, from memory
UNSHOWN = 0.1  # h after a charge before a thermometer in the kiln shows it; common practice
MEMORY = 1.5  # h, after which what was learnt counts for a third
DOUBT = 0.5  # share by which the expected gain may be out
LEAP = 20.0  # K/h by which the climb is raised from one charge to the next
LEAP_SHARE = 0.4  # of the allowed climb, which a leap does not pass either; ours
AHEAD = 60.0  # K before the quartz zone at which the climb is brought down to it; ours
CAUTION = 0.75  # of the allowed climb that is aimed at, as wood is no dial; ours
FIRST_FIRE = 0.15  # of the climb aimed at, for the first wood, as its gas heats at once; then 2, 3
LEAD = 0.25  # h; a brick of 2.5 kg and 0.09 m2 in gas at 20 W/(m2 K) trails it by so much
STEAM_CAUTION = 0.65  # the same while water boils off: when it is gone the same wood heats faster
SMALLEST = 1e-3  # K/kg
APPROACH = 0.75  # h before the top over which the climb is eased off
WET_CORE = (120.0, 200.0)  # degC a face is held at over a wet core, and where it is past holding
KEPT = 20.0  # K to the limit of the mix that no climb is aimed into: a thermometer and a feed; ours
RULES = {
    "steam": "the steam rule, less a margin,",
    "stress": "the stress rule, less a margin,",
    "quartz": "the quartz rule, less a margin,",
    "the maker": "the group's own limit, less a margin,",
}
FASTEST_OVER = 2.0  # h over which the fastest feeding so far is told; ours
BOLDEST = 3.0  # times that fastest: more at once is taken for a log that does not tell
NEAR_PEAK = 150.0  # K below the wanted peak from which embers alone may complete it; ours
EMBERS = 6.0  # h after the last feed that are looked at; by then a kiln does no more work
USUAL_FALL = 120.0  # K/h after the last wood, where this kiln is not known yet; fast, from memory
CLIMB_NOISE = 4.0  # K/h of a climb over an interval, from readings to a kelvin or two


@frozen
class Response:
    """How a kiln answers to its fuel."""

    gain: float
    """K for each kg."""
    loss: float
    """1/h, of the difference to the air."""
    sure: float
    """0 to 1: how much of the gain comes from the log and not from what was expected."""
    n: int
    lead: float = 0.0
    """K by which what is read runs ahead of the kiln for each kg/h that burns."""


def expected_response(
    ware: float, kiln: float, value: float, efficiency: float = 0.35, loss: float = 0.05
) -> Response:
    """What to expect before the first wood: the heat that stays over what it has to warm.

    Args:
        ware: kg of bricks.
        kiln: kg of kiln that warms with them.
        value: MJ/kg of the wood, net as fired.
        efficiency: share of the heat that stays in ware and kiln, from memory.
        loss: 1/h, from memory.
    """
    if min(ware, value) <= 0:
        raise NotPossible("a kiln without bricks or wood without heat gives no response")
    capacity = (ware + 0.5 * kiln) * 1.0e-3  # MJ/K at 1 kJ/(kg K)
    gain = efficiency * value / capacity
    return Response(gain, loss, 0.0, 0, LEAD * gain)


def burning(fuel_time: Any, fuel_mass: Any, begin: float, end: float) -> float:
    """Wood [kg/h] that burns from one time to another, each charge dying away as it burns."""
    at, mass = np.asarray(fuel_time, float), np.asarray(fuel_mass, float)
    if not len(at) or end <= begin:
        return 0.0
    left_first = np.where(at <= begin, np.exp(-np.maximum(begin - at, 0) / BURNS_FOR), 1.0)
    left_last = np.where(at < end, np.exp(-np.maximum(end - at, 0) / BURNS_FOR), 1.0)
    return float((mass * (left_first - left_last)).sum() / (end - begin))


def burning_at(fuel_time: Any, fuel_mass: Any, time: float) -> float:
    """Wood [kg/h] that burns at a moment, before what is put on then."""
    at, mass = np.asarray(fuel_time, float), np.asarray(fuel_mass, float)
    since = time - at
    before = since > 1e-9
    return float((mass[before] * np.exp(-since[before] / BURNS_FOR)).sum() / BURNS_FOR)


def learnt_response(
    time: Any,
    temperature: Any,
    fuel_time: Any,
    fuel_mass: Any,
    *,
    air: float,
    expected: Response,
) -> Response:
    """The response fitted to a log, the last hours counting most.

    Args:
        time: h of readings at one place.
        temperature: degC.
        fuel_time: h of each charge.
        fuel_mass: kg of each charge.
        air: degC.
        expected: what the fit leans on.
    """
    time, temperature = np.asarray(time, float), np.asarray(temperature, float)
    lead = max(expected.lead, LEAD * expected.gain)
    doubt = np.array([DOUBT * expected.gain, expected.loss, lead])
    precision = np.diag(1 / doubt**2)
    rows, rates, weights = _spans(time, temperature, fuel_time, fuel_mass, air)
    matrix = precision + (rows * weights[:, None]).T @ rows
    right = precision @ np.array([expected.gain, expected.loss, expected.lead])
    gain, loss, lead = np.linalg.solve(matrix, right + (rows * weights[:, None]).T @ rates)
    sure = 1 - float(np.linalg.inv(matrix)[0, 0]) / float(doubt[0]) ** 2
    least = max(0.1 * expected.gain, SMALLEST)
    return Response(
        max(float(gain), least), max(float(loss), 0.0), sure, len(rates), max(float(lead), 0.0)
    )


def _spans(
    time: np.ndarray, temperature: np.ndarray, fuel_time: Any, fuel_mass: Any, air: float
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """The spans between readings: what drove each, its climb, and how much it counts."""
    rows, rates, weights = [], [], []
    for a, b in zip(range(len(time) - 1), range(1, len(time)), strict=True):
        hours = time[b] - time[a]
        age = time[-1] - (time[a] + time[b]) / 2
        if hours < 0.05 or age > 6 * MEMORY:
            continue
        grew = burning_at(fuel_time, fuel_mass, time[b]) - burning_at(fuel_time, fuel_mass, time[a])
        rows.append(
            [
                burning(fuel_time, fuel_mass, time[a], time[b]),
                -((temperature[a] + temperature[b]) / 2 - air),
                grew / hours,
            ]
        )
        noise = CLIMB_NOISE * max(0.25 / hours, 0.5)
        rates.append((temperature[b] - temperature[a]) / hours)
        weights.append(np.exp(-age / MEMORY) / noise**2)
    return np.array(rows).reshape(-1, 3), np.array(rates), np.array(weights)


@frozen
class Grate:
    """What burns on the grate if nothing is put on."""

    burns: float
    """kg in the hours looked at."""
    at_start: float
    """kg/h."""
    at_end: float
    """kg/h."""


COLD_GRATE = Grate(0.0, 0.0, 0.0)


def grate_of(fuel_time: Any, fuel_mass: Any, now: float, hours: float) -> Grate:
    """What is left to burn in the next hours, if none is added."""
    return Grate(
        burning(fuel_time, fuel_mass, now, now + hours) * hours,
        burning_at(fuel_time, fuel_mass, now),
        burning_at(fuel_time, fuel_mass, now + hours),
    )


def grate_unshown(fuel_time: Any, fuel_mass: Any, read: float, until: float) -> Grate | None:
    """What burns [kg] from a reading on, where wood was put on that the reading cannot show.

    Charges `fuel_mass` [kg] at `fuel_time` [h], the reading at `read` [h], looked at up to `until`
    [h]. None where every charge is in the reading. A charge just before it burns on in full, but
    what it will make the thermometer run ahead by is still to come.
    """
    at, mass = np.asarray(fuel_time, float), np.asarray(fuel_mass, float)
    shown = at <= read - UNSHOWN
    if bool(shown.all()):
        return None
    return Grate(
        burning(at, mass, read, until) * (until - read),
        burning_at(at[shown], mass[shown], read),
        burning_at(at, mass, until),
    )


def charge_for(
    response: Response,
    *,
    climb: float,
    temperature: float,
    air: float,
    hours: float,
    grate: Grate = COLD_GRATE,
    feeds: int = 1,
    since: float = 0.0,
) -> float:
    """Wood [kg] to put on for a climb over the next hours; never less than none.

    Args:
        response: of this kiln.
        climb: K/h wanted.
        temperature: degC at the place it was learnt at.
        air: degC.
        hours: until wood is put on again.
        grate: what burns already.
        feeds: in how many equal parts, evenly spaced, it is put on.
        since: h since the temperature was read, which the climb and the grate are counted from.
    """
    span = since + hours
    middle = temperature + climb * span / 2
    rise = (climb + response.loss * (middle - air)) * span
    rise -= response.gain * grate.burns + response.lead * (grate.at_end - grate.at_start)
    left = hours * (1 - np.arange(feeds) / feeds)  # h that each part has to burn
    glow = np.exp(-left / BURNS_FOR)
    each = response.gain * float((1 - glow).mean())
    each += response.lead * float(glow.mean()) / BURNS_FOR
    return max(rise / each, 0.0)


def most_so_far(fuel_time: Any, fuel_mass: Any) -> float:
    """Wood [kg/h] put on at the fastest so far, over any two hours; nothing before there were any.

    Who notes wood late, or at the readings alone, hides from the log what burns; an order of many
    times what was ever put on comes from that, and overfires a load.
    """
    time, mass = np.asarray(fuel_time, float), np.asarray(fuel_mass, float)
    if not len(time):
        return 0.0
    within = (time[None, :] <= time[:, None]) & (time[None, :] > time[:, None] - FASTEST_OVER)
    return float((within * mass).sum(axis=1).max()) / FASTEST_OVER


def boldest(fuel_time: Any, fuel_mass: Any, read: float, until: float, hours: float) -> float:
    """Wood [kg] that is ordered at most for the last hours up to a time; inf before there was any.

    By the fastest feeding whose answer was read; what was put on since is taken off. Times in h,
    charges in kg.
    """
    at, mass = np.asarray(fuel_time, float), np.asarray(fuel_mass, float)
    shown = at <= read - UNSHOWN
    fastest = BOLDEST * most_so_far(at[shown], mass[shown])
    if not fastest:
        return float("inf")
    since = 0.0 if bool(shown.all()) else max(until - read - hours, 0.0)
    return max(fastest * (since + hours) - float(mass[~shown].sum()), 0.0)


def asked_of(climb: float, response: Response) -> float:
    """The climb that wood is worked out for: less while it is not known how the kiln answers."""
    if climb <= 0:
        return climb
    return climb * min(FIRST_FIRE * (1 + response.n), 0.5 + 0.5 * response.sure)


def afterglow(temperature: float, fall: float, heat: float) -> float:
    """Hours at a temperature that what comes after the last feed is worth.

    What burns now dies away by e in its time and heats on, while the kiln loses what it loses.

    Args:
        temperature: degC now.
        fall: K/h at which the kiln falls unfed.
        heat: K/h at which what burns now would heat it, were nothing lost.
    """
    if fall <= 0:
        raise NotPossible("afterglow: the kiln must fall")
    hours = np.linspace(0.0, EMBERS, 181)
    rises = heat * BURNS_FOR * (1 - np.exp(-hours / BURNS_FOR))
    after = np.maximum(temperature + rises - fall * hours, min(temperature, 0.0))
    rate = work_rate(after) / work_rate(temperature)
    return float(((rate[1:] + rate[:-1]) / 2).sum() * (hours[1] - hours[0]))


@frozen
class Aim:
    """The climb to aim at, and why."""

    climb: float
    """K/h; below zero: let it fall."""
    why: str
    finished: bool = False


@frozen
class Wish:
    """What is wanted of a firing, and what its kiln is known to do."""

    peak: float
    """degC at the coldest place."""
    hold: float
    """h there."""
    peak_limit: float
    """degC that the hottest place must not pass."""
    greatest: float = 100.0
    """K/h, the most the fire is asked for."""
    doubt: float = KEPT
    """K kept to the limit."""
    hours: float = 0.5
    """h to the next reading, over which nothing is seen."""
    fall: float = USUAL_FALL
    """K/h at which this kiln falls once it is no longer fed."""
    present: float | None = None
    """K/h of the place that climbs fastest; a fire is not asked to leap."""
    heat: float | None = None
    """K/h at which what burns now heats the kiln; as much as it loses where not given."""


def aim(state: FiringState, allowed: Allowed, wish: Wish, behind: PlaceState | None = None) -> Aim:
    """The climb to aim at now: allowed at every place, easing off at the top, and held there.

    Args:
        state: of the places that were read lately.
        allowed: the least climb allowed at any of them.
        wish: what is wanted.
        behind: the place where the least heat-work is done; the coldest where not given.
    """
    last = behind or state.coldest
    face = last.now("face")[1]
    # the core is on its way to where its face is: what is left to do will be done there
    left = time_left(last.now("work")[1], wish.peak, wish.hold, face)
    if face > wish.peak - NEAR_PEAK and left <= embers(wish, face):
        why = "what the embers still do completes the heat-work at the coldest place"
        return Aim(-wish.fall, why, True)
    room = wish.peak_limit - wish.doubt - state.hottest.now("face")[1]
    if room <= 0:
        return Aim(room / over(wish), "the hottest place is at the limit of its mix")
    rates = _rates(state, allowed, wish, room)
    why = min(rates, key=lambda name: rates[name])
    return Aim(rates[why], why)


def embers(wish: Wish, face: float) -> float:
    """Hours at the present face that the end of the fire is worth, if nothing more is put on."""
    return afterglow(face, wish.fall, wish.fall if wish.heat is None else wish.heat)


def _rates(state: FiringState, allowed: Allowed, wish: Wish, room: float) -> dict[str, float]:
    """What each reason alone would let the fire climb, K/h."""
    caution = STEAM_CAUTION if allowed.limited_by == "steam" else CAUTION
    rates = {
        RULES.get(allowed.limited_by, "no rule"): caution * allowed.rate,
        "a steady fire": wish.greatest,
        "the peak, which is near,": (wish.peak - state.coldest.now("face")[1]) / over(wish),
        "the limit of the mix, which is near,": room / over(wish),
    }
    if wish.present is not None:
        leap = min(LEAP, LEAP_SHARE * allowed.rate)
        rates["the climb so far"] = max(wish.present, 0.0) + leap
    ahead = max(AHEAD, wish.hours * wish.greatest)
    if any(_enters_quartz(place, ahead) for place in state.places.values()):
        rates["the quartz zone ahead"] = CAUTION * QUARTZ_RATE
    face = state.hottest.now("face")[1]
    wet = any(p.now("free_water_left")[1] > STEAM_DRY for p in state.places.values())
    if wet and face < WET_CORE[1]:
        rates["a core still wet"] = (WET_CORE[0] - face) / over(wish)
    return rates


def over(wish: Wish) -> float:
    """Hours over which a climb is eased off: at least to the next reading."""
    return max(APPROACH, wish.hours)


def _enters_quartz(place: PlaceState, ahead: float) -> bool:
    """Whether a place may come into the quartz zone before it is read again."""
    return QUARTZ_ZONE[0] - ahead <= place.now("face")[2] and place.now("core")[0] < QUARTZ_ZONE[1]


def hold_longer(work: float, peak: float, hold: float, now: float) -> float:
    """Hours at a temperature below the peak that make up for it; the heat-work is the same."""
    return (hold * 3600 * float(work_rate(peak)) - work) / (3600 * float(work_rate(now)))
