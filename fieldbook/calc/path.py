"""The path of a temperature between and past its readings, and the times of the march along it."""

from typing import NamedTuple

import numpy as np

from fieldbook.calc.readings import Readings, bridged_spans, climb, reading_interval

# Share of the change between two readings by which the fire may have strayed from the straight
# line half way, and K per hour of a span in which it hardly changed. Chosen here, and checked by
# replaying simulated fires.
STRAY = 0.15
STRAY_BRIDGED = 0.35
STRAY_PER_HOUR = 10.0
MOST_STRAY = 40.0
SHORT_SPAN = 1 / 12  # h; between readings closer than that nothing is added

SHORTEST_STEP = 30.0  # s
LONGEST_STEP = 240.0  # s
DEGREES_PER_STEP = 2.5  # K


class Path(NamedTuple):
    """What the probe reads: knots in hours, one row a parameter set, and how sure it is."""

    time: np.ndarray
    sets: np.ndarray  # (3, knot), degC
    half: np.ndarray  # (knot), K, of the instrument
    bump: np.ndarray  # (knot), K, of what happened between readings
    bridged: list[tuple[float, float]]


def path_of(readings: Readings, every: float | None, after: float | None = None) -> Path:
    """Straight lines from reading to reading, with widened bounds between; from `after` on."""
    first = 0 if after is None else int(np.searchsorted(readings.time, after))
    time, values = readings.time[first:], readings.temperature[first:]
    half = readings.half[first:]
    if len(time) < 2:
        return Path(time, np.stack([values] * 3), half, np.zeros(len(time)), [])
    part = Readings(time, values, half, readings.probe)
    bridged = bridged_spans(part, every)
    length, change = np.diff(time), np.abs(np.diff(values))
    stray = np.where(bridged, STRAY_BRIDGED, STRAY) * change + np.minimum(
        STRAY_PER_HOUR * length, MOST_STRAY
    )
    wide = np.flatnonzero(length > SHORT_SPAN)
    knots = np.insert(time, wide + 1, (time[:-1] + time[1:])[wide] / 2)
    bump = np.zeros(len(knots))
    bump[wide + 1 + np.arange(len(wide))] = stray[wide]
    middle = np.interp(knots, time, values)
    spans = [
        (float(a), float(b)) for a, b, yes in zip(time, time[1:], bridged, strict=False) if yes
    ]
    return Path(knots, np.stack([middle] * 3), np.interp(knots, time, half), bump, spans)


def run_on(readings: Readings, until: float, every: float | None) -> Path | None:
    """The path past the last reading, for at most the reading interval in force.

    It may stay level or go on as it went; the middle lies half way between.
    """
    last, value = float(readings.time[-1]), float(readings.temperature[-1])
    slope = climb(readings) or 0.0
    length = min(until - last, every if every is not None else reading_interval(value, slope))
    if length <= 1e-9:
        return None
    ends = value + length * np.array([min(slope, 0.0), slope / 2, max(slope, 0.0)])
    half = float(readings.half[-1])
    return Path(
        np.array([last, last + length]),
        np.stack([np.full(3, value), ends], axis=1),
        np.array([half, half]),
        np.array([0.0, min(STRAY_PER_HOUR * length, MOST_STRAY)]),
        [],
    )


def grid_of(path: Path) -> np.ndarray:
    """Times [h] of the march: the knots, closer where the path is steep."""
    length = np.diff(path.time) * 3600
    change = np.abs(np.diff(path.sets, axis=1)).max(0)
    step = np.clip(
        DEGREES_PER_STEP * length / np.maximum(change, 1e-9), SHORTEST_STEP, LONGEST_STEP
    )
    parts = np.maximum(np.ceil(length / step - 1e-6), 1).astype(int)
    starts = np.repeat(path.time[:-1], parts)
    within = np.concatenate([np.arange(n) / n for n in parts]) if len(parts) else np.empty(0)
    times = starts + within * np.repeat(np.diff(path.time), parts)
    return np.append(times, path.time[-1])
