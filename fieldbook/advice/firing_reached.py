"""How hot it was and for how long, from the readings alone."""

from __future__ import annotations

from fieldbook.advice.firing_case import FiringCase
from fieldbook.advice.firing_climb import QUARTZ
from fieldbook.advice.firing_readings import Series
from fieldbook.advice.firing_state import by_place
from fieldbook.advice.results import Input, Result
from fieldbook.calc import readings as curves

SOUND = 900.0
"""degC from which brick clay binds well (Beamish & Donovan: 900 and above)."""
HELD_WITHIN = 15.0
"""K under the peak that still counts as held there; common practice."""


def add_heat_reached(case: FiringCase) -> None:
    """`peak`, `time_above`, `hold` and `crossings` from the readings alone."""
    if not case.log.series:
        for name, unit in (("peak", "°C"), ("time_above", "h"), ("hold", "h")):
            case.missing(name, unit, "log: temperature")
        return
    tops = {p: curves.peak(s.curve) for p, s in case.log.series.items()}
    peaks = {p: top[0] for p, top in tops.items() if top}
    cold = min(peaks, key=lambda p: (peaks[p], p))
    row = max(case.log.series[cold].readings, key=lambda r: r.value)
    hot = max(peaks, key=lambda p: (peaks[p], p))
    at_least = max((b.value for _, b in case.log.bounds if b.how == "above"), default=None)
    extra: dict[str, object] = {
        "place": cold,
        "at": case.moment(row.hours).isoformat(),
        "hottest": peaks[hot],
        "hottest_place": hot,
    }
    if at_least is not None and at_least > peaks[hot]:
        extra["at_least"] = at_least
    case.add(
        Result(
            name="peak",
            value=peaks[cold],
            unit="°C",
            plus_minus=row.half,
            each=by_place(peaks),
            extra=extra,
            method="hottest reading so far at the place that stayed coolest; the peak of a "
            "bridged span may lie higher",
            from_=(row.where,),
            inputs=(Input(f"reading at {cold}", row.text, row.where),),
        )
    )
    _add_time_above(case, cold, peaks[hot])
    _add_crossings(case)
    _add_hold(case, cold)


def _marks(case: FiringCase, hottest: float) -> list[float]:
    marks = {float(t) for t in range(100, int(hottest) + 1, 100)} | {QUARTZ}
    if case.peak_wanted:
        marks.add(case.peak_wanted)
    return sorted(mark for mark in marks if mark <= hottest)


def _add_time_above(case: FiringCase, cold: str, hottest: float) -> None:
    series = case.log.series
    times = {p: curves.time_above(s.curve, SOUND) for p, s in series.items()}
    table = {
        f"{mark:g}": curves.time_above(series[cold].curve, mark) for mark in _marks(case, hottest)
    }
    case.add(
        Result(
            name="time_above",
            value=times[cold],
            unit="h",
            each=by_place(times),
            extra={"temperature": SOUND, "place": cold, "table": table},
            method="hours at or above 900 °C, straight lines between readings; `table` has other "
            "temperatures",
            from_=(series[cold].readings[0].where, series[cold].last.where),
        )
    )


def _add_crossings(case: FiringCase) -> None:
    every = case.timeline.reading_every
    rows: list[dict[str, object]] = []
    for place, series in case.log.series.items():
        for mark in sorted({100.0, QUARTZ, SOUND, *_marks(case, _top(series))}):
            for found in curves.crossings(series.curve, mark, every):
                rows.append(
                    {
                        "name": f"{mark:g} °C {'rising' if found.rising else 'falling'}",
                        "place": place,
                        "temperature": mark,
                        "at": case.moment(found.time).isoformat(),
                        "hours": found.time,
                        "plus_minus": found.half,
                        "slope": found.slope,
                        "bridged": found.bridged,
                    }
                )
    rows.sort(key=lambda row: (str(row["at"]), str(row["place"])))
    case.add(
        Result(
            name="crossings",
            value=rows,
            unit=None,
            method="straight lines between readings; in a span longer than the reading interval "
            "± half its length, in hours",
        )
    )


def _top(series: Series) -> float:
    return max(row.value for row in series.readings)


def _add_hold(case: FiringCase, cold: str) -> None:
    """How long the coldest place has been within 15 K of the peak wanted, or of its own peak."""
    series = case.log.series[cold]
    target = case.peak_wanted or _top(series)
    if _top(series) < target - HELD_WITHIN:
        case.add(
            Result(
                name="hold",
                value=0.0,
                unit="h",
                extra={"wanted": case.hold_wanted},
                method="the peak wanted is not reached yet",
                inputs=case.plan_inputs,
            )
        )
        return
    held = curves.time_above(_while_fed(case, series), target - HELD_WITHIN)
    case.add(
        Result(
            name="hold",
            value=held,
            unit="h",
            extra={"wanted": case.hold_wanted, "at": target, "place": cold},
            method=f"hours within {HELD_WITHIN:.0f} K of the peak wanted, or above it, until the "
            "fire is let go; heat-work decides, not this",
            from_=(series.last.where,),
            inputs=case.plan_inputs,
        )
    )


def _while_fed(case: FiringCase, series: Series) -> curves.Readings:
    """The curve until the fire was let go; all of it where nothing says when that was."""
    events = case.timeline.events
    ends = [at for name in ("sealed", "cooling") if (at := events.get(name)) is not None]
    curve = series.curve
    fed = curve.until(case.log.hours(min(ends)) + 1e-9) if ends else curve
    return fed if len(fed) else curve
