"""What earlier firings of a kiln teach: its efficiency, its spread, how it cools.

Read from the records alone, with no march, so that it costs little however many there were.
"""

from __future__ import annotations

import math

import numpy as np

from fieldbook.advice.context import Context
from fieldbook.advice.firing_cooling import falling_rows, last_air
from fieldbook.advice.firing_fuel import Burnt, burnt_in, useful_of
from fieldbook.advice.firing_load import Loaded, load_of
from fieldbook.advice.firing_phase import events_of
from fieldbook.advice.firing_readings import FiringLog, read_log
from fieldbook.calc.cooling import fit_cooling
from fieldbook.errors import NotPossible
from fieldbook.frozen import frozen
from fieldbook.records import Firing, Kiln

MOST_USEFUL = 0.8
"""Of the heat of the fuel, the most that can stay in the bricks: gas and walls take a fifth even of
the best kiln, from memory. More means that fuel was not noted."""


@frozen
class Past:
    """One finished firing, as far as its record tells."""

    firing: Firing
    peak: dict[str, float]
    """degC by place."""
    spread: float | None
    """K between the peaks of the hottest and the coldest place."""
    cooling: float | None
    """h, time constant of the fall."""
    fuel: Burnt
    useful: float | None
    """MJ that ware, free water and reactions took."""
    hours: float | None
    """From lighting to sealing."""

    @property
    def efficiency(self) -> float | None:
        """Useful heat over the heat of the fuel, 0 to 1."""
        if self.useful is None or not self.fuel.energy:
            return None
        part = self.useful / self.fuel.energy
        return part if 0 < part <= MOST_USEFUL else None


@frozen
class Mean:
    """A mean of earlier firings and how much they scatter."""

    value: float
    sd: float | None
    n: int
    each: dict[str, float]

    @property
    def half(self) -> float:
        """Twice the scatter; a quarter of the value while there is one firing alone."""
        return 2 * self.sd if self.sd is not None else 0.25 * abs(self.value)


def past_firings(kiln: Kiln, context: Context, but: str = "") -> list[Past]:
    """The finished firings of a kiln, by name, `but` left out."""
    found = []
    for firing in context.notebook.of(Firing):
        if firing.kiln != kiln.name or firing.name == but:
            continue
        events = events_of(firing, context.notebook)
        if "unloaded" in events.at or "opened" in events.at:
            found.append(past_of(firing, context))
    return found


def past_of(firing: Firing, context: Context) -> Past:
    """What the record of one firing tells without a march; worked out once."""
    return context.once(_past, firing.address)


def _past(context: Context, address: str) -> Past:
    firing = context.notebook.entry(address)
    assert isinstance(firing, Firing)
    events = events_of(firing, context.notebook)
    origin = events.lit or context.now
    log = read_log(firing, origin, events.lit, context.instruments)
    loaded = load_of(firing, context, events.lit)
    peaks = {p: max(r.value for r in s.readings) for p, s in log.series.items()}
    end = events.get("sealed") or events.get("cooling") or events.get("peak")
    return Past(
        firing,
        peaks,
        max(peaks.values()) - min(peaks.values()) if len(peaks) > 1 else None,
        _cooling(log, firing),
        burnt_in(firing, context),
        _useful(loaded, peaks),
        (end - origin).total_seconds() / 3600 if end else None,
    )


def _useful(loaded: Loaded, peaks: dict[str, float]) -> float | None:
    if not peaks:
        return None
    terms = useful_of(loaded, sum(peaks.values()) / len(peaks))
    return sum(terms.values()) if terms else None


def _cooling(log: FiringLog, firing: Firing) -> float | None:
    """The time constant of the hottest place, from all readings that fall."""
    if not log.series:
        return None
    hottest = max(log.series.values(), key=lambda s: max(r.value for r in s.readings))
    rows = falling_rows(hottest)
    air = last_air(firing)[0]
    rows = [row for row in rows if row.value > air + 10]
    if len(rows) < 3:
        return None
    try:
        fit = fit_cooling(
            np.array([r.hours for r in rows]), np.array([r.value for r in rows]), air, last=12
        )
    except NotPossible:
        return None
    return fit.time_constant


def mean_of(values: dict[str, float]) -> Mean | None:
    """The mean of a value over firings by name; None where there is none."""
    numbers = [value for value in values.values() if math.isfinite(value)]
    if not numbers:
        return None
    sd = float(np.std(numbers, ddof=1)) if len(numbers) > 1 else None
    return Mean(float(np.mean(numbers)), sd, len(numbers), values)


@frozen
class Learnt:
    """What a kiln has shown of itself; None where nothing did."""

    efficiency: Mean | None
    spread: Mean | None
    cooling: Mean | None
    firings: tuple[Past, ...]


def learnt_of(kiln: Kiln, context: Context, but: str = "") -> Learnt:
    """Efficiency, spread and cooling constant of a kiln, over its finished firings."""
    past = past_firings(kiln, context, but)
    return Learnt(
        mean_of({p.firing.name: p.efficiency for p in past if p.efficiency is not None}),
        mean_of({p.firing.name: p.spread for p in past if p.spread is not None}),
        mean_of({p.firing.name: p.cooling for p in past if p.cooling is not None}),
        tuple(past),
    )
