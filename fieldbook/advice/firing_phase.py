"""How far a firing has come: its events, its phase, and when it must be read again."""

from __future__ import annotations

import math
from dataclasses import field
from datetime import datetime, timedelta

from fieldbook.advice.firing_readings import AIR, FiringLog
from fieldbook.calc.readings import climb, reading_interval
from fieldbook.frozen import frozen
from fieldbook.records import Firing, FiringLine, Notebook

RUNNING = ("lit", "climbing", "holding", "sealed", "cooling")
"""Phases with fire or heat in the kiln."""
SLOWEST_COOLING = 30.0
"""h: time constant of the best insulated small kiln; from memory."""
SILENT_FOR = 24.0
"""h without a line from which a fire may be taken for out; nobody feeds one that long unseen."""
LEFT_SHUT = 48.0
"""h that a kiln is left shut after it could be opened; common practice."""
COLD = 100.0
"""degC at which a kiln is cold enough to open; common practice."""
WARM = 50.0
"""degC above which a kiln without a `lit` line must have been lit; common practice."""
HOTTEST = 1400.0
"""degC, more than a wood fire makes; a reading above it is a slip; from memory."""
FALLEN = 25.0
"""K below the hottest reading from which a steady fall is taken for cooling."""
LEVEL = 10.0
"""K/h: less than that, near the peak, is a hold; common practice."""


@frozen
class Events:
    """The first time each thing happened, and the line it stands at."""

    at: dict[str, datetime] = field(default_factory=dict)
    where: dict[str, str] = field(default_factory=dict)
    lit_by: str = ""
    """How the lighting is known: `event`, `first reading`, `first fuel` or empty."""

    def get(self, name: str) -> datetime | None:
        """When it happened, or None."""
        return self.at.get(name)

    @property
    def lit(self) -> datetime | None:
        """When the fire was lit."""
        return self.at.get("lit")


def events_of(firing: Firing, notebook: Notebook) -> Events:
    """The events of a firing as of now; lighting is taken from the first sign of fire."""
    events = Events()
    lit = min((x.at for x in firing.log if getattr(x, "event", None) == "lit"), default=None)
    for line in firing.log:
        if lit is not None and line.at < lit:
            continue  # nothing is sealed or opened before it is lit: a slip in the time
        if isinstance(line, FiringLine) and line.event and line.event not in events.at:
            events.at[line.event] = line.at
            events.where[line.event] = line.where
    if "unloaded" not in events.at and firing.unloaded and (end := _end(firing, notebook)):
        events.at["unloaded"] = end
    if "lit" in events.at:
        return Events(events.at, events.where, "event")
    for line in firing.log:
        if isinstance(line, FiringLine) and (line.temperature or line.fuel or line.glow):
            events.at["lit"] = line.at
            events.where["lit"] = line.where
            return Events(events.at, events.where, "first fuel" if line.fuel else "first reading")
    return events


def out_by(firing: Firing, phase: str) -> datetime | None:
    """When a fire of which nothing was noted any more is out and cold, at the slowest.

    Unfed it falls from the last reading to 100 degC; a sealed kiln gets two more days to be opened.
    """
    if phase not in RUNNING or not firing.log:
        return None
    read = [
        line.temperature.value
        for line in firing.log
        if isinstance(line, FiringLine) and line.temperature and not line.temperature.is_bound
    ]
    last = min(read[-1], HOTTEST) if read else 0.0
    falls = SLOWEST_COOLING * math.log(max(last - AIR, COLD - AIR) / (COLD - AIR))
    hours = max(falls, SILENT_FOR) + (LEFT_SHUT if phase in ("sealed", "cooling") else 0.0)
    return firing.log[-1].at + timedelta(hours=hours)


def is_out(firing: Firing, phase: str, notebook: Notebook) -> bool:
    """Whether nothing was noted for so long that the fire must be out and cold."""
    out = out_by(firing, phase)
    return out is not None and notebook.now is not None and notebook.is_past(out)


def _end(firing: Firing, notebook: Notebook) -> datetime | None:
    """The last line of the whole log, where it is not later than now."""
    whole = notebook.load(firing.address)
    log = whole.log if whole is not None and whole.log else firing.log
    if not log:
        return notebook.present
    last = log[-1].at
    return last if notebook.is_past(last) else None


@frozen
class Timeline:
    """Where a firing stands."""

    events: Events
    phase: str
    reading_every: float | None
    """h, as the maker set it; None: by the state of the fire."""
    every_where: str
    interval: float
    """h, in force now."""
    due: datetime | None
    """When it must be read next; None where no reading is due."""
    out: bool = False
    """Whether nothing was noted for so long that the fire must be out and cold."""

    @property
    def running(self) -> bool:
        """Whether there is fire or heat in it."""
        return self.phase in RUNNING

    @property
    def past_peak(self) -> bool:
        """Whether the fire is let go."""
        return self.phase in ("sealed", "cooling", "opened", "unloaded")


def timeline_of(firing: Firing, notebook: Notebook, events: Events, log: FiringLog) -> Timeline:
    """Phase and next reading of a firing."""
    every, where = every_of(firing, notebook)
    phase = _phase(firing, events, log)
    newest = log.newest
    if newest is None:
        interval = every or 1 / 3
        since = events.lit if phase == "lit" else None
    else:
        slope = _slope(log) or 0.0
        interval = every or _interval(phase, newest.value, slope)
        since = log.origin + timedelta(hours=newest.hours)
    out = is_out(firing, phase, notebook)
    running = phase in RUNNING and not out
    due = since + timedelta(hours=interval) if since and running else None
    return Timeline(events, phase, every, where, interval, due, out)


def every_of(firing: Firing, notebook: Notebook) -> tuple[float | None, str]:
    """h between readings as the maker set it, and where that stands; None where it is not set."""
    plan, practice = firing.plan, notebook.settings.practice
    for amount in (plan and plan.reading_every, practice and practice.reading_every):
        if amount and not amount.is_bound and amount.value > 0:
            return amount.value, amount.where
    return None, ""


def _interval(phase: str, temperature: float, slope: float) -> float:
    if phase in ("sealed", "cooling"):
        return 2.0
    if phase == "holding" and temperature >= 150:
        return 1.0
    return reading_interval(temperature, slope)


def _slope(log: FiringLog) -> float | None:
    newest = log.newest
    return climb(log.series[newest.place].curve) if newest else None


def _phase(firing: Firing, events: Events, log: FiringLog) -> str:
    if events.get("unloaded"):
        return "unloaded"
    cooling, sealed, peak = (events.get(name) for name in ("cooling", "sealed", "peak"))
    opened = events.get("opened")
    if opened and not (sealed and sealed > opened):  # else it was closed again, or never open
        return "opened"
    if cooling and (not sealed or cooling >= sealed):
        return "cooling"
    if sealed:
        return "cooling" if cooling or _falling(log) else "sealed"
    if _falling(log) and (_fallen_far(log) or peak):
        return "cooling"
    if peak:
        return "holding"
    if log.newest is None:
        return "lit" if events.lit_by in ("event", "first fuel") else "planned"
    if events.lit_by == "first reading" and log.newest.value < WARM:
        return "planned"
    return "holding" if _level_at_peak(firing, log) else "climbing"


def _falling(log: FiringLog) -> bool:
    """Whether the place that was hottest has cooled clearly below its hottest."""
    if not log.series:
        return False
    hottest = max(log.series.values(), key=lambda s: max(r.value for r in s.readings))
    top = max(r.value for r in hottest.readings)
    slope = climb(hottest.curve)
    return slope is not None and slope < -LEVEL and hottest.last.value < top - FALLEN


def _fallen_far(log: FiringLog) -> bool:
    """Whether the fall is too deep to be a fire that has only died down."""
    top = max(r.value for s in log.series.values() for r in s.readings)
    now = max(s.last.value for s in log.series.values())
    return top > 600 and now < min(top - 100, 0.85 * top)


def _level_at_peak(firing: Firing, log: FiringLog) -> bool:
    peak = firing.plan.peak if firing.plan else None
    slope = _slope(log)
    if peak is None or slope is None:
        return False
    coldest = min(s.last.value for s in log.series.values())
    return abs(slope) < LEVEL and coldest > peak.value - 15
