"""How far a fire may go to its next reading: the allowed climb, the gates, the limit."""

from __future__ import annotations

from datetime import timedelta
from typing import NamedTuple

from fieldbook.advice.fire import (
    Spot,
    coldest,
    hottest,
    peak_limit,
    phase,
    wanted_hold,
    wanted_peak,
)
from fieldbook.advice.rules import Case

DRY_CORE = 1.0
"""% of the dry mass at the core, below which steam can no longer burst it."""
BOILING_FACE = 120.0
"""degC that the face is held at while the core is wet: 97 kPa of steam above the air."""
MARGIN = 15.0
"""K below the peak limit at which feeding stops: what a kiln still climbs on its embers."""
BELOW = 0.9
"""of the allowed climb is advised, for it shrinks while the bricks get hotter."""
STEADY = 50.0
"""K/h: the most that is advised before quartz is passed; common practice, from memory."""
QUARTZ = (520.0, 620.0)
"""degC: where quartz turns, with the width a core that trails its face gives it."""


class Step(NamedTuple):
    """How far the fire may go to the next reading."""

    cold: Spot
    rate: float
    """K/h advised."""
    rise: float
    """K until the next reading."""
    hours: float
    left: float
    """h of fire left at this rate, the hold with it."""


def next_step(case: Case) -> Step | None:
    """The climb to the next reading; None where it is not known or the peak is near."""
    allowed, peak = case.number("allowed_climb"), wanted_peak(case)
    faces = case.result("face_temperature")
    cold, hot = coldest(faces), hottest(faces)
    if phase(case) not in ("lit", "climbing") or cold is None or hot is None or peak is None:
        return None
    if allowed is None or too_late(case) or cold.value >= peak - MARGIN:
        return None
    rate = min(BELOW * allowed, STEADY if hot.value < QUARTZ[1] else 2 * STEADY)
    hours = reading_hours(case)
    rise = max(0.0, min(rate * hours, peak - cold.value, room(case, hot.value)))
    left = (peak - cold.value) / max(rate, 1.0) + wanted_hold(case)
    return Step(cold, rate, rise, hours, left)


def room(case: Case, hot: float) -> float:
    """How far [K] the hottest place may climb: to the quartz zone, a wet core's hold, the limit."""
    end = peak_limit(case) - 2 * MARGIN - hot
    gates = [QUARTZ[0]]
    water = hottest(case.result("free_water_left"))
    if water is not None and water.value > DRY_CORE:
        gates.append(BOILING_FACE)
    return max(0.0, min([end, *(gate - hot for gate in gates if gate - hot > 10)]))


def too_late(case: Case) -> bool:
    """Whether the next reading is so overdue that the fire must be read before it is fed."""
    due = case.time("next_reading")
    return due is not None and case.now - due > timedelta(minutes=15)


def reading_hours(case: Case) -> float:
    """Hours to the next reading, at least a quarter; half an hour if unknown."""
    due = case.time("next_reading")
    return max(0.25, (due - case.now).total_seconds() / 3600) if due else 0.5
