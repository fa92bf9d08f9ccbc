"""All that follows from a firing: state inside the brick, limits, stages, fuel, what came out."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime, timedelta
from functools import partial
from typing import Any, NamedTuple

from fieldbook.advice import (
    firing_air,
    firing_cautions,
    firing_climb,
    firing_cooling,
    firing_evidence,
    firing_heat,
    firing_losses,
    firing_outcome,
    firing_plan,
    firing_reached,
    firing_stages,
    firing_state,
)
from fieldbook.advice.context import Context
from fieldbook.advice.firing_case import FiringCase, case_of
from fieldbook.advice.firing_fuel import question_fuels
from fieldbook.advice.firing_heat import Heat
from fieldbook.advice.firing_later import LaterResults
from fieldbook.advice.firing_plan import Planned
from fieldbook.advice.firing_readings import Reading
from fieldbook.advice.results import Input, Result
from fieldbook.advice.review import Review
from fieldbook.calc import readings as curves
from fieldbook.calc.brick import Brick
from fieldbook.calc.firing import FiringState
from fieldbook.errors import Problem


@dataclass
class FiringModel:
    """What screens draw: the curves of each place and the plan beside them."""

    case: FiringCase
    planned: Planned | None = None
    _read: Review | None = field(default=None, repr=False, compare=False)

    @property
    def origin(self) -> datetime:
        """The moment that hours are counted from."""
        return self.case.log.origin

    @property
    def state(self) -> FiringState | None:
        """`places[NAME]`: arrays `time`, and `face core lag …` as (low, middle, high) by time."""
        results = self.case.review.results
        if self.case.phase == "unloaded" and isinstance(results, LaterResults):
            results.finish()
        return self.case.state

    @property
    def as_read(self) -> Review | None:
        """All that is derived as of the newest reading, which no later hour carries on."""
        newest = self.case.log.newest
        if newest is None:
            return None
        then = self.case.moment(newest.hours) + timedelta(seconds=1)  # cut off to whole seconds
        if self._read is None:
            self._read = self.case.context.as_of(then).review(self.case.firing.address)
        return self._read

    def __getstate__(self) -> dict[str, Any]:
        """Packed without what is worked out again when asked for."""
        return {**self.__dict__, "_read": None}

    @property
    def readings(self) -> dict[str, tuple[Reading, ...]]:
        """What was read, by place."""
        return {place: series.readings for place, series in self.case.log.series.items()}

    @property
    def plan(self) -> Planned | None:
        """The plan, worked out when first asked for: `plan.plan.time`, `.face`, `.core`."""
        self.case.review.results.get("plan")
        return self.planned


INSIDE = frozenset(
    {
        *firing_state.QUANTITIES,
        "heat_work_left",
        "spread",
        "allowed_climb",
        "climb_is_limited_by",
        "allowed_fall",
        "fall_is_limited_by",
        "stages",
        "losses",
    }
)
"""What takes a march through the bricks."""


def fill(review: Review, context: Context) -> None:
    """Work out everything there is to say of a firing."""
    case = case_of(review, context)
    firing_evidence.take_up(case)
    firing_cautions.question_readings(case)
    firing_cautions.question_loads(case)
    question_fuels(case.firing, review)
    firing_cautions.add_cautions(case)
    firing_climb.add_climb(case)
    firing_reached.add_heat_reached(case)
    _add_peak_limit(case)
    review.model = model = FiringModel(case)
    if case.phase == "unloaded":
        review.facts = facts_of(case)
        _add_supplies(case, model)
        firing_losses.add_yield(case)
        review.results = LaterResults(review.results, INSIDE, partial(_take_inside, case))
        return
    _add_inside(case)
    firing_stages.add_time_left(case)
    firing_stages.add_next_reading(case)
    firing_cooling.add_cooling(case)
    review.facts = facts_of(case)
    _add_supplies(case, model)
    if case.phase != "planned":
        names = frozenset({"plan"})
        review.results = LaterResults(review.results, names, partial(_take_plan, case, model))


class Inside(NamedTuple):
    """What a march through the bricks of a firing gives."""

    results: dict[str, Result]
    problems: list[Problem]
    state: FiringState | None
    bricks: dict[str, Brick]


def _take_inside(case: FiringCase) -> None:
    """Take up what a march gives; marched once, and kept."""
    inside = case.context.once(_inside, case.firing.address)
    review = case.review
    review.results.update(inside.results)
    review.problems += [each for each in inside.problems if each not in review.problems]
    case.state, case.bricks = inside.state, inside.bricks


def _inside(context: Context, address: str) -> Inside:
    review = context.review(address)
    assert review is not None, "only a firing that was reviewed is looked into"
    case: FiringCase = review.model.case
    known = len(review.problems)
    later = review.results
    assert isinstance(later, LaterResults), "only a firing that is over puts this off"
    later.fill(partial(_add_inside, case))
    results = {name: dict.__getitem__(later, name) for name in dict.keys(later) if name in INSIDE}
    return Inside(results, review.problems[known:], case.state, case.bricks)


def _add_inside(case: FiringCase) -> None:
    """What takes a march: the state, what is allowed, the stages, why bricks were lost."""
    firing_state.march_on(case)
    firing_state.add_state(case)
    firing_evidence.add_evidence(case)
    firing_state.add_heat_work_left(case)
    firing_climb.add_allowed(case)
    firing_stages.add_stages(case)
    firing_losses.add_losses(case)


def _add_supplies(case: FiringCase, model: FiringModel) -> None:
    """Plan, heat, fuel, air; the plan is made for a firing that is still to be lit."""
    planned: Planned | None = None
    if case.phase == "planned":
        planned, needs, why = firing_plan.make_plan(case)
        model.planned = planned
        firing_plan.add_plan(case, planned, needs, why)
    hours = _fire_hours(case, planned)
    heat = firing_heat.heat_of(case, hours)
    firing_heat.add_heat(case, heat)
    firing_outcome.add_outcome(case, heat)
    firing_air.add_air(case, heat)
    if planned is not None:
        firing_plan.add_supplies(case, planned, heat)
    _supply_facts(case, heat, planned, hours)


def _take_plan(case: FiringCase, model: FiringModel) -> None:
    """The plan of a fire that burns: what it would be from its lighting on."""
    if model.planned is not None:
        return
    planned, needs, why = firing_plan.make_plan(case)
    model.planned = planned
    firing_plan.add_plan(case, planned, needs, why)
    if planned is not None:
        heat = firing_heat.heat_of(case, planned.fire_hours)
        firing_plan.add_supplies(case, planned, heat)


def _fire_hours(case: FiringCase, planned: Planned | None) -> float:
    """Hours of fire: of the plan, so far and to go, or as they were."""
    if planned is not None:
        return planned.fire_hours
    events = case.timeline.events
    end = events.get("sealed") or events.get("cooling")
    if events.lit is None:
        return 0.0
    if case.timeline.past_peak:
        if end is not None:
            return (end - events.lit).total_seconds() / 3600
        tops = [max(s.readings, key=lambda r: r.value).hours for s in case.log.series.values()]
        return max(tops, default=0.0)
    return case.context.hours_since(events.lit) + _hours_to_go(case)


def _hours_to_go(case: FiringCase) -> float:
    """From now to the end of the hold, at the climb it has, else at the one allowed."""
    left = case.review.get("time_left")
    if left is not None:
        return left.number + case.hold_wanted
    found = case.review.results.get("time_left")
    slow = found.extra.get("at_allowed") if found else None
    return float(slow) + case.hold_wanted if slow is not None else 12.0


def _supply_facts(case: FiringCase, heat: Heat, planned: Planned | None, hours: float) -> None:
    facts = dict(case.review.facts)
    burning = case.phase in ("lit", "climbing", "holding")
    to_go = planned.fire_hours if planned else _hours_to_go(case) if burning else None
    facts["fire_hours"] = hours
    if planned is not None:
        facts["planned_hours"] = planned.fire_hours
        facts["hours_to_peak"] = planned.plan.peak_at
    excess = _excess_water(case)
    if case.phase == "planned" and excess > 0:
        cost = firing_plan.wetter(case, heat, excess)
        facts["wet_hours"], facts["wet_wood"] = cost.get("hours"), cost.get("fuel")
    facts |= firing_air.air_facts(case, to_go)
    case.review.facts = facts


TARGET_MOISTURE = 3.0
"""% of the dry mass where the maker has set none; common practice."""


def _excess_water(case: FiringCase) -> float:
    """% of the dry mass by which the wettest batch is wetter than its target."""
    practice = case.context.notebook.settings.practice
    general = practice.target_moisture if practice else None
    found = [0.0]
    for lot in case.loaded.lots:
        target = (lot.batch.target_moisture if lot.batch else None) or general
        found.append(lot.moisture[1] - (target.value if target else TARGET_MOISTURE))
    return max(found)


def _add_peak_limit(case: FiringCase) -> None:
    said = case.loaded.peak_limit_from
    case.add(
        Result(
            name="peak_limit",
            value=case.loaded.peak_limit,
            unit="°C",
            method="the least of the mixes in the load; no plan and no action takes the hottest "
            "place above it",
            source=said.source,
            from_=(said.where,) if said.where else (),
            inputs=(Input(said.name, said.text, said.where, said.source),),
        )
    )


def facts_of(case: FiringCase) -> dict[str, Any]:
    """What rules ask for that is no derived value."""
    timeline, loaded = case.timeline, case.loaded
    newest = case.log.newest
    due = timeline.due
    thickest, wettest = loaded.thickest, loaded.wettest
    return {
        "phase": timeline.phase,
        "events": dict(timeline.events.at),
        "events_where": dict(timeline.events.where),
        "lit_by": timeline.events.lit_by,
        "last_reading": case.moment(newest.hours) if newest else None,
        "reading_every": timeline.interval,
        "overdue_since": due if due and case.context.is_past(due) else None,
        "thickest": thickest,
        "thickness": loaded.brick.thickness if loaded.brick else None,
        "wettest": wettest,
        "moisture_known": all(lot.moisture_known for lot in loaded.lots),
        "count": loaded.count,
        "dry_mass": loaded.dry_mass,
        "kiln": case.kiln,
        "places": tuple(case.log.series),
        "stage": firing_stages.current_stage(case),
        "falling_places": _falling_places(case),
        "doubted": tuple((r.where, slip) for r, slip in case.log.doubted),
        "fastest_fall_through_quartz": firing_climb.fall_through_quartz(case),
    }


def _falling_places(case: FiringCase) -> tuple[tuple[str, float], ...]:
    """Places that fall while another climbs, with the fall in K/h, the fastest first."""
    slopes = {
        place: slope
        for place, series in case.fresh.items()
        if (slope := curves.climb(series.curve)) is not None
    }
    if case.timeline.past_peak or max(slopes.values(), default=0.0) <= 5:
        return ()
    falling = [(place, -slope) for place, slope in slopes.items() if slope < -10]
    return tuple(sorted(falling, key=lambda pair: -pair[1]))
