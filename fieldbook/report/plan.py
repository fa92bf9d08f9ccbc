"""The plan of a firing for the shed wall: one page of plain text."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from fieldbook.advice.results import Result
from fieldbook.advice.review import Review
from fieldbook.report.units import Units, clock
from fieldbook.report.values import say, spell
from fieldbook.text import beside, wrap

SUPPLIES = (
    "fuel_needed",
    "heat_needed",
    "air_needed",
    "air_ratio_allowed",
    "draught",
    "fan_power",
    "battery",
)
BUILD = (
    "bricks_needed",
    "mortar_needed",
    "bricks_fit",
    "firings_needed",
    "calendar",
    "hot_face_limit",
    "heat_loss",
    "cold_face_temperature",
    "warm_up_time",
    "heat_stored",
    "fit_for_use",
)
NEVER = "Never leave a lit kiln. Keep water at hand and the ring clear. Local burn rules go first."


def firing_lines(review: Review, plan: Result, units: Units, width: int) -> list[str]:
    """The page: a line a step, then wood and air, the watches, and what to mind."""
    extra = plan.extra
    lines = [f"Plan of {review.entry.address}  {review.entry.title or ''}".rstrip(), ""]
    steps = plan.value if isinstance(plan.value, list) else []
    fuel = any(step.get("fuel") is not None for step in steps)
    lines.append("until            do                          look every  " + "wood" * fuel)
    lines += [_step_line(step, units) for step in steps]
    lines += ["", *_moments(extra, units), "", *_supplies(review, units)]
    lines += _watches(extra)
    lines += [f"  {line}" for note in extra.get("notes", ()) for line in wrap(str(note), width)]
    return [*lines, "", *wrap(NEVER, width)]


def _step_line(step: Mapping[str, Any], units: Units) -> str:
    until = clock(datetime.fromisoformat(step["to"]))[:-5].rpartition(" ")[0][:6]
    hour = datetime.fromisoformat(step["to"]).strftime("%a %H:%M")
    if step["do"] == "hold":
        does = f"hold at {units.say(step['end'], '°C', 1)}"
    else:
        rate = units.say(step["climb"], "K/h", 1)
        does = f"climb to {units.say(step['end'], '°C', 1)} at {rate}"
    every = f"{step['reading_every'] * 60:.0f} min"
    wood = f"{step['fuel']:.0f} kg" if step.get("fuel") is not None else ""
    head = f"{beside(f'{until} {hour}', 17)}{beside(does, 28)}{beside(every, 12)}{wood}"
    return f"{head}\n{' ' * 17}{step['name']}; limited by {step['limited_by']}"


def _moments(extra: Mapping[str, Any], units: Units) -> list[str]:
    lines = []
    for key, words in (("start", "light"), ("peak_at", "peak"), ("sealed_at", "seal")):
        if extra.get(key):
            lines.append(f"{beside(words, 17)}{clock(datetime.fromisoformat(extra[key]))}")
    if extra.get("opens_at"):
        lines.append(
            f"{beside('open, not before', 17)}{clock(datetime.fromisoformat(extra['opens_at']))}"
        )
    if extra.get("hottest") is not None and extra.get("peak_limit") is not None:
        hottest = units.say(extra["hottest"], "°C", 1)
        limit = units.say(extra["peak_limit"], "°C", 1)
        lines.append(f"{beside('hottest place', 17)}{hottest}; never above {limit}")
    for dusk in extra.get("dusk", ()):
        lines.append(f"{beside('dusk', 17)}{clock(datetime.fromisoformat(dusk))}")
    wetter = extra.get("wetter")
    if wetter and "hours" in wetter:
        lines.append(
            f"{beside('a wetter load', 17)}{wetter['moisture']:.0f} % more water costs "
            f"{wetter['hours']:.1f} h and {wetter['fuel']:.0f} kg of wood"
        )
    return lines


def _supplies(review: Review, units: Units) -> list[str]:
    found = [(name, review.get(name)) for name in SUPPLIES]
    return [beside(spell(name), 19) + say(r, units) for name, r in found if r is not None]


def _watches(extra: Mapping[str, Any]) -> list[str]:
    if not extra.get("watches"):
        return []
    lines = ["", "watches"]
    for watch in extra["watches"]:
        begin, end = (datetime.fromisoformat(watch[key]) for key in ("from", "to"))
        lines.append(f"  {begin:%a %H:%M} to {end:%a %H:%M}  ____________________")
    return lines


def _mixes(review: Review, width: int) -> list[str]:
    """Which mix suits it, a mix a paragraph."""
    result = review.results.get("mixes")
    rows = result.value if result is not None and isinstance(result.value, list) else []
    lines = [line for row in rows for line in wrap(row["says"], width, "      ", "  ")]
    if result is not None and result.extra.get("settle"):
        said = f"would tell them apart: {result.extra['settle']}"
        lines += wrap(said, width, "      ", "  ")
    return ["", "which mix, best first", *lines] if lines else []


def build_lines(review: Review, units: Units, now: datetime, width: int) -> list[str]:
    """What a build takes: bricks, mortar, firings, days; of hot work its heat."""
    lines = [f"Plan of {review.entry.address}  {review.entry.title or ''}".rstrip(), ""]
    for name in BUILD:
        result = review.results.get(name)
        if result is not None:
            head = beside(spell(name), 24)
            lines += wrap(say(result, units, now), width, " " * 24, head)
    lines += _mixes(review, width)
    for caution in review.cautions:
        lines += ["", *wrap(f"caution: {caution}", width)]
    return lines
