"""How fast the kiln climbs or falls, how fast it may, how hot it was and for how long."""

from __future__ import annotations

from itertools import pairwise
from typing import Any, NamedTuple

from fieldbook.advice.firing_case import FiringCase
from fieldbook.advice.firing_readings import Series
from fieldbook.advice.firing_state import by_place, standing
from fieldbook.advice.results import Input, Result
from fieldbook.calc import readings as curves
from fieldbook.calc.brick import Brick
from fieldbook.calc.firing import PlaceState, march
from fieldbook.calc.rates import (
    FIRED,
    GREEN,
    QUARTZ_RATE,
    SOURCES,
    Allowed,
    Strength,
    allowed_climb,
    allowed_fall,
)
from fieldbook.calc.readings import Readings
from fieldbook.records import Test

SLOPE = "slope of the last three readings or the last half hour, whichever is longer"
COLD = 100.0
"""degC below which a fall cracks nothing; common practice opens there."""
RISK = "cracks with sharp edges and a dull ring; fallen too fast, most of all through 573 °C"
"""Duggal, Building Materials; Fortuna 2000."""
TENSION = 0.5
"""Of the modulus of rupture that a brittle body stands in plain tension; from memory."""
QUARTZ = 573.0
"""degC; quartz inversion; from memory."""


def add_climb(case: FiringCase) -> None:
    """`climb`, `steepest` and, once the fire is let go, `fall`."""
    slopes = {
        place: slope
        for place, series in case.fresh.items()
        if (slope := curves.climb(series.curve)) is not None
    }
    if not slopes:
        for name in ("climb", "steepest"):
            case.missing(name, "K/h", "log: a second temperature at one place")
        return
    place = max(slopes, key=lambda p: (slopes[p], p))
    case.add(_slope_result(case, "climb", place, slopes, 1.0))
    steps = {
        p: s for p, x in case.log.series.items() if (s := curves.steepest(x.curve)) is not None
    }
    worst = max(steps, key=lambda p: (abs(steps[p]), p))
    case.add(
        Result(
            name="steepest",
            value=steps[worst],
            unit="K/h",
            each=by_place(steps),
            extra={"place": worst},
            method="steepest single step from one reading to the next, with its sign",
            from_=_two_lines(case.log.series[worst], steps[worst]),
        )
    )
    if case.phase in ("opened", "unloaded"):
        _add_fastest_fall(case)
    elif case.timeline.past_peak or case.phase == "holding" or min(slopes.values()) < -10:
        place = min(slopes, key=lambda p: (slopes[p], p))
        case.add(_slope_result(case, "fall", place, slopes, -1.0))


def _add_fastest_fall(case: FiringCase) -> None:
    """Once it is open, the fastest fall of all that were read."""
    falls: dict[str, tuple[float, str, str]] = {}
    for place, series in case.log.series.items():
        for before, after in pairwise(series.readings):
            rate = (before.value - after.value) / (after.hours - before.hours)
            if before.value > COLD and rate > falls.get(place, (0.0, "", ""))[0]:
                falls[place] = (rate, before.where, after.where)
    if not falls:
        return
    place = max(falls, key=lambda p: (falls[p][0], p))
    case.add(
        Result(
            name="fall",
            value=falls[place][0],
            unit="K/h",
            each=by_place({p: rate for p, (rate, _, _) in falls.items()}),
            extra={"place": place},
            method="fastest fall from one reading to the next, while it cooled",
            from_=falls[place][1:],
        )
    )


def _slope_result(
    case: FiringCase, name: str, place: str, slopes: dict[str, float], sign: float
) -> Result:
    series = case.fresh[place]
    rows = series.readings[-3:]
    away = [row.hours - sum(r.hours for r in rows) / len(rows) for row in rows]
    spread = sum(x * x for x in away) ** 0.5
    step = max(row.step for row in rows)
    return Result(
        name=name,
        value=sign * slopes[place],
        unit="K/h",
        plus_minus=step / spread if spread > 0 else None,
        each=by_place({p: sign * s for p, s in slopes.items()}),
        extra={"place": place},
        method=f"{SLOPE}, at the place that {'climbs' if sign > 0 else 'falls'} fastest",
        source="least squares",
        formula="sum (t - t_mean) T / sum (t - t_mean)^2",
        from_=tuple(row.where for row in rows),
        inputs=tuple(Input(f"reading at {place}", row.text, row.where) for row in rows),
        age=case.age,
    )


def _two_lines(series: Series, slope: float) -> tuple[str, ...]:
    for before, after in zip(series.readings, series.readings[1:], strict=False):
        if abs((after.value - before.value) / (after.hours - before.hours) - slope) < 1e-6:
            return (before.where, after.where)
    return ()


def add_allowed(case: FiringCase) -> None:
    """`allowed_climb` and `allowed_fall` with the rule that sets each."""
    brick = case.loaded.brick
    if brick is None:
        needs = case.loaded.needs or ("load",)
        for name in ("allowed_climb", "allowed_fall"):
            case.missing(name, "K/h", *needs)
            case.missing(f"{name.removeprefix('allowed_')}_is_limited_by", None, *needs)
        return
    pairs = _places_with_bricks(case, brick)
    if not case.timeline.past_peak:
        learnt = taught(case, "climb")
        climbs = {
            p: allowed_climb(
                s, b, strength=GREEN, learnt=learnt.factor, greatest=case.greatest_climb
            )
            for p, (s, b) in pairs.items()
        }
        _add_allowed(case, "climb", climbs, pairs, learnt.said)
    if case.state is not None and (case.timeline.past_peak or case.phase == "holding"):
        fired, said = _fired_strength(case)
        learnt = taught(case, "fall")
        falls = {
            p: _with_quartz(case, p, allowed_fall(s, b, strength=fired, learnt=learnt.factor))
            for p, (s, b) in pairs.items()
        }
        _add_allowed(case, "fall", falls, pairs, said, learnt.said)
        _judge_fall(case)


def _with_quartz(case: FiringCase, place: str, allowed: Allowed) -> Allowed:
    """Once it is open, the quartz rule held too where the kiln fell through its zone."""
    series = case.log.series.get(place)
    if case.phase not in ("opened", "unloaded") or series is None or allowed.rate <= QUARTZ_RATE:
        return allowed
    if not any(not found.rising for found in curves.crossings(series.curve, QUARTZ)):
        return allowed
    rules = {**allowed.rules, "quartz": QUARTZ_RATE}
    return Allowed(QUARTZ_RATE, "quartz", rules, SOURCES["quartz"])


def _judge_fall(case: FiringCase) -> None:
    """Say of a fall that is above what is allowed what it risks."""
    fall, allowed = case.review.get("fall"), case.review.get("allowed_fall")
    if fall is None or allowed is None:
        return
    extra = dict(fall.extra)
    quartz = fall_through_quartz(case)
    if quartz is not None:
        extra["through_quartz"] = quartz[0]
    if fall.number > allowed.number or (quartz is not None and quartz[0] > QUARTZ_RATE):
        extra |= {"above_allowed": True, "risks": RISK}
    case.add(fall.but(extra=extra))


def _places_with_bricks(case: FiringCase, brick: Brick) -> dict[str, tuple[PlaceState, Brick]]:
    """The fresh places with their bricks; before any reading a cold kiln stands for them."""
    now = standing(case)
    if now is not None:
        return {p: (s, case.bricks[p]) for p, s in now.places.items()}
    cold = Readings([0.0], [15.0], [5.0], "face")  # type: ignore[arg-type]
    return {"": (march({"": cold}, brick).places[""], brick)}


def _add_allowed(
    case: FiringCase,
    name: str,
    allowed: dict[str, Allowed],
    pairs: dict[str, tuple[PlaceState, Brick]],
    *said: Input | None,
) -> None:
    place = min(allowed, key=lambda p: (allowed[p].rate, p))
    least, brick = allowed[place], pairs[place][1]
    rules = {rule: rate for rule, rate in least.rules.items() if rate < 1e6}
    inputs = _limit_inputs(case, brick)
    series = case.log.series.get(place)
    free = "nothing limits it" if least.rate > 1e6 else ""
    extra: dict[str, Any] = {"limited_by": least.limited_by, "rules": rules}
    result = case.add(
        Result(
            name=f"allowed_{name}",
            value=None if free else least.rate,
            unit="K/h",
            low=None if free else _slow(least),
            high=None if free else _fast(least),
            each=by_place({p: a.rate for p, a in allowed.items() if p and a.rate < 1e6}),
            extra=extra | ({"place": place} if place else {}),
            because=free,
            method=METHODS[name],
            source=least.source,
            formula=_FORMULAS.get(least.limited_by, ""),
            from_=(series.last.where,) if series else (),
            inputs=(*inputs, *(each for each in said if each)),
            age=case.age,
        )
    )
    _add_limited_by(case, f"{name}_is_limited_by", least, result)


def _add_limited_by(case: FiringCase, name: str, least: Allowed, of_: Result) -> None:
    case.add(
        Result(
            name=name,
            value=least.limited_by,
            unit=None,
            method=of_.method,
            source=least.source,
            from_=of_.from_,
        )
    )


METHODS = {
    "climb": "the least of steam, stress and quartz for the thickest and wettest brick",
    "fall": "the stress rule for fired brick, and 50 K/h while face or core is within 620 to "
    "520 °C",
}
_FORMULAS = {
    "stress": "climb: 3 s (1 - nu)/(E a) * 2 alpha / L^2; fall: half of it",
    "steam": "dry at the core before it passes 110 °C, at the drying time of its thickness",
    "quartz": "50 K/h between 520 and 620 °C",
}


def _slow(allowed: Allowed) -> float:
    """The stress rule with the least diffusivity; steam and quartz are taken safe already."""
    return allowed.rate / (2.0 if allowed.limited_by == "stress" else 1.0)


def _fast(allowed: Allowed) -> float:
    return allowed.rate * (1.5 if allowed.limited_by == "stress" else 1.0)


def _limit_inputs(case: FiringCase, brick: Brick) -> tuple[Input, ...]:
    thickest, wettest = case.loaded.thickest, case.loaded.wettest
    inputs = []
    if thickest is not None:
        where = case.loaded.bench_where if brick.bench else thickest.size_from
        inputs.append(Input("thickness", f"{brick.thickness * 1000:.0f} mm", where))
    if wettest is not None:
        inputs.append(wettest.moisture_from)
    return tuple(inputs)


class Taught(NamedTuple):
    """A factor on the stress rule that the mixes of a load have taught, and by what."""

    factor: float
    said: Input | None


def taught(case: FiringCase, what: str) -> Taught:
    """What sound and cracked batches taught of `climb` or `fall`: the least of the mixes."""
    found: list[Taught] = []
    for lot in case.loaded.lots:
        review = case.context.review(lot.mix.address) if lot.mix else None
        if review is None or lot.mix is None:
            continue
        factor = float(review.facts.get(f"{what}_factor", 1.0))
        learnt = review.facts.get(f"{what}_learnt")
        said = None
        if factor != 1.0 and learnt is not None:
            text = f"x {factor:.2f} by {learnt.bricks} bricks of {', '.join(learnt.firings)}"
            said = Input(f"{what} that {lot.mix.name} came through", text, lot.mix.path)
        found.append(Taught(factor, said))
    return min(found, key=lambda each: each.factor, default=Taught(1.0, None))


def _fired_strength(case: FiringCase) -> tuple[Strength, Input | None]:
    """The strength of the fired brick: the mix's own modulus of rupture where it was tested."""
    mixes = {lot.batch.mix for lot in case.loaded.lots if lot.batch}
    found: list[tuple[float, str]] = []
    for test in case.context.notebook.of(Test):
        bent = any(s.bending_load or s.lever for s in test.specimens.values())
        if not bent or test.firing == case.firing.name:
            continue
        batch = case.context.notebook.entry(f"batches/{test.batch}")
        if batch is not None and getattr(batch, "mix", None) in mixes:
            review = case.context.review(test.address)
            value = review.number("modulus_of_rupture") if review else None
            if value:
                found.append((value, test.path))
    if not found:
        return FIRED, None
    value, where = min(found)
    strength = tested_strength(value)
    return strength, Input("modulus of rupture of the mix", f"{value:.1f} MPa", where)


def tested_strength(megapascal: float) -> Strength:
    """Fired brick of a tested modulus of rupture."""
    return FIRED._replace(
        strength=megapascal * 1e6 * TENSION,
        source="half the modulus of rupture as tested (half: from memory); modulus of elasticity "
        f"and the rest: {FIRED.source}",
    )


def fall_through_quartz(case: FiringCase) -> tuple[float, str] | None:
    """The fastest fall through 573 °C, K/h, and where it was read; None where none was."""
    falls = []
    for series in case.log.series.values():
        for found in curves.crossings(series.curve, QUARTZ, case.timeline.reading_every):
            if not found.rising:
                after = next(row for row in series.readings if row.hours >= found.time - 1e-9)
                falls.append((-found.slope, after.where))
    return max(falls, default=None)
