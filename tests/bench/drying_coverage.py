"""How often the stated 80 % interval holds the truth. Run by hand:

    python -m tests.bench.drying_coverage [batches] [seed]

Bricks dry by diffusion (tests/bench/diffusion.py), are weighed at 3, 6 and 10 times with a scale's
noise and a dry mass that is a little off, and the forecast of the wettest marked brick is held
against what happened.
"""

import sys
from typing import NamedTuple

import numpy as np

from fieldbook.calc.drying import NotReady, Weather, fit_drying
from fieldbook.calc.psychrometrics import drying_force
from tests.bench import diffusion

TARGETS = (0.03, 0.04, 0.05)


class Outcome(NamedTuple):
    weighings: int
    noted: bool
    truth: float
    low: float
    median: float
    high: float
    now: float

    @property
    def held(self) -> bool:
        return self.low <= self.truth <= self.high

    @property
    def width(self) -> float:
        return self.high - self.low


def outcomes(count: int, seed: int, prior=None) -> list[Outcome]:
    random = np.random.default_rng(seed + 1)
    found = []
    for number, batch in enumerate(diffusion.make(count, seed)):
        target = TARGETS[number % len(TARGETS)]
        wettest = batch.moistures.max(axis=0)
        below = np.flatnonzero(wettest < target)
        truth = float(batch.hours[below[0]]) if below.size else float("inf")
        for weighings in (3, 6, 10):
            now = (weighings - 1) * batch.weighing_gap
            if now >= min(truth, batch.hours[-1]):
                continue
            answer = forecast(batch, weighings, target, random, prior)
            found.append(Outcome(weighings, batch.noted, truth, *answer, now))
    return found


def forecast(batch, weighings, target, random, prior=None):
    rows = []
    for session in range(weighings):
        hour = session * batch.weighing_gap
        for brick, true in enumerate(batch.moistures[:, int(hour)]):
            error = 1 + batch.dry_mass_error + batch.brick_errors[brick]
            seen = (1 + true) * (1 + random.normal(0, 0.0012)) / error - 1
            rows.append((hour, str(brick), seen, 0.0015))
    force = None
    if batch.noted:
        until = batch.weather_hours <= max(24.0, (weighings - 1) * batch.weighing_gap)
        notes = batch.weather[until]
        pulls = [drying_force.plain(t, 100 * min(1.0, max(0.05, h))) for t, h in notes]
        force = Weather(batch.weather_hours[until], pulls)
    fit = fit_drying(
        rows,
        drying_force=force,
        area_by_dry_mass=batch.area_by_dry_mass,
        prior=prior,
        dry_mass_sd=0.0035,
    )
    answer = fit.ready(target)
    if isinstance(answer, NotReady):
        return max(fit.now, answer.as_dry_as_can_be), float("inf"), float("inf")
    return answer.low, answer.median, answer.high


def report(found: list[Outcome]) -> str:
    lines = ["weigh-ins  weather  batches  held %  median width h  width / time to come"]
    for weighings in (3, 6, 10):
        for noted in (None, True, False):
            rows = [o for o in found if o.weighings == weighings and noted in (None, o.noted)]
            if not rows:
                continue
            finite = [o for o in rows if np.isfinite(o.width)]
            held = 100 * np.mean([o.held for o in rows])
            width = np.median([o.width for o in finite])
            share = np.median([o.width / (o.median - o.now + 1) for o in finite])
            early = 100 * np.mean([o.truth > o.high for o in rows])
            word = {None: "all", True: "noted", False: "not"}[noted]
            lines.append(
                f"{weighings:9d}  {word:>7}  {len(rows):7d}  {held:6.1f}  {width:14.1f}"
                f"  {share:8.2f}   later than stated {early:.1f} %,"
                f" no end stated {len(rows) - len(finite)}"
            )
    total = 100 * np.mean([o.held for o in found])
    lines.append(f"all forecasts: {len(found)}, held {total:.1f} %")
    return "\n".join(lines)


if __name__ == "__main__":
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 300
    seed = int(sys.argv[2]) if len(sys.argv) > 2 else 2026
    print(report(outcomes(count, seed)))
