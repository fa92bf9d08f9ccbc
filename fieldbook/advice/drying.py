"""The drying of a batch: its fit, what earlier batches of the mix teach, and when it is ready."""

from __future__ import annotations

import math
from bisect import bisect_left
from datetime import datetime, timedelta
from itertools import pairwise
from typing import Any

import numpy as np

from fieldbook.advice import dry_mass as dryness
from fieldbook.advice.context import Context
from fieldbook.advice.derive import Known, missing
from fieldbook.advice.dry_mass import DryMasses
from fieldbook.advice.review import Review
from fieldbook.advice.weather import weather_of
from fieldbook.advice.weighings import (
    MarkedBrick,
    bricks_of,
    from_the_air,
    gained,
    moulded_at,
    question_all,
)
from fieldbook.calc.drying import DryingFit, NotReady, Prior, Ready, fit_drying, pooled
from fieldbook.calc.drying_law import slab_moisture_ratio
from fieldbook.calc.evaporation import open_area
from fieldbook.errors import FieldbookError, NotPossible
from fieldbook.frozen import frozen
from fieldbook.records import Batch

LAW = "Geankoplis, Transport Processes and Unit Operations, 9.6 and 9.7; priors from memory"
EARLIER = 3
"""So many earlier batches of a mix teach the next one; the latest of them; ours."""
DAY_RATE = 0.0025
"""[1/h] Water lost in an hour of the first day: what a moulding day without an hour leaves open."""
KILN_DIFFUSIVITY = 4 * 2.97e-6
"""[m²/h] Of water in clay near 90 °C: Geankoplis, Example 9.9-1, four times as great with the
water that much thinner (from memory)."""


@frozen
class Drying:
    """The fitted law of one batch, in hours since `start`."""

    fit: DryingFit
    start: datetime
    weather_notes: int
    taught_by: tuple[str, ...]
    """Earlier batches of the mix that the prior comes from."""

    def at(self, hours: float) -> datetime | None:
        """The moment so many hours after the start; None where it is too far to foresee."""
        if not math.isfinite(hours) or abs(hours) > 24 * 3650:
            return None
        return (self.start + timedelta(hours=hours)).replace(microsecond=0)

    def hours(self, moment: datetime) -> float:
        """Hours since the start."""
        return (moment - self.start).total_seconds() / 3600

    def curve(self, hours: list[float]) -> dict[str, list[float]]:
        """The fitted moisture of each brick [% of the dry mass] at some hours, for a picture."""
        points = [self.fit.moisture_at(hour) for hour in hours]
        return {name: [100 * p[name].value for p in points] for name in self.fit.bricks}


def fit_of(
    batch: Batch,
    bricks: dict[str, MarkedBrick],
    masses: DryMasses,
    context: Context,
    prior: Prior | None = None,
    taught_by: tuple[str, ...] = (),
) -> Drying | None:
    """The drying law fitted to what may be derived from; None where nothing was weighed."""
    start = _start(batch, bricks, masses)
    if start is None:
        return None
    rows = list(_rows(bricks, masses, start))
    if not rows:
        return None
    weather = weather_of(batch, start, context)
    common: dict[str, Any] = {
        "area_by_dry_mass": _area_by_dry_mass(batch, masses),
        "prior": prior,
        "dry_mass_sd": _shared_doubt(bricks, masses),
    }
    try:
        fit = fit_drying(rows, drying_force=weather[0] if weather else None, **common)
    except NotPossible:
        weather = None
        fit = fit_drying(rows, **common)
    return Drying(fit, start, weather[1] if weather else 0, taught_by)


def _start(batch: Batch, bricks: dict[str, MarkedBrick], masses: DryMasses) -> datetime | None:
    """When the drying that is fitted began: at moulding, or after the last rain that wetted it."""
    start = moulded_at(batch)
    for name, mass in masses.of.items():
        weighed = dryness.sound_weighings(bricks[name], masses)
        for before, after in pairwise(weighed):
            if gained(before, after) and not from_the_air(before, after, mass.known.value):
                start = after.at if start is None else max(start, after.at)
    return start


def _rows(
    bricks: dict[str, MarkedBrick], masses: DryMasses, start: datetime
) -> list[tuple[float, str, float, float]]:
    rows = []
    for name, mass in masses.of.items():
        if name in masses.suspect:
            continue
        dry = mass.known.value
        for one in dryness.sound_weighings(bricks[name], masses):
            hours = (one.at - start).total_seconds() / 3600
            if hours < 0:
                continue
            step = _independent(one.known) / dry
            when = DAY_RATE * one.half_hours / math.sqrt(3)
            rows.append((hours, name, one.known.value / dry - 1, float(np.hypot(step, when))))
    return rows


def _independent(known: Known) -> float:
    """Standard uncertainty of a reading apart from the error its instrument shares [its unit]."""
    parts = known.number.error_components()
    return math.sqrt(sum(part**2 for label, part in parts.items() if label.tag != "scale"))


def _shared_doubt(bricks: dict[str, MarkedBrick], masses: DryMasses) -> float:
    """Relative standard uncertainty that the dry masses share, the scale's own error cancelled."""
    doubts = []
    for name, mass in masses.of.items():
        last = bricks[name].last
        if last is not None:
            ratio = mass.known.number / last.known.number
            doubts.append(float(ratio.std_dev) / float(ratio.nominal_value))
    return sum(doubts) / len(doubts) if doubts else 0.0


def _area_by_dry_mass(batch: Batch, masses: DryMasses) -> float | None:
    size = batch.green or batch.mould
    sides = [getattr(size, side) for side in ("length", "width", "height")] if size else []
    known = [side.value for side in sides if side is not None and not side.is_bound]
    if len(known) < 3 or min(known) <= 0 or not masses.of:
        return None
    mean = sum(mass.known.value for mass in masses.of.values()) / len(masses.of)
    return float(open_area.plain(*known)) / mean


# --- what earlier batches teach ---


def taught(batch: Batch, context: Context) -> tuple[Prior | None, Known | None, tuple[str, ...]]:
    """The prior, the water held air-dry, and the earlier batches of the mix they come from."""
    priors, held, names = [], None, []
    for other in _earlier(batch, context):
        drying, water = _lesson(other, context)
        if drying is not None and drying.fit.weighings >= 4:
            priors.append(drying.fit.as_prior())
            names.append(other.address)
        held = held or water
    return (pooled(priors) if priors else None), held, tuple(names)


def _earlier(batch: Batch, context: Context) -> list[Batch]:
    """The latest earlier batches of the same mix, the latest first."""
    start = moulded_at(batch)
    if start is None or batch.mix is None:
        return []
    begun = context.once(_begun).get(batch.mix, [])
    count = bisect_left(begun, start, key=lambda pair: pair[0])
    found = (context.notebook.entry(name) for _, name in reversed(begun[:count][-EARLIER:]))
    return [other for other in found if isinstance(other, Batch)]


def _begun(context: Context, _: str) -> dict[str, list[tuple[datetime, str]]]:
    """The batches of each mix by when they were moulded; worked out once for all of them.

    So each batch looks at those that teach it, and not at every other.
    """
    found: dict[str, list[tuple[datetime, str]]] = {}
    # of two at one moment the first by name counts as the later, as the latest come first
    for batch in reversed(list(context.notebook.of(Batch))):
        began = moulded_at(batch)
        if batch.mix is not None and began is not None:
            found.setdefault(batch.mix, []).append((began, batch.address))
    return {mix: sorted(rows, key=lambda row: row[0]) for mix, rows in found.items()}


def _lesson(batch: Batch, context: Context) -> tuple[Drying | None, Known | None]:
    """One earlier batch by itself: its fit, and what it held air-dry; worked out once."""
    return context.once(_learn, batch.address)


def _learn(context: Context, address: str) -> tuple[Drying | None, Known | None]:
    batch = context.notebook.entry(address)
    assert isinstance(batch, Batch)
    bricks = bricks_of(batch, context)
    nowhere = Review(entry=batch)
    question_all(batch, bricks, nowhere)
    begun = dryness.begin(batch, bricks, nowhere, context)
    masses = dryness.find(batch, bricks, nowhere, context, found=begun, ignition_loss=missing())
    try:
        drying = fit_of(batch, bricks, masses, context)
    except FieldbookError:
        drying = None
    return drying, dryness.held_by(batch, bricks, masses)


# --- when ---


def when_ready(drying: Drying, target: float) -> Ready | NotReady:
    """When the wettest marked brick is below the target [% of the dry mass]."""
    return drying.fit.ready(target / 100)


def next_weighing(drying: Drying, target: float) -> datetime | None:
    """When weighing the marked bricks narrows the day they are ready the most."""
    hours = drying.fit.next_weighing(target / 100)
    return None if hours is None else drying.at(hours)


def kiln_hours(water: float, target: float, thickness: float) -> float | None:
    """Hours below 100 °C in the kiln that take a brick from one moisture [%] to another.

    Formula: the slab series of diffusion from both faces, solved for the time.
    """
    if not 0 < target < water:
        return None
    low, high = 0.0, 2000.0
    for _ in range(60):
        middle = (low + high) / 2
        left = float(slab_moisture_ratio.plain(middle, KILN_DIFFUSIVITY, thickness / 2))
        low, high = (middle, high) if left > target / water else (low, middle)
    return high
