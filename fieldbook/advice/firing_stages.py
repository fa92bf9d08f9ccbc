"""Stages of a firing: where it is, what is over at the core, how long to go."""

from __future__ import annotations

from typing import Any

from fieldbook.advice.firing_case import FiringCase
from fieldbook.advice.firing_state import least_advanced, needs_of_state, standing
from fieldbook.advice.results import Result
from fieldbook.calc.firing import PlaceState
from fieldbook.calc.heat_work import wanted_temperature
from fieldbook.calc.stages import Stage, StageState, in_range, own_stages, stages, state_of
from fieldbook.errors import Problem
from fieldbook.records import Settings

OVER = {"yes": True, "no": False, "unknown": None}
"""Whether a stage is over: None where its limit lies within what is known."""
FAR_BELOW = 50.0
"""K below every published row from which a maker's own row is pointed out."""
USUAL_PEAK = 950.0
"""degC; stands in for the heat-work wanted where no peak is planned; common practice."""


def tables_of(settings: Settings) -> tuple[tuple[Stage, ...], tuple[Stage, ...] | None]:
    """The stages in use and, where they are the maker's own, the published ones beside them."""
    practice = settings.practice
    rows = []
    for name, row in (practice.stages if practice else {}).items():
        if row.from_ and row.to:
            ending = row.to.value - row.to.half if row.to.how == "range" else None
            end = row.to.value + (row.to.half if row.to.how == "range" else 0.0)
            rows.append((name, row.from_.value, end, ending))
    return (own_stages(rows), stages()) if rows else (stages(), None)


def add_stages(case: FiringCase) -> None:
    """`stages`: each with its range, its condition at the core, and how far it has got."""
    table, published = tables_of(case.context.notebook.settings)
    behind, now = least_advanced(case), standing(case)
    flash = bool(case.firing.plan and case.firing.plan.flash)
    rows = [stage for stage in table if flash or not stage.wanted_only]
    if behind is None or now is None:
        listed = [_bare(stage) for stage in rows]
    else:
        listed = [_row(case, stage, behind, now.hottest, table) for stage in rows]
    extra: dict[str, Any] = {"place": behind.place} if behind else {}
    if published:
        extra["published"] = [_bare(stage) for stage in published if flash or not stage.wanted_only]
    series = case.log.series.get(behind.place) if behind else None
    case.add(
        Result(
            name="stages",
            value=listed,
            unit=None,
            extra=extra,
            method="a stage is a range of temperature and a condition at the core of the coldest "
            "brick; it is over when the condition is met, not when the thermometer says so",
            source="; ".join(dict.fromkeys(stage.source for stage in rows)),
            from_=(series.last.where,) if series else (),
            age=case.age,
        )
    )
    case.review.problems.extend(
        table_problems(case.context.notebook.settings, case.loaded.peak_limit)
    )


def _bare(stage: Stage) -> dict[str, Any]:
    return {
        "name": stage.name,
        "from": stage.low,
        "to": stage.high,
        "condition": stage.means,
        "source": stage.source,
        "also": [{"from": a, "to": b, "source": source} for a, b, source in stage.also],
    }


def _row(
    case: FiringCase, stage: Stage, behind: PlaceState, hottest: PlaceState, table: Any
) -> dict[str, Any]:
    wanted = _wanted(case)
    cold = state_of(
        stage, hottest if stage.name == "cooling" else behind, wanted, case.open_below[0]
    )
    hot = state_of(stage, hottest, wanted, case.open_below[0])
    face = behind.now("face")[1]
    here = dict(in_range(face, table))
    return {
        **_bare(stage),
        "state": _word(cold, stage.name in here, here.get(stage.name, False)),
        "over": OVER[cold.done],
        "over_at_hottest": OVER[hot.done],
        "in_range": stage.name in here,
        "ending": here.get(stage.name, False),
        "value": cold.value,
        "low": cold.low,
        "high": cold.high,
        "limit": cold.limit,
        "of": stage.over,
    }


def _word(state: StageState, inside: bool, ending: bool) -> str:
    if state.done == "yes":
        return "over"
    if not state.begun:
        return "to come"
    if ending:
        return "ending"
    return "under way" if inside or state.done == "no" else "perhaps over"


def _wanted(case: FiringCase) -> float:
    return wanted_temperature(case.peak_wanted or USUAL_PEAK, case.hold_wanted)


def current_stage(case: FiringCase) -> str | None:
    """The first stage begun and not over at the place that is behind; None where all are."""
    found = case.review.get("stages")
    rows = found.value if found else []
    assert isinstance(rows, list)
    open_rows = [row for row in rows if row.get("state") in ("under way", "ending", "perhaps over")]
    if case.timeline.past_peak:
        return "cooling"
    return str(open_rows[0]["name"]) if open_rows else None


def table_problems(settings: Settings, peak_limit: float) -> list[Problem]:
    """What cannot be right in a maker's own table of stages."""
    own, published = tables_of(settings)
    if published is None or settings.practice is None:
        return []
    found = []
    lows = {stage.name: _lows(stage) for stage in published}
    for stage in own:
        row = settings.practice.stages[stage.name]
        path, _, line = (row.from_.where if row.from_ else "").rpartition(":")
        at = (path or "notebook.toml", int(line) if line.isdigit() else None)
        least = min(lows.get(stage.name, [stage.low]))
        if stage.low < least - FAR_BELOW and stage.name in ("oxidation", "vitrification"):
            found.append(
                Problem(
                    *at,
                    f"{stage.name} begins at {stage.low:.0f} °C here, far below every published "
                    f"row: the lowest is {least:.0f} °C",
                    "Check the row against the published ones, which `show` prints beside it.",
                )
            )
        if max(stage.low, stage.high) > peak_limit and stage.name == "flashing":
            found.append(
                Problem(
                    *at,
                    f"{stage.name} reaches {stage.high:.0f} °C, above the limit of "
                    f"{peak_limit:.0f} °C for this clay",
                    "No plan and no action goes there; set no_hotter_than where the mix stands it.",
                )
            )
    return found


def _lows(stage: Stage) -> list[float]:
    return [stage.low, *(low for low, _, _ in stage.also)]


def add_time_left(case: FiringCase) -> None:
    """Hours to the peak and to the end of the stage, at the present climb and at the allowed."""
    now = standing(case)
    peak = case.peak_wanted
    if now is None or peak is None or case.timeline.past_peak:
        because = "the fire is let go" if case.timeline.past_peak else ""
        needs = () if because else (*(() if peak else ("plan.peak",)), *needs_of_state(case))
        case.missing("time_left", "h", *needs, because=because)
        return
    face = now.coldest.now("face")[1]
    climb = case.review.number("climb")
    allowed = case.review.number("allowed_climb")
    if now.coldest.place in case.fresh and case.review.results["climb"].each:
        climb = float(case.review.results["climb"].each.get(now.coldest.place, climb or 0.0))
    stage = _stage_end(case)
    extra: dict[str, Any] = {"to": peak, "climb": climb, "at_allowed": _hours(peak - face, allowed)}
    if stage is not None:
        extra["stage"] = stage[0]
        extra["stage_left"] = _hours(stage[1] - face, climb)
        extra["stage_left_at_allowed"] = _hours(stage[1] - face, allowed)
    left = _hours(peak - face, climb)
    extra["to_peak"] = left
    case.add(
        Result(
            name="time_left",
            value=left,
            unit="h",
            extra={key: value for key, value in extra.items() if value is not None},
            because="" if left is not None else "it does not climb now",
            method="to the peak at the coldest place, at the present climb; `at_allowed` at the "
            "climb allowed now; a stage may take longer than its range",
            formula="(peak - T) / climb",
            from_=(case.log.series[now.coldest.place].last.where,),
            inputs=case.plan_inputs,
            age=case.age,
        )
    )


def _stage_end(case: FiringCase) -> tuple[str, float] | None:
    name = current_stage(case)
    table, _ = tables_of(case.context.notebook.settings)
    for stage in table:
        if stage.name == name and stage.name != "cooling":
            top = stage.high if stage.over != "heat_work" else case.peak_wanted or stage.high
            return stage.name, top
    return None


def _hours(difference: float, climb: float | None) -> float | None:
    if difference <= 0:
        return 0.0
    return difference / climb if climb is not None and climb > 1.0 else None


def add_next_reading(case: FiringCase) -> None:
    """When the kiln must be read again."""
    due = case.timeline.due
    if due is None:
        return
    local = due.astimezone(case.context.zone).replace(microsecond=0)
    overdue = case.context.hours_since(due)
    where = case.timeline.every_where
    newest = case.log.newest
    case.add(
        Result(
            name="next_reading",
            value=local.isoformat(),
            unit="time",
            extra={"every": case.timeline.interval} | ({"overdue": overdue} if overdue > 0 else {}),
            method="the last reading and the interval in force"
            if where
            else "the last reading and 20 min below 150 °C, 30 min climbing, 1 h holding, 2 h "
            "cooling",
            source="set by the maker" if where else "common practice",
            from_=tuple(w for w in (newest.where if newest else "", where) if w),
            age=case.age,
        )
    )
