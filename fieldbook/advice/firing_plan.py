"""The plan of a firing by the clock: when to climb, hold and read, and who stokes when."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import datetime, timedelta
from functools import lru_cache
from itertools import pairwise
from typing import Any, NamedTuple

from fieldbook.advice.firing_case import FiringCase
from fieldbook.advice.firing_climb import taught
from fieldbook.advice.firing_cooling import USUAL_CONSTANT
from fieldbook.advice.firing_daylight import SOURCE as SUN
from fieldbook.advice.firing_daylight import dark_hours
from fieldbook.advice.firing_heat import Heat, kiln_spread
from fieldbook.advice.firing_stages import tables_of
from fieldbook.advice.results import Input, Result
from fieldbook.advice.watches import LAST_CLIMB, WATCH
from fieldbook.calc import plan as planning
from fieldbook.calc.brick import Brick
from fieldbook.calc.heat_balance import steam_heat
from fieldbook.calc.heat_work import equivalent_time
from fieldbook.calc.uncertainty import nominal
from fieldbook.errors import FieldbookError
from fieldbook.frozen import frozen

WETTER = 2.0
"""% of the dry mass more, for what a wetter load would cost; ours."""
LEAST_PEAK = 500.0
"""degC; below that clay is not fired at all; from memory."""
LONGEST_HOLD = 12.0
"""h; a peak lowered so far that it needs more is no plan; common practice."""


@frozen
class Planned:
    """A plan with what it was made from."""

    plan: planning.FiringPlan
    start: datetime
    start_said: bool
    spread: float
    notes: tuple[str, ...]
    inputs: tuple[Input, ...]

    @property
    def fire_hours(self) -> float:
        """From lighting to sealing."""
        return self.plan.sealed_at

    def clock(self, hours: float) -> datetime:
        """The moment so many hours after lighting."""
        return (self.start + timedelta(hours=hours)).replace(second=0, microsecond=0)


def make_plan(case: FiringCase) -> tuple[Planned | None, tuple[str, ...], str]:
    """A plan that keeps the rules; else what it needs, or why there is none."""
    brick, peak = case.loaded.brick, case.peak_wanted
    needs = list(case.loaded.needs)
    if peak is None:
        needs.append("plan.peak")
    if brick is None or peak is None:
        return None, tuple(dict.fromkeys(needs or ["load"])), ""
    spread, spread_from = kiln_spread(case)
    goal = goal_of(case, peak, spread or 0.0)
    if isinstance(goal, str):
        return None, (), goal
    try:
        plan = _plan_firing(brick, goal.peak, goal.hold, terms_of(case, spread or 0.0))
    except FieldbookError as refusal:
        return None, (), str(refusal)
    learnt = taught(case, "climb").said
    inputs = [*case.plan_inputs, case.loaded.peak_limit_from]
    inputs += [said for said in (spread_from, learnt) if said]
    inputs += [lot.moisture_from for lot in case.loaded.lots]
    notes = list(goal.notes)
    if spread is None:
        notes.append(
            "the spread of this kiln is not known yet: the hottest place may pass the peak"
        )
    start, said = _start(case)
    return Planned(plan, start, said, spread or 0.0, tuple(notes), tuple(inputs)), (), ""


class Goal(NamedTuple):
    """The peak and the hold that are planned for."""

    peak: float
    hold: float
    notes: tuple[str, ...] = ()


def goal_of(case: FiringCase, peak: float, spread: float) -> Goal | str:
    """As wanted, or held longer below it where the hottest place stands no more; else why not."""
    hold, limit = case.hold_wanted, case.loaded.peak_limit
    if peak + spread <= limit:
        return Goal(peak, hold)
    lower = limit - spread
    longer = math.inf
    if lower >= LEAST_PEAK:
        longer = float(equivalent_time.plain(hold, peak, lower))
    if longer > LONGEST_HOLD:
        return (
            f"the hottest place would reach {peak + spread:.0f} °C, above the limit of "
            f"{limit:.0f} °C; {lower:.0f} °C would have to be held far too long: "
            "wish for less, or even the kiln out"
        )
    note = (
        f"{peak:.0f} °C would take the hottest place above {limit:.0f} °C; "
        f"{lower:.0f} °C held {longer:.1f} h does the same work"
    )
    return Goal(lower, longer, (note,))


def terms_of(case: FiringCase, spread: float) -> planning.Terms:
    """What the plan of a firing keeps to."""
    own, published = tables_of(case.context.notebook.settings)
    return planning.Terms(
        learnt=taught(case, "climb").factor,
        greatest=case.greatest_climb or planning.GREATEST_CLIMB,
        spread=spread,
        peak_limit=case.loaded.peak_limit + 1e-6,
        cooling_time=_cooling_time(case),
        open_below=case.open_below[0],
        reading_every=case.timeline.reading_every,
        table=None if published else tuple(own),
    )


_plan_firing = lru_cache(maxsize=16)(planning.plan_firing)
"""A plan hangs on its numbers alone; a screen asks for the same one again and again."""
_smoking_hours = lru_cache(maxsize=32)(planning.smoking_hours)


def _cooling_time(case: FiringCase) -> float:
    review = case.context.review(case.kiln.address) if case.kiln else None
    found = review.number("cooling_constant") if review else None
    return found or USUAL_CONSTANT[1]


def _start(case: FiringCase) -> tuple[datetime, bool]:
    """When it is lit: as it was, as planned, else now."""
    lit = case.timeline.events.lit
    zone = case.context.zone
    if lit is not None and case.phase != "planned":
        return lit.astimezone(zone), True
    start = case.firing.plan.start if case.firing.plan else None
    if start is not None:
        at = start.at.astimezone(zone)
        return (at.replace(hour=6) if start.half_hours else at), True
    return case.context.now, False


def add_plan(case: FiringCase, planned: Planned | None, needs: tuple[str, ...], why: str) -> None:
    """`plan`: a line a step, with clock times; the whole of it beside them."""
    if planned is None:
        case.missing("plan", None, *needs, because=why)
        return
    plan = planned.plan
    extra: dict[str, Any] = {
        "start": planned.clock(0).isoformat(),
        "start_said": planned.start_said,
        "peak": plan.peak,
        "hold": plan.hold,
        "hottest": plan.hottest,
        "peak_limit": case.loaded.peak_limit,
        "peak_at": planned.clock(plan.peak_at).isoformat(),
        "sealed_at": planned.clock(plan.sealed_at).isoformat(),
        "opens_at": planned.clock(plan.opens_at).isoformat()
        if math.isfinite(plan.opens_at)
        else None,
        "fire_hours": planned.fire_hours,
        "readings": [t.isoformat() for t in reading_times(planned)],
        "watches": watches(planned),
        "notes": [*planned.notes, *plan.notes],
    }
    extra |= darkness(case, planned)
    case.add(
        Result(
            name="plan",
            value=[_row(planned, step) for step in plan.steps],
            unit=None,
            extra=extra,
            method="each climb the one allowed there for the thickest and wettest brick; each "
            "stage left by its condition; the hold by heat-work",
            source="the rules of the allowed climb; stages by Beamish & Donovan 1989 unless the "
            "maker's own",
            from_=tuple(x.where for x in planned.inputs if x.where),
            inputs=planned.inputs,
        )
    )


def _row(planned: Planned, step: planning.Step) -> dict[str, Any]:
    return {
        "name": step.stage,
        "from": planned.clock(step.begins).isoformat(),
        "to": planned.clock(step.ends).isoformat(),
        "begins": step.begins,
        "ends": step.ends,
        "start": step.start,
        "end": step.end,
        "climb": step.climb,
        "limited_by": step.limited_by,
        "reading_every": step.reading_every,
        "do": "hold" if step.climb < 0.5 else "climb",
    }


def reading_times(planned: Planned) -> list[datetime]:
    """When to read, from lighting to sealing."""
    times, hour = [], 0.0
    while hour < planned.fire_hours - 1e-6:
        step = next(s for s in planned.plan.steps if s.ends > hour + 1e-9)
        hour = min(hour + step.reading_every, planned.fire_hours)
        times.append(planned.clock(hour))
    return times


def watches(planned: Planned) -> list[dict[str, Any]]:
    """Spans that one person stokes, equal and of at most six hours."""
    hours = planned.fire_hours
    count = max(math.ceil(hours / WATCH - 1e-9), 1)
    edges = [hours * i / count for i in range(count + 1)]
    return [
        {
            "name": f"watch {i + 1}",
            "from": planned.clock(a).isoformat(),
            "to": planned.clock(b).isoformat(),
            "hours": b - a,
        }
        for i, (a, b) in enumerate(pairwise(edges))
    ]


def darkness(case: FiringCase, planned: Planned) -> dict[str, Any]:
    """Which part of the fire falls between sunset and sunrise, where the place is known."""
    site = case.context.notebook.settings.site
    if site is None or site.latitude is None or site.longitude is None:
        return {"dark_needs": ["site.latitude", "site.longitude"]}
    end = planned.clock(planned.fire_hours)
    dark = dark_hours(planned.clock(0), end, float(site.latitude), float(site.longitude))
    peak = planned.clock(planned.plan.peak_at)
    last = peak - timedelta(hours=LAST_CLIMB)
    return {
        "dark": [{"from": _minute(a), "to": _minute(b)} for a, b in dark],
        "dusk": [_minute(a) for a, _ in dark if a > planned.clock(0)],
        "last_climb_in_daylight": not any(a < peak and b > last for a, b in dark),
        "dark_source": SUN,
    }


def _minute(moment: datetime) -> str:
    return moment.replace(second=0, microsecond=0).isoformat()


def add_supplies(case: FiringCase, planned: Planned, heat: Heat) -> None:
    """Wood by stage, air, fan and battery, and what a wetter load would cost, into the plan."""
    found = case.review.results["plan"]
    needed = case.review.number("fuel_needed")
    rows = [dict(row) for row in found.value] if isinstance(found.value, list) else []
    extra = dict(found.extra)
    if needed is not None:
        shares = _shares(planned)
        for row, part in zip(rows, shares, strict=True):
            row["fuel"] = needed * part
        by_stage: dict[str, float] = {}
        for row in rows:
            by_stage[row["name"]] = by_stage.get(row["name"], 0.0) + row["fuel"]
        extra["fuel"] = needed
        extra["fuel_by_stage"] = by_stage
        extra["wetter"] = if_wetter(case, heat, WETTER)
    for name in ("air_needed", "draught", "fan_power", "battery", "air_ratio_allowed"):
        value = case.review.number(name)
        if value is not None:
            extra[name] = value
    battery = case.review.get("battery")
    if battery is not None and "Ah" in battery.extra:
        extra["battery_Ah"] = battery.extra["Ah"]
    case.add(replace(found, value=rows, extra=extra))


def _shares(planned: Planned) -> list[float]:
    """The part of the fuel each step takes: what ware and kiln take up, and what walls lose."""
    steps = planned.plan.steps
    peak, hours = planned.plan.peak, max(planned.fire_hours, 1e-6)
    mean = sum((s.start + s.end) / 2 * (s.ends - s.begins) for s in steps) / hours
    weights = []
    for step in steps:
        rise = max(step.end - step.start, 0.0) / peak
        kept = (step.start + step.end) / 2 * (step.ends - step.begins) / hours / max(mean, 1e-6)
        hot = 0.6 + 0.8 * (step.start + step.end) / 2 / peak
        weights.append(hot * (0.6 * rise + 0.4 * kept))
    total = sum(weights)
    return [weight / total for weight in weights]


def wetter(case: FiringCase, heat: Heat, more: float) -> dict[str, float]:
    """What the load costs by being so much wetter [% of the dry mass] than it might be."""
    return _cost(case, heat, more, now=0.0, then=-more)


def if_wetter(case: FiringCase, heat: Heat, more: float) -> dict[str, float]:
    """What so much more water [% of the dry mass] would cost."""
    return _cost(case, heat, more, now=more, then=0.0)


def _cost(
    case: FiringCase, heat: Heat, more: float, *, now: float, then: float
) -> dict[str, float]:
    """Hours and kg of fuel that one moisture costs over another, both as off from the load's own.

    The hours are those of the planner, run with either load.
    """
    brick, mass = case.loaded.brick, case.loaded.dry_mass
    if brick is None or mass is None:
        return {"moisture": more}
    terms = terms_of(case, kiln_spread(case)[0] or 0.0)
    try:
        hours = _smoking_hours(_off(brick, now), terms) - _smoking_hours(_off(brick, then), terms)
    except FieldbookError:
        return {"moisture": more}
    value = float(nominal(heat.kinds[0].value))
    needed = case.review.get("heat_needed")
    useful = 0.3
    if needed is not None:
        heats = needed.extra["terms"]
        useful = sum(heats[n] for n in ("ware", "free water", "reactions")) / needed.number
    steam = mass * more / 100 * float(steam_heat.plain(300.0)) / 1000
    return {"moisture": more, "hours": hours, "fuel": steam / value / max(useful, 0.05)}


def _off(brick: Brick, percent: float) -> Brick:
    """The brick with so much more water, % of the dry mass."""
    low, middle, high = (max(part + percent / 100, 0.0) for part in brick.free_water)
    return replace(brick, free_water=(low, middle, high))
