"""The log of a firing as readings by place: thermometer first, glow where there is none."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import datetime
from typing import NamedTuple

import numpy as np

from fieldbook.calc.readings import Readings
from fieldbook.calc.uncertainty import Instruments
from fieldbook.quantities import Amount
from fieldbook.records import Firing, FiringLine

KILN = "kiln"
"""The place of a reading that names none."""
OF_THE_BRICK = ("face", "inside", "gas")
SAME_MOMENT = 30 / 3600
"""Hours; readings closer than that at one place are one reading."""
AIR = 15.0
"""degC, of the air where the log does not say; common practice."""


class Reading(NamedTuple):
    """One temperature at one place."""

    hours: float
    """Since the start of the firing."""
    value: float
    """degC"""
    half: float
    """K: what is not known of it, coverage 2."""
    step: float
    """K: the part of it that no other reading shares."""
    place: str
    probe: str
    said: bool
    """Whether the maker said what the probe touches."""
    text: str
    where: str


@dataclass(frozen=True)
class Series:
    """The readings at one place that its state rests on, in order of time."""

    place: str
    probe: str
    kind: str
    """`thermometer` or `glow`."""
    readings: tuple[Reading, ...]
    start: Reading | None = None
    """The air at lighting, where the first reading came later and hotter."""

    @property
    def last(self) -> Reading:
        """The newest."""
        return self.readings[-1]

    @property
    def curve(self) -> Readings:
        """What was read, as the calculations take it."""
        return _curve(self.readings, self.probe)

    @property
    def marched(self) -> Readings:
        """The same from lighting on, which is what the march starts from."""
        first = (self.start,) if self.start else ()
        return _curve((*first, *self.readings), self.probe)


def _curve(readings: Iterable[Reading], probe: str) -> Readings:
    rows = list(readings)
    return Readings(
        np.array([row.hours for row in rows]),
        np.array([row.value for row in rows]),
        np.array([row.half for row in rows]),
        probe,
        tuple(row.where for row in rows),
    )


@dataclass
class FiringLog:
    """What was read in a firing, sorted out."""

    origin: datetime
    """The moment from which hours are counted."""
    series: dict[str, Series] = field(default_factory=dict)
    doubted: list[tuple[Reading, str]] = field(default_factory=list)
    """Readings that cannot be right, with the likely slip; nothing is derived from them."""
    bounds: list[tuple[FiringLine, Amount]] = field(default_factory=list)
    """Temperatures beyond what the instrument shows."""
    aside: list[Reading] = field(default_factory=list)
    """Readings of wall and flue, and of a second probe at a place."""

    def hours(self, moment: datetime) -> float:
        """Hours from the start to a moment."""
        return (moment - self.origin).total_seconds() / 3600

    @property
    def newest(self) -> Reading | None:
        """The latest reading at any place."""
        return max((s.last for s in self.series.values()), key=lambda r: r.hours, default=None)


def half_width(amount: Amount, instruments: Instruments) -> tuple[float, float]:
    """Expanded uncertainty of one temperature and the part of it that is its own, K."""
    if amount.how != "digit":
        return amount.half, amount.half
    thermometer = instruments.instrument("thermometer")
    step = max(thermometer.step, amount.half)
    shared = thermometer.error.of(amount.value) if thermometer.error else step
    return 2 / math.sqrt(3) * math.hypot(step, shared), 2 / math.sqrt(3) * step


def place_name(written: str | None, firing: Firing) -> str:
    """The place of a line, in one spelling; a firing read at one place need not name it."""
    named = {line.place.strip().casefold() for line in _lines(firing) if line.place}
    if written:
        return written.strip().casefold()
    return next(iter(named)) if len(named) == 1 else KILN


def _lines(firing: Firing) -> Iterable[FiringLine]:
    return (line for line in firing.log if isinstance(line, FiringLine))


def read_log(
    firing: Firing, origin: datetime, lit: datetime | None, instruments: Instruments
) -> FiringLog:
    """Sort the log of a firing into one curve a place."""
    log = FiringLog(origin)
    by_place: dict[tuple[str, str], list[Reading]] = {}
    default = place_name(None, firing)
    for line in _lines(firing):
        if line.temperature is None:
            continue
        if line.temperature.is_bound:
            log.bounds.append((line, line.temperature))
            continue
        reading = _reading(line, line.temperature, log, default, instruments)
        if reading.probe in OF_THE_BRICK:
            by_place.setdefault((reading.place, reading.probe), []).append(reading)
        else:
            log.aside.append(reading)
    start = _start(firing, log, lit)
    for place in sorted({place for place, _ in by_place}):
        _take_place(log, place, by_place, start)
    return log


def _reading(
    line: FiringLine, amount: Amount, log: FiringLog, default: str, instruments: Instruments
) -> Reading:
    half, step = half_width(amount, instruments)
    place = line.place.strip().casefold() if line.place else default
    return Reading(
        log.hours(line.at),
        amount.value,
        half,
        step,
        place,
        line.probe or "gas",
        line.probe is not None,
        amount.text,
        amount.where or line.where,
    )


def _start(firing: Firing, log: FiringLog, lit: datetime | None) -> Reading | None:
    """The air at lighting: the coolest thing known of a brick before its first reading."""
    if lit is None:
        return None
    air = next((line.air for line in _lines(firing) if line.air and not line.air.is_bound), None)
    value, half = (air.value, 5.0) if air else (AIR, 10.0)
    where = air.where if air else ""
    return Reading(log.hours(lit), value, half, half, "", "face", True, "air", where)


def _take_place(
    log: FiringLog,
    place: str,
    by_place: dict[tuple[str, str], list[Reading]],
    start: Reading | None,
) -> None:
    probes = {probe: by_place[place, probe] for probe in OF_THE_BRICK if (place, probe) in by_place}
    sound: dict[str, list[Reading]] = {}
    for probe, readings in probes.items():
        kept, doubted = without_slips(readings, start)
        log.doubted += doubted
        sound[probe] = joined(kept)
    chosen = max(sound, key=lambda probe: (len(sound[probe]), -OF_THE_BRICK.index(probe)))
    for probe, readings in sound.items():
        if probe != chosen:
            log.aside += readings
    if sound[chosen]:
        rows = tuple(sound[chosen])
        log.series[place] = Series(place, chosen, "thermometer", rows, start_for(rows[0], start))


def start_for(first: Reading, start: Reading | None) -> Reading | None:
    """The air at lighting where it comes before the first reading and is cooler; else None."""
    if start is None or start.hours > first.hours - 1 / 60 or first.value < start.value + 10:
        return None
    return start


def joined(readings: list[Reading]) -> list[Reading]:
    """Readings at one moment become their mean; the wider of their doubts stays."""
    out: list[Reading] = []
    for reading in readings:
        if out and reading.hours - out[-1].hours < SAME_MOMENT:
            before = out[-1]
            apart = abs(reading.value - before.value) / 2
            out[-1] = before._replace(
                value=(before.value + reading.value) / 2,
                half=max(before.half, reading.half, apart),
            )
        else:
            out.append(reading)
    return out


FASTEST = 1500.0
"""K/h that no brick kiln heats or cools at, between two readings."""
JUMP = 80.0
"""K by which a flame may leap at a probe whatever the time between."""
STEEP = 300.0
"""K/h of the newest step from which a likely slip is looked for."""
OFF_CURVE = 60.0
"""K outside both neighbours from which a likely slip is looked for."""


def without_slips(
    readings: list[Reading], start: Reading | None
) -> tuple[list[Reading], list[tuple[Reading, str]]]:
    """Part the readings of one probe into those a fire can make and those it cannot."""
    kept = list(readings)
    doubted: list[tuple[Reading, str]] = []
    while (found := _worst(kept, start)) is not None:
        index, slip = found
        doubted.append((kept.pop(index), slip))
    return kept, sorted(doubted, key=lambda pair: pair[0].hours)


def _worst(readings: list[Reading], start: Reading | None) -> tuple[int, str] | None:
    """The reading farthest off its neighbours that is explained by a slip, or impossible."""
    best: tuple[float, int, str] | None = None
    for i in range(len(readings)):
        off = _outside(readings, i, start)
        if off < OFF_CURVE:
            continue
        slip = _slip(readings, i)
        if slip is None and _possible(readings, i):
            continue
        if best is None or off > best[0]:
            best = (off, i, slip or "no fire makes such a jump and comes back")
    return best[1:] if best else None


def _outside(readings: list[Reading], i: int, start: Reading | None) -> float:
    """How far a reading lies outside the range of its neighbours, K."""
    value, last = readings[i].value, len(readings) - 1
    if last < 2:
        return 0.0
    if i == last:
        step = abs(value - readings[i - 1].value)
        steep = step > STEEP * (readings[i].hours - readings[i - 1].hours)
        return step if steep else 0.0
    after = readings[i + 1].value
    before = readings[i - 1].value if i else start.value if start else min(after, AIR)
    return max(value - max(before, after), min(before, after) - value)


def _possible(readings: list[Reading], i: int) -> bool:
    """Whether a fire can make the steps on both sides of a reading."""
    sides = []
    for j in (i - 1, i + 1):
        if 0 <= j < len(readings):
            span = abs(readings[i].hours - readings[j].hours)
            sides.append(abs(readings[i].value - readings[j].value) <= JUMP + FASTEST * span)
    return any(sides) if 0 < i < len(readings) - 1 else all(sides)


def _slip(readings: list[Reading], i: int) -> str | None:
    """What a maker may have meant, where one slip puts the reading on the curve."""
    reading = readings[i]
    others = readings[:i] + readings[i + 1 :]
    if len(others) < 2:
        return None
    here = _on_curve(others, reading.hours)
    near = max(30.0, 0.05 * abs(here))
    if abs((reading.value - 32) / 1.8 - here) < near:
        return f"{reading.value:.0f} fits the curve if it was read in °F"
    if abs(reading.value * 1.8 + 32 - here) < near:
        return f"{reading.value * 1.8 + 32:.0f} fits the curve: read in °C and written as °F"
    for shift, word in ((12, "later"), (-12, "earlier")):
        at = reading.hours + shift
        inside = others[0].hours - 1 <= at <= others[-1].hours + 1
        if inside and abs(_on_curve(others, at) - reading.value) < near:
            return f"it fits the curve twelve hours {word}: before noon or after?"
    if abs(reading.value * 10 - here) < near or abs(reading.value / 10 - here) < near:
        return "it fits the curve with one figure more or less"
    return None


def _on_curve(readings: list[Reading], hours: float) -> float:
    return float(np.interp(hours, [row.hours for row in readings], [row.value for row in readings]))
