"""What becomes of a firing when the advice is obeyed, and when it is not. Run by hand:

    python -m tests.bench.obeyed_advice [kilns] [seed]

Kilns drawn at random (tests/bench/kiln_model.py) are fired by a maker who reads both places with a
thermometer that is a little out, asks how fast to climb and how much wood to put on, and does so by
about as much; and by one who feeds at one rate throughout, the right one on the whole.
"""

import sys
from typing import NamedTuple

import numpy as np

from fieldbook.calc.brick import PARAMETERS, Brick, body_of, cells_for
from fieldbook.calc.firing import March
from fieldbook.calc.heat_work import one_hour_temperature, work_along
from fieldbook.calc.march import advance, at_rest
from fieldbook.calc.rates import SLOWEST, allowed_climb
from fieldbook.calc.readings import Readings, climb
from fieldbook.calc.stoking import aim, charge_for, expected_response, learnt_response, left_to_burn
from fieldbook.calc.thermocouple import tolerance
from tests.bench.kiln_model import drawn_kiln

PLACES = ("hot", "cold")
MINUTE = 1 / 60
LIMIT = 1050.0
LONGEST = 72.0


class Outcome(NamedTuple):
    """What came of a firing: misses in K, times in h."""

    miss: float
    hottest: float
    worst_climb: float
    wood: float
    hours: float
    finished: bool

    @property
    def good(self):
        return abs(self.miss) <= 15 and self.hottest < LIMIT and self.worst_climb <= 1.25


class Firing:
    """A kiln, a thermometer that is a little out, and what was written down."""

    def __init__(self, rng):
        self.rng, self.kiln = rng, drawn_kiln(rng)
        self.water = (0.7 * self.kiln.water, self.kiln.water, 1.3 * self.kiln.water)
        self.brick = Brick(0.230, 0.110, 0.070, free_water=self.water)
        self.out = rng.uniform(-1, 1)
        self.hour = 0.0
        self.curve = [(0.0, *self.kiln.gas)]
        self.log = {place: ([], []) for place in PLACES}
        self.fuel_time, self.fuel_mass = [], []
        self.march = March(self.brick)

    def read(self):
        for i, place in enumerate(PLACES):
            true = self.kiln.gas[i]
            half = float(tolerance.plain(min(max(true, 0), 1200)))
            value = round(true + self.out * half + self.rng.normal(0, 0.7))
            self.log[place][0].append(self.hour)
            self.log[place][1].append(float(value))
            one = Readings(np.array([self.hour]), np.array([float(value)]), np.array([half + 1]))
            self.march.take_up(place, one)
        return self.march.state(self.hour)

    def burn(self, hours, wood):
        """Wood is put on in two goes, by about as much as was asked."""
        given = wood * self.rng.uniform(0.93, 1.07)
        if given > 0:
            self.fuel_time += [self.hour, self.hour + hours / 2]
            self.fuel_mass += [wood / 2, wood / 2]
        minutes = round(hours / MINUTE)
        for m in range(minutes):
            put = given / 2 if m in (0, minutes // 2) else 0.0
            self.kiln.step(MINUTE, put)
            self.hour += MINUTE
            self.curve.append((self.hour, *self.kiln.gas))


def true_work(firing, curve):
    """One-hour temperature at the cold place, of a brick drawn from the ranges in its true gas."""
    rng = np.random.default_rng(int(firing.kiln.bricks))
    p = PARAMETERS
    picked = {
        name: (rng.uniform(min(v), max(v)),) * 3
        for name, v in zip(p._fields, p, strict=True)
        if name in ("green_diffusivity", "fired_diffusivity", "convection", "emissivity")
    }
    body = body_of(firing.brick, p._replace(**picked), "gas")
    start = at_rest(np.full((1, 3), curve[0, 1]), 3, cells_for(firing.brick))
    path = np.repeat(curve[:, 2][:, None], 3, axis=1)[:, None, :]
    _, course = advance(body, start, curve[:, 0] * 3600, path, np.zeros((len(curve), 1)))
    return float(one_hour_temperature.plain(work_along(curve[1:, 0], course.core[:, 0, 1])[-1]))


def judged(firing, allowed, peak, finished):
    """The outcome, by what truly happened in the kiln."""
    for _ in range(90):  # no more wood: it glows on
        firing.kiln.step(MINUTE, 0.0)
        firing.hour += MINUTE
        firing.curve.append((firing.hour, *firing.kiln.gas))
    curve = np.array(firing.curve)
    worst = 0.0
    for begin, end, rate in allowed:
        for i in (1, 2):
            a, b = np.interp([max(end - 0.5, 0), end], curve[:, 0], curve[:, i])
            if end - begin > 0 and end >= 0.5:
                worst = max(worst, float(b - a) / 0.5 / max(rate, SLOWEST))
    return Outcome(
        miss=true_work(firing, curve) - peak,
        hottest=float(curve[:, 1].max()),
        worst_climb=worst,
        wood=sum(firing.fuel_mass),
        hours=firing.hour,
        finished=finished,
    )


def least_allowed(state, brick):
    return min(allowed_climb(p, brick).rate for p in state.places.values())


def fall_expected(firing):
    """K/h once it is no longer fed, by what was learnt of its losses."""
    kiln = firing.kiln
    expected = expected_response(kiln.bricks * kiln.brick_mass, kiln.wall_mass, kiln.value)
    log = firing.log["cold"]
    if len(log[0]) < 4:
        return 60.0
    response = learnt_response(
        *log, firing.fuel_time, firing.fuel_mass, air=kiln.air, expected=expected
    )
    return max(response.loss * (log[1][-1] - kiln.air), 20.0)


def obedient(seed, peak=950.0, hold=1.0):
    """A maker who asks each time how much to put on."""
    firing = Firing(np.random.default_rng(seed))
    kiln = firing.kiln
    expected = expected_response(kiln.bricks * kiln.brick_mass, kiln.wall_mass, kiln.value)
    bricks = dict.fromkeys(PLACES, firing.brick)
    allowed, before, finished = [], np.inf, False
    while firing.hour < LONGEST:
        state = firing.read()
        now = least_allowed(state, firing.brick)
        fall = fall_expected(firing)
        climbs = [climb(Readings(*(np.array(x) for x in firing.log[p]))) for p in PLACES]
        wish = aim(
            state, bricks, peak=peak, hold=hold, peak_limit=LIMIT, fall=fall,
            present=max(climbs) if None not in climbs else None,
        )  # fmt: skip
        if wish.finished:
            finished = True
            break
        hours = 1 / 6 if firing.log["hot"][1][-1] < 150 else 0.25
        # the faster place decides over the climb
        charges = []
        for place in PLACES:
            response = learnt_response(
                *firing.log[place], firing.fuel_time, firing.fuel_mass,
                air=kiln.air, expected=expected,
            )  # fmt: skip
            charges.append(
                charge_for(
                    response,
                    climb=wish.climb * (0.5 + 0.5 * response.sure),
                    temperature=firing.log[place][1][-1],
                    air=kiln.air,
                    hours=hours,
                    still_burning=left_to_burn(
                        firing.fuel_time, firing.fuel_mass, firing.hour, hours
                    ),
                )
            )
        begin = firing.hour
        firing.burn(hours, min(charges))
        # a climb is judged by the largest rate that was allowed while it went on
        allowed.append((begin, firing.hour, max(now, before)))
        before = now
    return judged(firing, allowed, peak, finished)


def constant(seed, rate, peak=950.0, hold=1.0):
    """A maker who feeds at one rate and stops when the thermometer shows the peak."""
    firing = Firing(np.random.default_rng(seed))
    allowed, before, finished = [], np.inf, False
    while firing.hour < LONGEST:
        state = firing.read()
        now = least_allowed(state, firing.brick)
        if firing.log["cold"][1][-1] >= peak:
            finished = True
            break
        begin = firing.hour
        firing.burn(0.25, rate * 0.25)
        allowed.append((begin, firing.hour, max(now, before)))
        before = now
    return judged(firing, allowed, peak, finished)


def show(name, outcomes):
    good = sum(o.good for o in outcomes)
    misses = [o.miss for o in outcomes]
    print(f"{name}: {good} of {len(outcomes)} kilns as wanted")
    print(
        f"  one-hour temperature off by {min(misses):.0f} to {max(misses):.0f} K; "
        f"{sum(abs(m) <= 15 for m in misses)} within 15 K"
    )
    print(f"  hottest place below {LIMIT:.0f} degC in {sum(o.hottest < LIMIT for o in outcomes)}")
    worst = [o.worst_climb for o in outcomes]
    print(
        f"  no half-hour climb above 1.25 times the allowed in {sum(w <= 1.25 for w in worst)}; "
        f"worst {max(worst):.1f} times"
    )
    wood, hours = (np.mean([getattr(o, n) for o in outcomes]) for n in ("wood", "hours"))
    print(f"  wood {wood:.0f} kg, {hours:.0f} h on average")


if __name__ == "__main__":
    kilns, first = (int(a) for a in [*sys.argv[1:], "20", "1"][:2])
    seeds = range(first, first + kilns)
    obeyed = [obedient(s) for s in seeds]
    show("advice obeyed", obeyed)
    fed = [constant(s, o.wood / max(o.hours - 1.5, 1)) for s, o in zip(seeds, obeyed, strict=True)]
    show("fed at one rate", fed)
