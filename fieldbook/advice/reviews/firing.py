"""All that follows from a firing: state inside the brick, limits, stages, fuel, what came out."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from fieldbook.advice import firing_climb, firing_cooling, firing_stages, firing_state
from fieldbook.advice.context import Context
from fieldbook.advice.firing_case import FiringCase, case_of
from fieldbook.advice.results import Input, Result
from fieldbook.advice.review import Review
from fieldbook.calc import readings as curves
from fieldbook.calc.firing import FiringState


@dataclass
class FiringModel:
    """What screens draw: the curves of each place and the plan beside them."""

    origin: datetime
    """The moment that hours are counted from."""
    state: FiringState | None
    """`places[NAME].time face core …`: arrays, core and face as (low, middle, high) by time."""
    readings: dict[str, Any] = field(default_factory=dict)
    """Place to its readings: `hours value place probe where` each."""
    case: FiringCase | None = None


def fill(review: Review, context: Context) -> None:
    """Work out everything there is to say of a firing."""
    case = case_of(review, context)
    _question_readings(case)
    firing_state.march_on(case)
    firing_climb.add_climb(case)
    firing_climb.add_heat_reached(case)
    firing_state.add_state(case)
    firing_state.add_heat_work_left(case)
    firing_climb.add_allowed(case)
    firing_stages.add_stages(case)
    firing_stages.add_time_left(case)
    firing_stages.add_next_reading(case)
    firing_cooling.add_cooling(case)
    _add_peak_limit(case)
    review.model = FiringModel(
        case.log.origin,
        case.state,
        {place: series.readings for place, series in case.log.series.items()},
        case,
    )
    review.facts = facts_of(case)


def _question_readings(case: FiringCase) -> None:
    """Point out readings that no fire makes, and say that nothing is derived from them."""
    for reading, slip in case.log.doubted:
        case.review.question_at(
            reading.where,
            f"{reading.text} at {reading.place} is far off the readings around it: {slip}",
            "Correct the line if it is a slip; until then it stays, and the curve leaves it out.",
        )


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
        "overdue_since": due if due and due < case.context.now else None,
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
        "fastest_fall_through_quartz": firing_climb.strongest_fall_through_quartz(case),
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
