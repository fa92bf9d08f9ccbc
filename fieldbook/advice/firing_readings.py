"""The log of a firing as readings by place: thermometer first, glow where there is none."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import datetime
from typing import NamedTuple

import numpy as np

from fieldbook.calc.readings import Readings
from fieldbook.calc.suspicion import suspicions
from fieldbook.calc.uncertainty import Instruments
from fieldbook.frozen import frozen
from fieldbook.quantities import Amount
from fieldbook.records import Firing, FiringLine

KILN = "kiln"
"""The place of a reading that names none."""
OF_THE_BRICK = ("face", "inside", "gas")
SAME_MOMENT = 30 / 3600
"""Hours; readings closer than that at one place are one reading."""
WIDEST = 200.0
"""K: two readings of one moment that differ by more say no less than this; ours."""
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


@frozen
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
    start = start_of(firing, log, lit)
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


def start_of(firing: Firing, log: FiringLog, lit: datetime | None) -> Reading | None:
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
        kept, doubted = without_slips(readings, probe)
        log.doubted += doubted
        sound[probe] = kept
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
                half=min(max(before.half, reading.half, apart), WIDEST),
            )
        else:
            out.append(reading)
    return out


SLIPS = {
    "twelve hours": "{}: before noon or after?",
    "Fahrenheit as Celsius": "{}: was it read in °F?",
    "Celsius as Fahrenheit": "{}: was it read in °C and written as °F?",
    "jump": "{}, and comes back",
}
"""How a suspicion is worded, by its kind."""


def without_slips(
    readings: list[Reading], probe: str
) -> tuple[list[Reading], list[tuple[Reading, str]]]:
    """Part the readings of one probe into those a fire can make and those it cannot.

    The worst goes first, then the rest is judged anew. A jump that lasts is pointed out and kept.
    """
    kept = joined(readings)
    doubted: list[tuple[Reading, str]] = []
    lasting: set[str] = set()
    while True:
        found = [s for s in suspicions(_curve(kept, probe)) if kept[s.index].where not in lasting]
        if not found:
            return kept, sorted(doubted, key=lambda pair: pair[0].hours)
        worst = max(found, key=lambda s: _off_line(kept, s.index))
        reading = kept[worst.index]
        doubted.append((reading, SLIPS.get(worst.kind, "{}").format(worst.what)))
        if worst.kind == "jump" and _lasts(kept, worst.index):
            lasting.add(reading.where)
        else:
            kept.pop(worst.index)


def _off_line(readings: list[Reading], i: int) -> float:
    others = readings[:i] + readings[i + 1 :]
    if not others:
        return 0.0
    line = np.interp(
        readings[i].hours, [row.hours for row in others], [row.value for row in others]
    )
    return abs(readings[i].value - float(line))


def _lasts(readings: list[Reading], i: int) -> bool:
    """Whether the reading after a jump stays where the jump went."""
    if not 0 < i < len(readings) - 1:
        return False
    before, here, after = (readings[j].value for j in (i - 1, i, i + 1))
    return abs(after - here) < 0.5 * abs(here - before)
