"""What becomes of a firing when the advice is obeyed, and when it is not. Run by hand:

    python -m tests.bench.obeyed_advice [kilns] [seed]

Kilns drawn at random (tests/bench/kiln_model.py) are fired by a maker who writes a notebook, reads
both places with a thermometer that is a little out whenever `next` says so, and does about what
its action of the fire asks for: so much wood in so many feeds, or none. Beside them stands one who
feeds at one rate throughout, the right one on the whole.
"""

import sys
from typing import NamedTuple

import numpy as np

from fieldbook.advice.context import Context
from fieldbook.advice.engine import advise
from fieldbook.calc.brick import PARAMETERS, Brick, body_of, cells_for
from fieldbook.calc.heat_work import one_hour_temperature, work_along
from fieldbook.calc.march import advance, at_rest
from fieldbook.calc.rates import SLOWEST
from fieldbook.calc.thermocouple import tolerance
from tests.bench.kiln_model import drawn_kiln
from tests.bench.obeyed_yard import FIRING, LIT, Yard

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
    looks: int

    @property
    def good(self):
        return abs(self.miss) <= 15 and self.hottest < LIMIT and self.worst_climb <= 1.25


class Firing:
    """A kiln, a thermometer that is a little out, and what was written down."""

    def __init__(self, seed, peak, hold, water=None):
        self.rng = np.random.default_rng(seed)
        self.kiln = drawn_kiln(self.rng)
        if water is not None:
            self.kiln.water, self.kiln.wet[:] = water, water
        self.peak = peak
        self.yard = Yard(self.kiln, peak, hold)
        water = self.kiln.water
        self.brick = Brick(0.230, 0.110, 0.070, free_water=(0.7 * water, water, 1.3 * water))
        self.out = self.rng.uniform(-1, 1)
        self.hour, self.wood, self.looks = 0.0, 0.0, 0
        self.curve = [(0.0, *self.kiln.gas)]
        self.allowed = []

    def read(self):
        """Both places are read, and what the notebook says then is kept."""
        self.shown = {}
        for place, true in zip(PLACES, self.kiln.gas, strict=True):
            half = float(tolerance.plain(min(max(true, 0), 1200)))
            self.shown[place] = round(true + self.out * half + self.rng.normal(0, 0.7))
            self.yard.note(self.hour, temperature=f"{self.shown[place]} C", place=place)
        self.looks += 1
        notebook, now = self.yard.notebook(self.hour)
        self.context = Context.of(notebook, now)
        rate = self.context.review(FIRING).number("allowed_climb")
        self.allowed.append((self.hour, np.inf if rate is None else rate))

    def advice(self):
        """What `next` says, by topic."""
        return {action.topic: action for action in advise(self.context, FIRING).actions}

    def burn(self, hours, wood, feeds):
        """Wood is put on in equal feeds, by about as much as was asked, and noted as asked."""
        minutes = max(round(hours / MINUTE), 1)
        due = {minutes * i // feeds for i in range(feeds)}
        off = self.rng.uniform(0.93, 1.07)
        for m in range(minutes):
            if m in due:
                self.yard.note(self.hour, fuel=f"{wood / feeds:.2f} kg")
                self.wood += wood / feeds
            self._minute(off * wood / max(feeds, 1) if m in due else 0.0)

    def glow_on(self, hours=1.5):
        """No more wood is put on."""
        for _ in range(round(hours / MINUTE)):
            self._minute(0.0)

    def _minute(self, wood):
        self.kiln.step(MINUTE, wood)
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


def judged(firing, finished):
    """The outcome, by what truly happened in the kiln."""
    fed = firing.hour
    firing.glow_on()
    curve = np.array(firing.curve)
    return Outcome(
        miss=true_work(firing, curve) - firing.peak,
        hottest=float(curve[:, 1:].max()),
        worst_climb=worst_climb(curve, firing.allowed, fed),
        wood=firing.wood,
        hours=firing.hour,
        finished=finished,
        looks=firing.looks,
    )


def worst_climb(curve, allowed, until):
    """The largest mean climb of half an hour over the most that was allowed while it went on."""
    hours, rates = np.array(allowed).T
    worst = 0.0
    for end in np.arange(0.5, until, 5 * MINUTE):
        first = np.searchsorted(hours, end - 0.5 + 1e-9) - 1
        after = np.searchsorted(hours, end - 1e-9)
        rate = max(rates[max(first, 0) : after].max(), SLOWEST)
        for place in (1, 2):
            a, b = np.interp([end - 0.5, end], curve[:, 0], curve[:, place])
            worst = max(worst, float(b - a) / 0.5 / rate)
    return worst


def obedient(seed, peak=950.0, hold=1.0, water=None, trace=False):
    """A maker who asks `next` each time, and does what it says of the fire."""
    firing = Firing(seed, peak, hold, water)
    while firing.hour < LONGEST:
        firing.read()
        advice = firing.advice()
        fire, reading = advice.get("fire"), advice.get("reading")
        if trace:
            print(f"{firing.hour:5.2f}", firing.shown, fire and fire.do, reading and reading.when)
        if fire is not None and fire.rule == "end-the-fire":
            return judged(firing, True)
        due = reading.when if reading is not None else None
        hours = (due - LIT).total_seconds() / 3600 - firing.hour if due else 0.5
        numbers = fire.numbers if fire is not None else {}
        wood, feeds = (numbers.get(name, [0])[0] for name in ("fuel", "feeds"))
        firing.burn(max(hours, 1 / 6), wood, feeds)
    return judged(firing, False)


def constant(seed, rate, peak=950.0, hold=1.0, water=None, longest=LONGEST):
    """A maker who feeds at one rate and stops when the thermometer shows the peak."""
    firing = Firing(seed, peak, hold, water)
    while firing.hour < longest:
        firing.read()
        if firing.shown["cold"] >= peak:
            return judged(firing, True)
        firing.burn(1.0, rate, 6)
    return judged(firing, False)


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
    names = ("wood", "hours", "looks")
    wood, hours, looks = (np.mean([getattr(o, n) for o in outcomes]) for n in names)
    print(f"  wood {wood:.0f} kg, {hours:.0f} h, {looks:.0f} readings on average")


if __name__ == "__main__":
    given = [int(word) for word in sys.argv[1:]]
    kilns, first = (*given, *(20, 1)[len(given) :])
    seeds = range(first, first + kilns)
    obeyed = [obedient(s) for s in seeds]
    show("advice obeyed", obeyed)
    fed = [constant(s, o.wood / max(o.hours - 1.5, 1)) for s, o in zip(seeds, obeyed, strict=True)]
    show("fed at one rate", fed)
