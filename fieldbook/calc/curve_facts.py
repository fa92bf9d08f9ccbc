"""What a firing's log and the march say, as the facts that faults are ranked by."""

from collections.abc import Iterable, Mapping

import numpy as np

from fieldbook.calc.brick import PARAMETERS, Brick, Parameters
from fieldbook.calc.faults import CurveFacts
from fieldbook.calc.rates import FIRED, GREEN, Strength, steam_climb, stress_rate
from fieldbook.calc.readings import Readings
from fieldbook.calc.state import FiringState, PlaceState

SLOW = 10.0  # K/h below which a place is holding; common practice


def facts_of(
    readings: Mapping[str, Readings],
    state: FiringState,
    brick: Brick,
    *,
    wanted: float | None = None,
    peak_limit: float | None = None,
    opened_at: float | None = None,
    air_ratio: float | None = None,
    flame: float | None = None,
    green: Strength = GREEN,
    fired: Strength = FIRED,
    parameters: Parameters = PARAMETERS,
) -> CurveFacts:
    """The facts of a firing, each the worst of all places.

    Args:
        readings: by place.
        state: at the end of the log.
        brick: the thickest and wettest.
        wanted: degC of one hour.
        peak_limit: degC.
        opened_at: degC of the hottest core when the kiln was opened.
        air_ratio: air over the air needed.
        flame: degC, the hottest this flame can be.
        green: strength of the brick as it is heated.
        fired: strength of the brick as it cools.
        parameters: ranges of the march.
    """
    all_readings = [r for r in readings.values() if len(r) > 1]
    places = list(state.places.values())
    rise = [_fastest(r, 1, -300.0, 1500.0) for r in all_readings]
    return CurveFacts(
        climb_below_150=_most(_fastest(r, 1, -50.0, 150.0) for r in all_readings),
        allowed_below_150=_steam_allowed(places, brick, parameters),
        # the face as it was read: what it may have done between readings is no fact of the log
        wet_core_at_120=_most(_when(p, p.face[1], 120.0, p.free_water_left[2]) for p in places),
        hold_below_150=_least(_hold(r, 150.0) for r in all_readings),
        climb_dehydration=_most(_fastest(r, 1, 150.0, 650.0) for r in all_readings),
        allowed_climb=stress_rate(brick, green, parameters),
        oxidation_hours=_least(_hours_between(p, 650.0, 900.0) for p in places),
        carbon_left=_most(_when(p, p.core[1], 900.0, p.carbon_left[2]) for p in places),
        air_ratio=air_ratio,
        heat_work=_least(float(p.heat_work[1, -1]) for p in places),
        wanted=wanted,
        hottest=_most(float(p.face[1].max()) for p in places),
        peak_limit=peak_limit,
        spread=_spread(places),
        flame=flame,
        fall_quartz=_most(_fastest(r, -1, 520.0, 620.0) for r in all_readings),
        fall=_most(_fastest(r, -1, 50.0, 1500.0) for r in all_readings),
        allowed_fall=stress_rate(brick, fired, parameters, falling=True),
        opened_at=opened_at,
        steepest=_most(rise),
    )


def _most(values: Iterable[float | None]) -> float | None:
    known = [v for v in values if v is not None]
    return max(known) if known else None


def _least(values: Iterable[float | None]) -> float | None:
    known = [v for v in values if v is not None]
    return min(known) if known else None


def _fastest(readings: Readings, way: int, low: float, high: float) -> float | None:
    """The steepest step [K/h] up (1) or down (-1) that runs through a range of temperature."""
    slope = way * np.diff(readings.temperature) / np.diff(readings.time)
    least = np.minimum(readings.temperature[1:], readings.temperature[:-1])
    most = np.maximum(readings.temperature[1:], readings.temperature[:-1])
    within = (least < high) & (most > low) & (slope > 0)
    return float(slope[within].max()) if within.any() else None


def _when(place: PlaceState, curve: np.ndarray, passes: float, what: np.ndarray) -> float | None:
    """What a quantity was when a curve first reached a temperature."""
    above = np.flatnonzero(curve >= passes)
    return float(what[above[0]]) if len(above) else None


def _hold(readings: Readings, below: float) -> float | None:
    slope = np.diff(readings.temperature) / np.diff(readings.time)
    cold = np.maximum(readings.temperature[1:], readings.temperature[:-1]) < below
    rising_yet = readings.time[1:] <= readings.time[int(np.argmax(readings.temperature))]
    return float(np.diff(readings.time)[cold & (np.abs(slope) < SLOW) & rising_yet].sum())


def _hours_between(place: PlaceState, low: float, high: float) -> float | None:
    core = place.core[1]
    if core.max() < high:
        return None
    begins = place.time[int(np.argmax(core >= low))]
    return float(place.time[int(np.argmax(core >= high))] - begins)


def _steam_allowed(places: list[PlaceState], brick: Brick, parameters: Parameters) -> float | None:
    if not places or max(p.free_water_left[2, 0] for p in places) <= 1.0:
        return None
    first = places[0]
    return steam_climb(
        brick, float(first.core[1, 0]), float(first.free_water_left[2, 0]), parameters
    )


def _spread(places: list[PlaceState]) -> float | None:
    peaks = [float(p.face[1].max()) for p in places]
    return max(peaks) - min(peaks) if len(peaks) > 1 else None
