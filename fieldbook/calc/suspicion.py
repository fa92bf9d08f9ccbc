"""Readings that cannot be right, pointed out and never dropped."""

import numpy as np

from fieldbook.calc.readings import Readings
from fieldbook.frozen import frozen

FASTEST_CLIMB = 600.0  # K/h between readings, beyond which no brick kiln's gas goes; practice
FASTEST_FALL = 600.0  # K/h, a kiln torn open
STEEP = 300.0  # K/h of the last step, from which a slip is looked for
OFF = 60.0  # K outside both neighbours, from which a slip is looked for
SLACK = 40.0  # K, for the flame that licks the probe
NEAR = 0.06  # share of a temperature within which a reading fits its neighbours
NEAR_LEAST = 30.0  # K
HALF_DAY = 12.0
HOTTEST, COLDEST = 1400.0, -60.0  # degC: more than any wood fire, less than any yard; practice
WIDEST_GAP = 3.0  # h between neighbours across which a reading can be judged at another time


@frozen
class Suspicion:
    """One reading that does not fit its neighbours, and what it may have been."""

    index: int
    kind: str
    """twelve hours, Fahrenheit as Celsius, Celsius as Fahrenheit, no fire, or jump."""
    what: str
    likely_time: float | None = None
    """h, where another time fits."""
    likely_temperature: float | None = None
    """degC, where another unit fits."""


def suspicions(readings: Readings) -> list[Suspicion]:
    """Readings far from their neighbours in time or in value, in order.

    A reading is looked at when no fire could have gone from its neighbours to it and back, or when
    it stands alone in time; then another half of the day or the other scale is tried on it.
    """
    found = []
    for i in _candidates(readings):
        found.append(_judged(readings, i))
    return [s for s in found if s is not None]


def _candidates(readings: Readings) -> list[int]:
    time, value = readings.time, readings.temperature
    beyond = (value > HOTTEST) | (value < COLDEST)
    return [int(i) for i in np.flatnonzero(beyond | _unlike(time, value))]


def _unlike(time: np.ndarray, value: np.ndarray) -> np.ndarray:
    """Readings that no fire joins to their neighbours, or that stand alone in time."""
    n = len(value)
    if n < 3:
        return np.zeros(n, bool)
    slope_limit = np.where(np.diff(value) > 0, FASTEST_CLIMB, FASTEST_FALL)
    broken = np.abs(np.diff(value)) > slope_limit * np.diff(time) + SLACK
    into, out = np.append(False, broken), np.append(broken, False)
    ends = np.zeros(n, bool)
    ends[[0, -1]] = True
    spikes = (into & out) | (ends & (into | out))
    # of a lasting jump the first reading after it stands for all
    jumps = into & ~spikes & ~np.append(False, spikes[:-1])
    gaps = np.diff(time)
    usual = float(np.median(gaps))
    before, after = np.append(np.inf, gaps), np.append(gaps, np.inf)
    alone = np.minimum(before, after) > max(6 * usual, WIDEST_GAP)
    found: np.ndarray = spikes | jumps | alone | _off(time, value)
    return found


def _off(time: np.ndarray, value: np.ndarray) -> np.ndarray:
    """Readings outside the range of both neighbours, and a last step steeper than most fires."""
    off = np.zeros(len(value), bool)
    high = np.maximum(value[:-2], value[2:])
    low = np.minimum(value[:-2], value[2:])
    off[1:-1] = np.maximum(value[1:-1] - high, low - value[1:-1]) > OFF
    last = abs(value[-1] - value[-2])
    off[-1] = last > max(OFF, STEEP * (time[-1] - time[-2]))
    return off


def _others(readings: Readings, index: int) -> tuple[np.ndarray, np.ndarray]:
    return np.delete(readings.time, index), np.delete(readings.temperature, index)


def _fits(value: float, wanted: float | None) -> bool:
    return wanted is not None and abs(value - wanted) <= max(NEAR * abs(wanted), NEAR_LEAST)


def _expected(time: np.ndarray, value: np.ndarray, at: float, widest: float) -> float | None:
    """What the others say of a time within their span, if they lie close enough about it."""
    after = int(np.searchsorted(time, at))
    if 0 < after < len(time):
        if time[after] - time[after - 1] > widest:
            return None
        return float(np.interp(at, time, value))
    near = 0 if after == 0 else -1
    return float(value[near]) if abs(time[near] - at) <= widest / 3 else None


def _judged(readings: Readings, i: int) -> Suspicion | None:
    at, read = float(readings.time[i]), float(readings.temperature[i])
    found = _as_another(readings, i, at, read) if len(readings) > 1 else None
    if not COLDEST <= read <= HOTTEST and (found is None or found.kind == "jump"):
        where = "no wood fire makes" if read > 0 else "no weather makes"
        return Suspicion(i, "no fire", f"{where} {read:.0f} °C", None, None)
    return found


def _as_another(readings: Readings, i: int, at: float, read: float) -> Suspicion | None:
    """What a reading may have been at another time or on the other scale; or a jump."""
    time, value = _others(readings, i)
    here = _expected(time, value, at, np.inf if 0 < i < len(readings) - 1 else WIDEST_GAP)
    if _fits(read, here):
        return None
    for kind, other in (
        ("Fahrenheit as Celsius", (read - 32) / 1.8),
        ("Celsius as Fahrenheit", read * 1.8 + 32),
    ):
        if _fits(other, here):
            return Suspicion(i, kind, f"{read:.0f} °C fits as {other:.0f} °C", None, other)
    for shift in (-HALF_DAY, HALF_DAY):
        if _fits(read, _expected(time, value, at + shift, WIDEST_GAP)):
            words = f"{read:.0f} °C fits twelve hours {'earlier' if shift < 0 else 'later'}"
            return Suspicion(i, "twelve hours", words, at + shift, None)
    if not _impossible(readings, i):
        return None
    return Suspicion(i, "jump", f"no fire goes to {read:.0f} °C as fast as that", None, None)


def _impossible(readings: Readings, i: int) -> bool:
    for a, b in ((i - 1, i), (i, i + 1)):
        if a >= 0 and b < len(readings):
            change = readings.temperature[b] - readings.temperature[a]
            limit = FASTEST_CLIMB if change > 0 else FASTEST_FALL
            if abs(change) > limit * (readings.time[b] - readings.time[a]) + SLACK:
                return True
    return False
