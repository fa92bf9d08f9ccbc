"""When a kiln may be opened and unloaded: a fit to the falling curve."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from fieldbook.advice.firing_case import FiringCase
from fieldbook.advice.firing_readings import AIR, Reading, Series
from fieldbook.advice.firing_state import standing
from fieldbook.advice.results import Input, Result
from fieldbook.calc.cooling import Fit, cooling_time, fit_cooling, opens
from fieldbook.errors import NotPossible
from fieldbook.records import Firing, FiringLine

USUAL_CONSTANT = (6.0, 12.0, 30.0)
"""h: low, middle and high of small kilns, where no reading falls yet; from memory."""


class Falling(NamedTuple):
    """How the kiln cools: the fit, the air, and what both come from."""

    fit: Fit
    air: float
    method: str
    inputs: tuple[Input, ...]
    from_: tuple[str, ...]


def add_cooling(case: FiringCase) -> None:
    """`opens`, `unload_at` and the `cooling_constant` they rest on."""
    if case.phase not in ("sealed", "cooling", "opened", "holding"):
        if case.phase in ("lit", "climbing"):
            for name in ("opens", "unload_at"):
                case.missing(name, "time", because="the fire is still fed")
        return
    falling = falling_of(case)
    if falling is None:
        for name in ("opens", "unload_at"):
            case.missing(name, "time", "log: temperature while cooling")
        return
    if case.phase != "opened":
        _add_time(case, "opens", falling, *case.open_below)
    _add_time(case, "unload_at", falling, *case.unload_below)
    fit = falling.fit
    case.add(
        Result(
            name="cooling_constant",
            value=fit.time_constant,
            unit="h",
            low=fit.low,
            high=fit.high,
            n=fit.n or None,
            method=falling.method,
            source="lumped cooling; Geankoplis, Transport Processes, ch. 5.2",
            formula=cooling_time.formula,
            from_=falling.from_,
            inputs=falling.inputs,
        )
    )


def _add_time(case: FiringCase, name: str, falling: Falling, below: float, where: str) -> None:
    if below <= falling.air:
        case.missing(
            name, "time", because=f"the air is at {falling.air:.0f} °C and not below {below:.0f}"
        )
        return
    early, likely, late = opens(falling.fit, falling.air, below)
    limit = Input(f"{name} below", f"{below:.0f} °C", where, "" if where else "common practice")
    case.add(
        Result(
            name=name,
            value=case.moment(likely).isoformat(),
            unit="time",
            interval=(case.moment(early).isoformat(), case.moment(late).isoformat()),
            extra={"below": below},
            method=f"when the hottest core falls below {below:.0f} °C: {falling.method}",
            source="lumped cooling; Geankoplis, Transport Processes, ch. 5.2",
            formula=cooling_time.formula,
            from_=falling.from_,
            inputs=(*falling.inputs, limit),
            age=case.age,
        )
    )


def falling_of(case: FiringCase) -> Falling | None:
    """The fall of the hottest place: its own readings, else the kiln's or a usual constant."""
    hot = hottest_series(case)
    if hot is None:
        return None
    air, air_input = air_of(case)
    rows = falling_rows(hot)
    series_inputs = (Input(f"reading at {hot.place}", hot.last.text, hot.last.where), air_input)
    core = _hottest_core(case) or hot.last.value
    if len(rows) >= 2 and rows[0].value - rows[-1].value > 20:
        try:
            fit = fit_cooling(
                np.array([row.hours for row in rows]), np.array([row.value for row in rows]), air
            )
        except NotPossible:
            fit = None
        if fit is not None:
            shifted = Fit(fit.time_constant, fit.low, fit.high, fit.n, fit.last_time, core)
            return Falling(
                shifted,
                air,
                f"fit to the last {fit.n} readings at {hot.place} as they fall",
                series_inputs,
                tuple(row.where for row in rows[-fit.n :]),
            )
    low, middle, high = USUAL_CONSTANT
    learnt = _kiln_constant(case)
    said = Input("cooling constant", f"{low:g} to {high:g} h", "", "small kilns, from memory")
    if learnt is not None:
        low, middle, high = learnt
        said = Input("cooling constant", f"{middle:.1f} h", f"kilns/{case.firing.kiln}.toml")
    fit = Fit(middle, low, high, 0, hot.last.hours, core)
    word = "the kiln's own cooling constant" if learnt else "a usual cooling constant"
    return Falling(fit, air, word, (*series_inputs, said), (hot.last.where,))


def _kiln_constant(case: FiringCase) -> tuple[float, float, float] | None:
    review = case.context.review(case.kiln.address) if case.kiln else None
    found = review.get("cooling_constant") if review else None
    if found is None or found.n is None:
        return None
    return (found.low or found.number * 0.8, found.number, found.high or found.number * 1.25)


def hottest_series(case: FiringCase) -> Series | None:
    """The place whose core is hottest now, of those read lately."""
    now = standing(case)
    if now is not None:
        hot = max(now.places.values(), key=lambda p: (p.now("core")[1], p.place))
        return case.log.series[hot.place]
    return max(case.fresh.values(), key=lambda s: s.last.value, default=None)


def _hottest_core(case: FiringCase) -> float | None:
    now = standing(case)
    return max(p.now("core")[1] for p in now.places.values()) if now else None


def falling_rows(series: Series) -> list[Reading]:
    """The readings from the hottest one on, as long as they fall."""
    rows = list(series.readings)
    top = max(range(len(rows)), key=lambda i: (rows[i].value, i))
    return rows[top:]


def air_of(case: FiringCase) -> tuple[float, Input]:
    """The air outside as last noted, degC."""
    return last_air(case.firing)


def last_air(firing: Firing) -> tuple[float, Input]:
    """The air outside as last noted in a firing; 15 °C where it never was."""
    for line in reversed(firing.log):
        if isinstance(line, FiringLine) and line.air and not line.air.is_bound:
            return line.air.value, Input("air outside", line.air.text, line.air.where)
    return AIR, Input("air outside", f"{AIR:.0f} °C", "", "not noted; common practice")
