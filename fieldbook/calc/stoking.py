"""How this kiln answers to wood, learnt from the log, and how much to put on next.

The kiln as one lump: climb = gain * wood by the hour - loss * (temperature - air). Gain and loss
are fitted to the last hours of the log, leaning on what the heat balance expects of it.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np

from fieldbook.calc.brick import PARAMETERS, Brick, Parameters
from fieldbook.calc.heat_work import ENERGY, time_left, work_rate
from fieldbook.calc.kinetics import GAS_CONSTANT
from fieldbook.calc.properties import ZERO_CELSIUS
from fieldbook.calc.rates import GREEN, QUARTZ_RATE, QUARTZ_ZONE, Strength, allowed_climb
from fieldbook.calc.state import FiringState, PlaceState
from fieldbook.errors import NotPossible

BURNS_FOR = 0.3  # h in which most of a charge burns, from memory
MEMORY = 1.5  # h, after which what was learnt counts for a third
DOUBT = 0.5  # share by which the expected gain may be out
LEAP = 20.0  # K/h by which the climb is raised from one charge to the next
AHEAD = 60.0  # K before the quartz zone at which the climb is brought down to it
CAUTION = 0.75  # of the allowed climb that is aimed at, as wood is no dial
SMALLEST = 1e-3  # K/kg
APPROACH = 0.75  # h before the top over which the climb is eased off
USUAL_FALL = 60.0  # K/h after the last wood, where this kiln's own is not known; from memory
CLIMB_NOISE = 4.0  # K/h of a climb over an interval, from readings to a kelvin or two


@dataclass(frozen=True)
class Response:
    """How a kiln answers to its fuel."""

    gain: float
    """K for each kg."""
    loss: float
    """1/h, of the difference to the air."""
    sure: float
    """0 to 1: how much of the gain comes from the log and not from what was expected."""
    n: int


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
    return Response(efficiency * value / capacity, loss, 0.0, 0)


def burning(fuel_time: Any, fuel_mass: Any, begin: float, end: float) -> float:
    """Wood [kg/h] that burns from one time to another, each charge dying away as it burns."""
    at, mass = np.asarray(fuel_time, float), np.asarray(fuel_mass, float)
    if not len(at) or end <= begin:
        return 0.0
    left_first = np.where(at <= begin, np.exp(-np.maximum(begin - at, 0) / BURNS_FOR), 1.0)
    left_last = np.where(at < end, np.exp(-np.maximum(end - at, 0) / BURNS_FOR), 1.0)
    return float((mass * (left_first - left_last)).sum() / (end - begin))


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
    prior = np.array([expected.gain, expected.loss])
    precision = np.diag(1 / (np.array([DOUBT * expected.gain, expected.loss]) ** 2))
    matrix, right = precision.copy(), precision @ prior
    used = 0
    for a, b in zip(range(len(time) - 1), range(1, len(time)), strict=True):
        hours = time[b] - time[a]
        age = time[-1] - (time[a] + time[b]) / 2
        if hours < 0.05 or age > 6 * MEMORY:
            continue
        row = np.array(
            [
                burning(fuel_time, fuel_mass, time[a], time[b]),
                -((temperature[a] + temperature[b]) / 2 - air),
            ]
        )
        noise = CLIMB_NOISE * max(0.25 / hours, 0.5)
        weight = np.exp(-age / MEMORY) / noise**2
        matrix += weight * np.outer(row, row)
        right += weight * row * (temperature[b] - temperature[a]) / hours
        used += 1
    gain, loss = np.linalg.solve(matrix, right)
    covariance = np.linalg.inv(matrix)
    sure = 1 - float(covariance[0, 0]) / (DOUBT * expected.gain) ** 2
    return Response(
        max(float(gain), 0.1 * expected.gain, SMALLEST), max(float(loss), 0.0), sure, used
    )


def charge_for(
    response: Response,
    *,
    climb: float,
    temperature: float,
    air: float,
    hours: float,
    still_burning: float = 0.0,
) -> float:
    """Wood [kg] to put on now for a climb over the next hours; never less than none.

    Args:
        response: of this kiln.
        climb: K/h wanted.
        temperature: degC at the place it was learnt at.
        air: degC.
        hours: until wood is put on again.
        still_burning: kg on the grate that will burn in these hours.
    """
    middle = temperature + climb * hours / 2
    need = (climb + response.loss * (middle - air)) / response.gain * hours
    burns = 1 - np.exp(-hours / BURNS_FOR)
    return max((need - still_burning) / float(burns), 0.0)


def left_to_burn(fuel_time: Any, fuel_mass: Any, now: float, hours: float) -> float:
    """Wood [kg] on the grate that burns in the next hours, if none is added."""
    return burning(fuel_time, fuel_mass, now, now + hours) * hours


def afterglow(temperature: float, fall: float) -> float:
    """Hours at a temperature that the cooling after it is worth, with what burns on the grate.

    The work falls off by e within R T^2 / E degrees, so a steady fall is worth that over the fall.
    """
    if fall <= 0:
        raise NotPossible("afterglow: the kiln must fall")
    kelvin = temperature + ZERO_CELSIUS
    return GAS_CONSTANT * kelvin**2 / ENERGY / fall + BURNS_FOR


@dataclass(frozen=True)
class Aim:
    """The climb to aim at, and why."""

    climb: float
    """K/h; below zero: let it fall."""
    why: str
    finished: bool = False


def aim(
    state: FiringState,
    bricks: dict[str, Brick],
    *,
    peak: float,
    hold: float,
    peak_limit: float,
    strength: Strength = GREEN,
    parameters: Parameters = PARAMETERS,
    greatest: float = 100.0,
    doubt: float = 10.0,
    fall: float = USUAL_FALL,
    present: float | None = None,
) -> Aim:
    """The climb to aim at now: allowed at every place, easing off at the top, and held there.

    Args:
        state: of the firing.
        bricks: the thickest and wettest, by place.
        peak: degC wanted at the coldest place.
        hold: h wanted there.
        peak_limit: degC that the hottest place must not pass.
        strength: of the bricks as they are heated.
        parameters: ranges of the march.
        greatest: K/h, the most the fire is asked for.
        doubt: K kept to the limit.
        fall: K/h at which this kiln falls once it is no longer fed.
        present: K/h of the place that climbs fastest; a fire is not asked to leap.
    """
    coldest, hottest = state.coldest, state.hottest
    face = coldest.now("face")[1]
    # the core is on its way to where its face is: what is left to do will be done there
    if time_left(coldest.now("work")[1], peak, hold, face) <= afterglow(face, fall):
        why = "what the embers still do completes the heat-work at the coldest place"
        return Aim(-np.inf, why, True)
    room = peak_limit - doubt - hottest.now("face")[1]
    if room <= 0:
        return Aim(room / APPROACH, "the hottest place is at the mix's limit")
    allowed = [
        allowed_climb(place, bricks[name], strength=strength, parameters=parameters)
        for name, place in state.places.items()
    ]
    least = min(allowed, key=lambda a: a.rate)
    rates = {
        f"allowed by {least.limited_by}": CAUTION * least.rate,
        "the most this fire is asked for": greatest,
        "the peak is near": (peak - face) / APPROACH,
        "the mix's limit is near": room / APPROACH,
    }
    if present is not None:
        rates["the fire is brought on by and by"] = max(present, 0.0) + LEAP
    if any(_enters_quartz(place) for place in state.places.values()):
        rates["allowed by quartz, which comes next"] = CAUTION * QUARTZ_RATE
    why = min(rates, key=lambda name: rates[name])
    return Aim(rates[why], why)


def _enters_quartz(place: PlaceState) -> bool:
    """Whether a place may come into the quartz zone within the next half hour."""
    return QUARTZ_ZONE[0] - AHEAD <= place.now("face")[2] and place.now("core")[0] < QUARTZ_ZONE[1]


def hold_longer(work: float, peak: float, hold: float, now: float) -> float:
    """Hours at a temperature below the peak that make up for it; the heat-work is the same."""
    return (hold * 3600 * float(work_rate(peak)) - work) / (3600 * float(work_rate(now)))
