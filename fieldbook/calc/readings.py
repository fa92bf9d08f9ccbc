"""Readings of one place as a curve: climb, crossings, time above, peak, and what looks wrong."""

from collections.abc import Sequence
from dataclasses import field

import numpy as np

from fieldbook.errors import NotPossible
from fieldbook.frozen import frozen

PROBES = ("gas", "face", "inside")


@frozen
class Readings:
    """Temperatures read at one place of the kiln, in order of time.

    Args:
        time: hours from any one start, increasing.
        temperature: degC.
        half: half-width of each reading in K, the instrument's error with the step; one for all
            or one each.
        probe: what the probe touches: gas, face or inside.
        where: file and line of each reading, for answers that name them.
    """

    time: np.ndarray
    temperature: np.ndarray
    half: np.ndarray = field(default_factory=lambda: np.array([2.5]))
    probe: str = "gas"
    where: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        time = np.asarray(self.time, dtype=float).reshape(-1)
        temperature = np.asarray(self.temperature, dtype=float).reshape(-1)
        half = np.broadcast_to(np.asarray(self.half, dtype=float).reshape(-1), time.shape)
        if time.shape != temperature.shape:
            raise NotPossible("as many times as temperatures are needed")
        if np.any(np.diff(time) <= 0):
            raise NotPossible("the times of readings must increase")
        if not (np.all(np.isfinite(time)) and np.all(np.isfinite(temperature))):
            raise NotPossible("a reading must have a time and a temperature")
        if self.probe not in PROBES:
            raise NotPossible(f"a {self.probe} probe says nothing of the brick")
        object.__setattr__(self, "time", time)
        object.__setattr__(self, "temperature", temperature)
        object.__setattr__(self, "half", half)

    def __len__(self) -> int:
        return len(self.time)

    def until(self, time: float) -> "Readings":
        """The readings not later than a time."""
        n = int(np.searchsorted(self.time, time, side="right"))
        return Readings(
            self.time[:n], self.temperature[:n], self.half[:n], self.probe, self.where[:n]
        )


def climb(readings: Readings, shortest: float = 0.5) -> float | None:
    """Slope [K/h] of the last three readings or the last half hour, whichever is longer.

    Source: least squares through the readings; the span is the notebook's own definition.
    """
    n = len(readings)
    if n < 2:
        return None
    since = min(readings.time[max(n - 3, 0)], readings.time[-1] - shortest)
    first = min(int(np.searchsorted(readings.time, since - 1e-9)), max(n - 3, 0))
    time, temperature = readings.time[first:], readings.temperature[first:]
    away = time - time.mean()
    return float((away * temperature).sum() / (away**2).sum())


def steepest(readings: Readings) -> float | None:
    """The steepest single step [K/h], with its sign."""
    if len(readings) < 2:
        return None
    slopes = np.diff(readings.temperature) / np.diff(readings.time)
    return float(slopes[np.argmax(np.abs(slopes))])


@frozen
class Crossing:
    """When a curve passes a temperature: hours, ± half of the span where that was bridged."""

    time: float
    half: float
    slope: float
    """K/h of the span it lies in."""
    bridged: bool

    @property
    def rising(self) -> bool:
        """Whether the curve passes it on the way up."""
        return self.slope > 0


def reading_interval(temperature: float, slope: float) -> float:
    """Hours between readings that the march relies on, when the maker set none.

    Source: 20 min below 150 degC, 30 min climbing, 1 h holding, 2 h cooling; common practice.
    """
    if temperature < 150 and slope > -5:
        return 1 / 3
    if slope > 5:
        return 0.5
    return 1.0 if slope >= -5 else 2.0


def bridged_spans(readings: Readings, reading_every: float | None = None) -> np.ndarray:
    """Which spans between readings are longer than the interval in force: one bool a span."""
    length = np.diff(readings.time)
    if reading_every is not None:
        return length > reading_every * (1 + 1e-9)
    slope = np.diff(readings.temperature) / length
    allowed = [
        reading_interval(min(a, b), s)
        for a, b, s in zip(readings.temperature[:-1], readings.temperature[1:], slope, strict=True)
    ]
    return length > np.array(allowed) * (1 + 1e-9)


def crossings(
    readings: Readings, temperature: float, reading_every: float | None = None
) -> list[Crossing]:
    """Each passing of a temperature, on straight lines between readings."""
    above = readings.temperature - temperature
    bridged = bridged_spans(readings, reading_every)
    found = []
    for i in range(len(readings) - 1):
        a, b = above[i], above[i + 1]
        if (a < 0 <= b) or (a >= 0 > b):
            length = readings.time[i + 1] - readings.time[i]
            time = readings.time[i] + length * (-a) / (b - a)
            half = length / 2 if bridged[i] else 0.0
            found.append(
                Crossing(float(time), float(half), float((b - a) / length), bool(bridged[i]))
            )
    return found


def time_above(readings: Readings, temperature: float) -> float:
    """Hours at or above a temperature, on straight lines between readings."""
    total = 0.0
    above = readings.temperature - temperature
    for i in range(len(readings) - 1):
        a, b = above[i], above[i + 1]
        length = readings.time[i + 1] - readings.time[i]
        if a >= 0 and b >= 0:
            total += length
        elif (a >= 0) != (b >= 0):
            total += length * max(a, b) / abs(b - a)
    return float(total)


def peak(readings: Readings) -> tuple[float, float] | None:
    """The highest reading [degC] so far and its time [h]."""
    if not len(readings):
        return None
    at = int(np.argmax(readings.temperature))
    return float(readings.temperature[at]), float(readings.time[at])


def spread(at_places: Sequence[float]) -> float | None:
    """Hottest less coldest place [K]."""
    return max(at_places) - min(at_places) if len(at_places) > 1 else None
