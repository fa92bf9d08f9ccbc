"""A firing while it burns: the plot, and in a few lines what matters at the kiln."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta
from typing import Any, NamedTuple

from fieldbook.advice.fire_step import too_fast
from fieldbook.advice.results import Result
from fieldbook.advice.review import Review
from fieldbook.quantities import convert
from fieldbook.report.plot import Curve, Frame, plot
from fieldbook.report.units import Units, clock
from fieldbook.report.values import moment_text, say, spell
from fieldbook.text import many

MOST_POINTS = 400
"""Points of a curve that are drawn; more would fall on the same dots."""
LEAST_SPAN = 1.0
"""Hours the clock axis spans at least."""


LET_GO = ("sealed", "cooling")
"""Phases of a fire that is let go."""
OUTCOME = (
    ("came out", ("yield",)),
    ("lost", ("losses",)),
    ("hottest", ("peak", "heat_work", "spread")),
    ("wood", ("fuel_used", "specific_energy")),
)
"""What is said of a fire that is out: the word before it, and the values."""


class Said(NamedTuple):
    """One line at the kiln: what it is about, what is said, whether it is a warning."""

    about: str
    text: str
    is_warning: bool = False


def fire_lines(review: Review, units: Units, now: datetime) -> list[Said]:
    """What matters now, the most urgent first. Where a reading is overdue, less is said."""
    phase = review.facts.get("phase")
    lines = [*_reading(review, now), *_doubts(review)]
    if phase in ("opened", "unloaded"):
        return [*lines, *_outcome(review, units, now)]
    told = _as_read(review)
    lines += _inside(told, units)
    if not review.facts.get("overdue_since"):
        lines += _rate(review, units, "fall" if phase in LET_GO else "climb")
        lines += [] if phase in LET_GO else _to_go(review, units, now)
    if phase in LET_GO:
        return [*lines, *_cooling(review, now)]
    return [*lines, *_left(told, units), *_stages(told), *_fuel(review, units)]


def _as_read(review: Review) -> Review:
    """The review itself, or where a reading is overdue that of the moment of the last one."""
    if not review.facts.get("overdue_since"):
        return review
    then: Review | None = getattr(review.model, "as_read", None)
    return then or review


def _outcome(review: Review, units: Units, now: datetime) -> Iterator[Said]:
    """What came of a fire that is out."""
    for about, names in OUTCOME:
        found = [(name, review.get(name)) for name in names]
        parts = [f"{spell(name)} {say(r, units, now)}" for name, r in found if r is not None]
        if parts:
            yield Said(about, ", ".join(parts))


def _cooling(review: Review, now: datetime) -> Iterator[Said]:
    parts = [
        f"{word} {moment_text(str(result.value), now)}"
        for word, name in (("open it", "opens"), ("unload it", "unload_at"))
        if (result := review.get(name)) is not None
    ]
    if parts:
        yield Said("cooling", ", ".join(parts))


def _reading(review: Review, now: datetime) -> Iterator[Said]:
    due = review.get("next_reading")
    overdue, last = review.facts.get("overdue_since"), review.facts.get("last_reading")
    if overdue is not None:
        known = f"; what follows is as of {clock(last, now)}" if last else ""
        yield Said("READING", f"OVERDUE since {clock(overdue, now)}{known}", True)
    elif due is not None:
        at = datetime.fromisoformat(str(due.value))
        every = due.extra.get("every")
        yield Said(
            "reading", f"next at {clock(at, now)}{f', every {span(every)}' if every else ''}"
        )


def _doubts(review: Review) -> Iterator[Said]:
    """What cannot be right, the first of it in full."""
    found = review.problems
    if found:
        more = f" (and {len(found) - 1} more: e shows them)" if len(found) > 1 else ""
        yield Said("DOUBT", f"{found[0].what}, at {found[0].where}{more}", True)


def phase_text(review: Review, now: datetime) -> str:
    """How far the firing has got, and since when it burns."""
    phase = str(review.facts.get("phase", ""))
    lit = review.facts.get("events", {}).get("lit")
    if lit is None or phase in ("unloaded", ""):
        return phase
    since = f"lit {clock(lit, now)}"
    return since if phase == "lit" else f"{phase}, {since}"


def _inside(review: Review, units: Units) -> Iterator[Said]:
    face, core = review.get("face_temperature"), review.get("core_temperature")
    parts = [
        f"{name} {bounded(result, units)}"
        for name, result in (("face", face), ("core", core))
        if result is not None
    ]
    if parts:
        places = [r.extra.get("place") for r in (face, core) if r is not None]
        place = f" at {places[0]}, the coldest" if places[0] else ""
        yield Said("brick", ", ".join(parts) + place)


def _rate(review: Review, units: Units, word: str) -> Iterator[Said]:
    """How fast it climbs or falls, against what is allowed."""
    rate, allowed = review.get(word), review.get(f"allowed_{word}")
    if rate is None and allowed is None:
        return
    parts = [_as_it_goes(rate, units, word) if rate else "not known yet"]
    verdict, fast = "", too_fast(review, word)
    if allowed is not None:
        limit = review.get(f"{word}_is_limited_by")
        why = f" ({limit.value})" if limit else ""
        parts.append(f"allowed {units.say(allowed.number, allowed.unit, 5.0)}{why}")
        if rate is not None and rate.number > allowed.number:
            verdict = ": TOO FAST" if fast else ": at the limit"
    yield Said(word, ", ".join(parts) + verdict, fast)


def _as_it_goes(rate: Result, units: Units, word: str) -> str:
    """A climb, or a fall; what goes the other way is said to."""
    said = units.say(abs(rate.number), rate.unit, rate.plus_minus)
    if rate.number >= 0 or not rate.number:
        return said
    return f"{'falls' if word == 'climb' else 'climbs'} {said}"


def _to_go(review: Review, units: Units, now: datetime) -> Iterator[Said]:
    left, work = review.get("time_left"), review.get("heat_work_left")
    parts = []
    if left is not None and isinstance(left.value, int | float):
        in_stage = left.extra.get("stage_left")
        if isinstance(in_stage, int | float):
            parts.append(f"{span(float(in_stage))} left in the stage")
        parts.append(f"{span(left.number)} to the peak")
    if work is not None:
        parts.append(f"heat-work left {span(work.number / 60)}")
    if parts:
        yield Said("to go", ", ".join(parts))


def _left(review: Review, units: Units) -> Iterator[Said]:
    parts = []
    for name, word in (
        ("free_water_left", "free water"),
        ("bound_water_left", "bound water"),
        ("carbon_left", "carbon"),
    ):
        result = review.get(name)
        if result is not None:
            parts.append(f"{word} {_share(result)}")
    if parts:
        yield Said("in core", ", ".join(parts))


def _share(result: Result) -> str:
    """A part left, as a percentage with its bounds."""
    scale = 100.0 if result.unit in ("1", None, "") else 1.0
    low, high = result.low, result.high
    if low is None or high is None:
        return f"{result.number * scale:.0f} %"
    low, high = low * scale, high * scale
    if high < 1:
        return "gone"
    digits = 1 if high < 10 and scale == 1.0 else 0
    ends = [f"{end:.{digits}f}" for end in (low, high)]
    return " to ".join(dict.fromkeys(ends)) + " %"


def _stages(review: Review) -> Iterator[Said]:
    stages = review.get("stages")
    if stages is None or not isinstance(stages.value, list):
        return
    parts = []
    for stage in stages.value:
        state = stage.get("state")
        if state and state not in ("ahead", "later", "to come"):
            hot = " at the coldest, over at the hottest" if (
                stage.get("over_at_hottest") and not stage.get("over")
            ) else ""  # fmt: skip
            parts.append(f"{stage['name']} {state}{hot}")
    if parts:
        yield Said("stages", "; ".join(parts))


def _fuel(review: Review, units: Units) -> Iterator[Said]:
    used, to_go = review.get("fuel_used"), review.get("fuel_to_go")
    parts = []
    if used is not None:
        parts.append(f"{units.say(used.number, used.unit, used.plus_minus)} put on")
    if to_go is not None:
        parts.append(f"{bounded(to_go, units)} to go{_measure(to_go)}")
    feed = review.get("next_feed")
    if feed is not None and not review.facts.get("overdue_since"):
        parts.append(_feed(feed, units))
    if parts:
        yield Said("wood", ", ".join(parts))
    battery = review.get("battery")
    if battery is not None:
        yield Said("battery", ", ".join(_battery(battery, units)))


LEAST_FEED = 0.5
"""[kg] Less is no wood worth carrying; common practice."""


def _feed(feed: Result, units: Units) -> str:
    """The wood until the next reading."""
    if feed.number < LEAST_FEED:
        return "none before the next reading"
    feeds = int(feed.extra.get("feeds", 1))
    parts = f" in {feeds} feeds" if feeds > 1 else ""
    return f"next {units.say(feed.number, feed.unit, 0.5)}{parts}"


def _measure(result: Result) -> str:
    amount, name = result.extra.get("measure"), result.extra.get("measure_name")
    if not amount or not name or amount < 0.05:
        return ""
    return f" (about {amount:.{0 if amount >= 10 else 1}f} {many(name, amount)})"


def _battery(battery: Result, units: Units) -> Iterator[str]:
    extra = battery.extra
    to_go, left = extra.get("to_go"), extra.get("left")
    if to_go is None:
        yield f"needs {bounded(battery, units)}"
    else:
        yield f"the fan draws {units.say(to_go, 'Wh')} in {span(extra['hours_to_go'])}"
    if left is not None:
        lasts = f"{units.say(left, 'Wh')} left, for {span(extra['hours_left'])}"
        yield lasts + ("" if extra.get("enough", True) else ": TOO LITTLE")
    elif extra.get("holds"):
        holds = f"holds {units.say(extra['holds'], 'Wh')}"
        yield holds + ("" if extra.get("enough") else ": TOO LITTLE")
    if extra.get("charge") is not None:
        yield f"last read {extra['charge']:.0f} %"


def bounded(result: Result, units: Units) -> str:
    """A value with its bounds."""
    half = result.plus_minus
    if result.low is None or result.high is None:
        return units.say(result.number, result.unit, half)
    half = max((result.high - result.low) / 2, 1e-9)
    low, high = (units.say(end, result.unit, half) for end in (result.low, result.high))
    said = units.say(result.number, result.unit, half)
    return said if low == high else f"{said} ({_bare(low, high)} to {high})"


def _bare(low: str, high: str) -> str:
    """The lower bound without its unit, where it is that of the upper one."""
    number, _, unit = low.partition(" ")
    return number if high.endswith(f" {unit}") else low


def span(hours: float) -> str:
    """A span of time as people say it."""
    minutes = round(hours * 60)
    if minutes < 120:
        return f"{minutes} min"
    return f"{minutes // 60} h {minutes % 60:02d}" if minutes < 2880 else f"{hours / 24:.1f} days"


class Drawn(NamedTuple):
    """The plot, and what its lines mean."""

    rows: list[str]
    legend: str


def fire_plot(
    review: Review, units: Units, now: datetime, width: int, height: int, *, ascii_only: bool
) -> Drawn:
    """Face and core at the coldest place, and the plan, over clock time; empty without any."""
    unit = units.of.get("temperature") or "degC"
    origin = getattr(review.model, "origin", now).astimezone(now.tzinfo)
    curves = [*_state_curves(review, unit), *_plan_curve(review, origin, unit)]
    if not curves or height < 5 or width < 30:
        return Drawn([], "")
    first = min(float(curve.hours[0]) for curve in curves)
    last = max(*(float(curve.hours[-1]) for curve in curves), first + LEAST_SPAN)
    top = max(max(curve.values) for curve in curves)
    frame = Frame(origin, first, last, convert(0.0, "degC", unit), top * 1.04, width, height)
    rows = plot(curves, frame, ascii_only=ascii_only)
    return Drawn(rows, _legend(curves, unit, ascii_only=ascii_only))


def _legend(curves: list[Curve], unit: str, *, ascii_only: bool) -> str:
    sign = "" if ascii_only else "°"
    said = [f"{sign}{unit.removeprefix('deg')}"]
    said += [f"{_sample(curve, ascii_only=ascii_only)} {curve.name}" for curve in curves]
    return "  ".join(said)


def _sample(curve: Curve, *, ascii_only: bool) -> str:
    if curve.is_marks or ascii_only:
        return curve.letter
    return {(1, 0): "⠤⠤", (1, 2): "⠄⠠"}.get(curve.pattern, "⠤ ⠤")


def _state_curves(review: Review, unit: str) -> Iterator[Curve]:
    state = getattr(review.model, "state", None)
    if state is None or not state.places:
        return
    cold = state.coldest
    every = max(1, len(cold.time) // MOST_POINTS)
    hours = [*cold.time[::every], cold.time[-1]]
    for name, pattern, letter in (("face", (1, 0), "#"), ("core", (1, 2), "o")):
        middle = getattr(cold, name)[1]
        values = [*middle[::every], middle[-1]]
        yield Curve(name, _floats(hours), _in(values, unit), pattern, letter)
    yield from _readings(review, cold.place, unit)


def _readings(review: Review, place: str, unit: str) -> Iterator[Curve]:
    found = getattr(review.model, "readings", {}).get(place) or ()
    if found:
        values = _in([reading.value for reading in found], unit)
        yield Curve("read", [float(r.hours) for r in found], values, letter="x", is_marks=True)


def _plan_curve(review: Review, origin: datetime, unit: str) -> Iterator[Curve]:
    planned = getattr(review.model, "plan", None)
    if planned is None:
        return
    ahead = (planned.start - origin) / timedelta(hours=1)
    every = max(1, len(planned.plan.time) // MOST_POINTS)
    hours = [float(hour) + ahead for hour in planned.plan.time[::every]]
    yield Curve("plan", hours, _in(planned.plan.face[::every], unit), (4, 4), ".")


def _in(values: list[Any], unit: str) -> list[float]:
    return [convert(float(value), "degC", unit) for value in values]


def _floats(values: list[Any]) -> list[float]:
    return [float(value) for value in values]
