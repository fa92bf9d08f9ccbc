"""How often the stated bounds hold the truth, and how wide they are. Run by hand:

    python -m tests.bench.replay_coverage [bricks] [seed]

True bricks in three dimensions (tests/bench/true_brick.py) stand in a fire that wavers; a
thermometer that is out by its tolerance is read every 10 to 60 min with noise, with gaps of one to
three hours; what was read goes through the march, and its bounds are held against what happened.
"""

import sys
from typing import NamedTuple

import numpy as np

from fieldbook.calc.firing import march
from fieldbook.calc.kinetics import GAS_CONSTANT
from fieldbook.calc.readings import Readings
from fieldbook.calc.thermocouple import tolerance
from tests.bench.true_brick import drawn, fired

NAMES = {"core": "core", "water": "free_water_left", "bound": "bound_water_left",
         "carbonate": "carbonate_left", "heat-work": "heat_work", "face": "face"}  # fmt: skip


class Replay(NamedTuple):
    """Share of minutes in which the bounds held, by name, and widths of the core, K."""

    held: dict[str, np.ndarray]
    width: np.ndarray
    climb: np.ndarray
    interval: np.ndarray


def wavering_fire(rng, count, hours=30.0):
    """A curve a brick: water smoking, climbs up to 50 K/h, a hold, a fall; with wavering."""
    time = np.arange(0, hours * 3600 + 1, 60.0)
    curves = []
    for _ in range(count):
        first, climb = rng.uniform(8, 20), rng.uniform(25, 50)
        knots, at = [15.0], [0.0]
        for target, rate in ((110, first), (550, climb), (rng.uniform(880, 960), climb)):
            at.append(at[-1] + (target - knots[-1]) / rate)
            knots.append(target)
            if target == 110:
                at.append(at[-1] + rng.uniform(1, 5))
                knots.append(target + 5)
        at += [at[-1] + 1.5, at[-1] + 10]
        knots += [knots[-1], knots[-1] - 350]
        curve = np.interp(time / 3600, at, knots)
        wander, step = np.zeros(len(time)), rng.standard_normal(len(time))
        keep = np.exp(-60 / 1500.0)
        for i in range(1, len(time)):
            wander[i] = wander[i - 1] * keep + step[i] * 8 * np.sqrt(1 - keep**2)
        curves.append(curve + wander * np.clip((curve - 40) / 100, 0, 1))
    return time, np.stack(curves, axis=1)


def read(rng, time, curve, probe, interval=None):
    """What a maker writes down: seldom, by a thermometer that is a little out."""
    out = rng.uniform(-1, 1)
    at, times = 0.0, []
    while at < time[-1] / 3600:
        times.append(at)
        gap = rng.uniform(1 / 6, 1.0) if interval is None else interval
        if interval is None and rng.uniform() < 0.03:
            gap = rng.uniform(1.0, 3.0)
        at += gap
    times = np.array(times)
    true = np.interp(times * 3600, time, curve)
    error = tolerance.plain(np.clip(true, -40, 1200))
    values = np.round(true + out * error + rng.standard_normal(len(true)))
    return Readings(times, values, tolerance.plain(np.clip(values, -40, 1200)) + 1.0, probe)


def replayed(bricks=16, seed=1, probe="gas", interval=None, hours=30.0):
    """Share held and widths, over bricks drawn at random."""
    rng = np.random.default_rng(seed)
    true = drawn(rng, bricks)
    time, curves = wavering_fire(rng, bricks, hours)
    what = fired(true, time, curves, probe)
    energy = true.energy / GAS_CONSTANT
    with np.errstate(divide="ignore"):
        what["heat-work"] = energy / (np.log(3600) - np.log(what["work"])) - 273.15
    held = {name: [] for name in NAMES}
    widths, climbs, intervals = [], [], []
    for n, brick in enumerate(true.bricks):
        log = read(rng, time, curves[:, n], probe, interval)
        until = float(log.time[-1])
        state = march({"a": log}, brick, until=until).places["a"]
        minutes = what["time"] / 3600
        within = minutes <= until
        at = minutes[within]
        for name, of_state in NAMES.items():
            low, _, high = (np.interp(at, state.time, row) for row in getattr(state, of_state))
            truth = what[name][within, n]
            slack = 1e-6 if name != "heat-work" else 0.5
            ok = (low - slack <= truth) & (truth <= high + slack)
            held[name].append(ok[at > 0.5])
        low, _, high = (np.interp(at, state.time, row) for row in state.core)
        widths.append(high - low)
        climbs.append(np.gradient(np.interp(at, log.time, log.temperature), at))
        intervals.append(np.full(len(at), interval or np.nan))
    return Replay(
        {name: np.concatenate(rows) for name, rows in held.items()},
        np.concatenate(widths),
        np.concatenate(climbs),
        np.concatenate(intervals),
    )


def report(bricks, seed):
    """Print the figures for both kinds of probe."""
    for probe in ("face", "gas"):
        random = replayed(bricks, seed, probe)
        print(f"{probe} probe, {bricks} bricks, readings every 10 to 60 min, with gaps:")
        for name, held in random.held.items():
            print(f"  {name:10} held in {100 * held.mean():5.1f} % of {len(held)} minutes")
        regular = replayed(bricks, seed + 1, probe, interval=0.5)
        slow = (np.abs(regular.climb) <= 50) & (regular.climb > 0)
        print(
            f"  core bounds, readings every 30 min, up to 50 K/h: median width "
            f"{np.median(regular.width[slow]):.0f} K, nine of ten within "
            f"{np.quantile(regular.width[slow], 0.9):.0f} K; core held in "
            f"{100 * regular.held['core'].mean():.1f} %"
        )


if __name__ == "__main__":
    report(*(int(a) for a in [*sys.argv[1:], "16", "1"][:2]))
