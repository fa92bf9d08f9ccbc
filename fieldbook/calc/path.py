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

COLDEST, HOTTEST = -40.0, 1400.0  # degC that a kiln runs on to
SAME_KNOT = 1e-6  # h
SHORTEST_STEP = 15.0  # s; ours
LONGEST_STEP = 100.0  # s; ours
DEGREES_PER_STEP = 1.2  # K; ours: against a solver with error control the core is then within 0.1 K
NEARLY_ONE = 1.25  # steps that a span may hold and still be taken in one
SLOPE_OVER = 0.25  # h before and after
WINDOW = 150.0  # s before and after, over which the slope of close readings is taken


class Path(NamedTuple):
    """What the probes read: knots in hours, and how sure it is."""

    time: np.ndarray
    sets: np.ndarray  # (3 for each place, knot), degC
    half: np.ndarray  # (place, knot), K, of the instrument
    bump: np.ndarray  # (place, knot), K, of what happened between readings
    bridged: list[tuple[float, float]]


def path_of(readings: Readings, every: float | None, after: float | None = None) -> Path:
    """Straight lines [h, degC] from reading to reading, widened between; from `after` [h] on."""
    first = 0 if after is None else int(np.searchsorted(readings.time, after))
    time, values = readings.time[first:], readings.temperature[first:]
    half = readings.half[first:]
    if len(time) < 2:
        return Path(time, np.stack([values] * 3), half[None], np.zeros((1, len(time))), [])
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
    half = np.interp(knots, time, half)
    return Path(knots, np.stack([middle] * 3), half[None], bump[None], spans)


def between(path: Path, begin: float, end: float) -> Path:
    """The part of a path from one time [h] to another; bridged spans stay with the whole."""
    inner = path.time[(path.time > begin) & (path.time < end)]
    return _at(path, np.concatenate([[begin], inner, [end]]) if end > begin else inner)


def together(paths: list[Path]) -> Path:
    """Paths of several places over one span of time, as one."""
    knots = _apart(np.unique(np.concatenate([p.time for p in paths])))
    all_at = [_at(p, knots) for p in paths]
    return Path(
        knots,
        np.concatenate([p.sets for p in all_at]),
        np.concatenate([p.half for p in all_at]),
        np.concatenate([p.bump for p in all_at]),
        [],
    )


def _apart(knots: np.ndarray) -> np.ndarray:
    """Knots without those that rounding alone keeps apart; the first and the last stay."""
    far = np.append(True, np.diff(knots) > SAME_KNOT)
    if len(knots) > 2 and not far[-1]:
        far[-2] = False
    far[-1] = True
    apart: np.ndarray = knots[far]
    return apart


def _at(path: Path, knots: np.ndarray) -> Path:
    return Path(
        knots,
        _rows(knots, path.time, path.sets),
        _rows(knots, path.time, path.half),
        _rows(knots, path.time, path.bump),
        [],
    )


def _rows(at: np.ndarray, time: np.ndarray, rows: np.ndarray) -> np.ndarray:
    found: np.ndarray = np.stack([np.interp(at, time, row) for row in rows])
    return found


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
    ends = np.clip(ends, min(value, COLDEST), max(value, HOTTEST))  # however steep the last step
    half = float(readings.half[-1])
    return Path(
        np.array([last, last + length]),
        np.stack([np.full(3, value), ends], axis=1),
        np.array([[half, half]]),
        np.array([[0.0, min(STRAY_PER_HOUR * length, MOST_STRAY)]]),
        [],
    )


def led(path: Path, lead: np.ndarray | None) -> Path:
    """The path of the face, from one of the core that trails it by hours (one for each set).

    The slope is taken over half an hour, so that the noise of readings is not blown up.
    """
    if lead is None or len(path.time) < 2:
        return path
    before = np.maximum(path.time - SLOPE_OVER, path.time[0])
    after = np.minimum(path.time + SLOPE_OVER, path.time[-1])
    rise = _rows(after, path.time, path.sets) - _rows(before, path.time, path.sets)
    return path._replace(sets=path.sets + lead[:, None] * rise / (after - before))


class Grid(NamedTuple):
    """The path as the march takes it: its times, and the readings made one where they are close."""

    time: np.ndarray  # h
    sets: np.ndarray  # as in the path
    half: np.ndarray
    bump: np.ndarray
    joined: int
    """Knots left out."""


def grid_of(path: Path) -> Grid:
    """Times of the march along a path: closer where it is steep, and no closer than is needed.

    A step is at most 100 s, shorter where the path climbs more than 1.2 K in that time. Readings
    closer than that are joined, each remaining one standing for the mean about it, so that the
    heat that goes in stays the same.
    """
    if len(path.time) < 2:
        return Grid(path.time, path.sets, path.half, path.bump, 0)
    need = np.diff(path.time) * 3600 / _steps(path)
    kept = _kept(need)
    times = path.time[kept]
    sets = _means(path, kept) if len(kept) < len(path.time) else path.sets
    joined = np.diff(kept) > 1
    parts = np.where(joined, 1, np.maximum(np.ceil(need[kept[:-1]] / NEARLY_ONE), 1)).astype(int)
    starts = np.repeat(times[:-1], parts)
    number = np.arange(len(starts)) - np.repeat(np.cumsum(parts) - parts, parts)
    grid = np.append(starts + number * np.repeat(np.diff(times) / parts, parts), times[-1])
    return Grid(
        grid,
        _rows(grid, times, sets),
        _rows(grid, path.time, path.half),
        _rows(grid, path.time, path.bump),
        len(path.time) - len(kept),
    )


def _steps(path: Path) -> np.ndarray:
    """Longest step [s] allowed in each span, by how steep the path is about it."""
    middle = (path.time[:-1] + path.time[1:]) / 2
    reach = np.maximum(np.diff(path.time) / 2, WINDOW / 3600)
    before = np.maximum(middle - reach, path.time[0])
    after = np.minimum(middle + reach, path.time[-1])
    slope = np.zeros(len(middle))
    for row in path.sets:
        rise = np.abs(np.interp(after, path.time, row) - np.interp(before, path.time, row))
        slope = np.maximum(slope, rise / ((after - before) * 3600))
    return np.clip(DEGREES_PER_STEP / np.maximum(slope, 1e-9), SHORTEST_STEP, LONGEST_STEP)


def _kept(need: np.ndarray) -> np.ndarray:
    """Which knots stay, when spans shorter than a step are joined to about one step each."""
    passed = np.diff(np.floor(np.cumsum(need) + 1e-6), prepend=0.0) > 0
    long = need > NEARLY_ONE
    kept = np.ones(len(need) + 1, bool)
    kept[1:-1] = passed[:-1] | long[:-1] | long[1:]
    return np.flatnonzero(kept)


def _means(path: Path, kept: np.ndarray) -> np.ndarray:
    """Values at the kept knots: means about each, weighted so that the heat stays the same."""
    seconds = path.time * 3600
    step = np.diff(seconds)
    at = seconds[kept]
    means = path.sets[:, kept].copy()
    inner = np.flatnonzero((np.diff(kept)[:-1] > 1) | (np.diff(kept)[1:] > 1)) + 1
    for row, mean in zip(path.sets, means, strict=True):
        once = np.append(0.0, np.cumsum((row[1:] + row[:-1]) / 2 * step))
        twice = np.append(
            0.0, np.cumsum(once[:-1] * step + (2 * row[:-1] + row[1:]) / 6 * step**2)
        )[kept]
        slope = np.diff(twice) / np.diff(at)
        mean[inner] = (np.diff(slope) / ((at[2:] - at[:-2]) / 2))[inner - 1]
    return means
