"""One firing with all that its review works from, made once and handed from subject to subject."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any

from fieldbook.advice.context import Context
from fieldbook.advice.firing_load import Loaded, load_of
from fieldbook.advice.firing_phase import Timeline, events_of, timeline_of
from fieldbook.advice.firing_readings import FiringLog, Series, read_log
from fieldbook.advice.results import Input, Result
from fieldbook.advice.review import Review
from fieldbook.calc.brick import Brick
from fieldbook.calc.firing import FiringState
from fieldbook.records import Firing, Kiln

DEFAULT_HOLD = 1.0
"""h, where the plan does not say; common practice."""
OPEN_BELOW = 100.0
"""degC of the hottest core; common practice."""
UNLOAD_BELOW = 50.0
"""degC; from memory."""


@dataclass
class FiringCase:
    """A firing, what is in it, what was read, where it stands."""

    review: Review
    context: Context
    firing: Firing
    kiln: Kiln | None
    loaded: Loaded
    log: FiringLog
    timeline: Timeline
    bricks: dict[str, Brick] = field(default_factory=dict)
    """The brick that stands for each place that was read."""
    state: FiringState | None = None
    """At every place that was read; None where nothing was."""
    seen: list[Any] = field(default_factory=list)
    """What was seen beside the thermometer: glow, cones, draw bricks, settling."""
    lit: datetime | None = None
    """When it was lit, where a line or the first fuel says so."""

    @property
    def now(self) -> float:
        """Hours from the start to now."""
        return self.log.hours(self.context.now)

    @property
    def phase(self) -> str:
        """Where it stands."""
        return self.timeline.phase

    @property
    def fresh(self) -> dict[str, Series]:
        """Places whose newest reading is not left behind by those elsewhere."""
        newest = self.log.newest
        if newest is None:
            return {}
        if self.phase in ("opened", "unloaded"):
            return dict(self.log.series)
        reach = max(2 * self.timeline.interval, 1.0)
        return {
            place: series
            for place, series in self.log.series.items()
            if series.last.hours >= newest.hours - reach
        }

    @property
    def age(self) -> float | None:
        """Hours from the newest reading to now; of a firing that is over it says nothing."""
        newest = self.log.newest
        return self.now - newest.hours if newest and self.phase != "unloaded" else None

    @property
    def peak_wanted(self) -> float | None:
        """degC at the coldest place."""
        peak = self.firing.plan.peak if self.firing.plan else None
        return peak.value if peak and not peak.is_bound else None

    @property
    def hold_wanted(self) -> float:
        """h at the peak."""
        hold = self.firing.plan.hold if self.firing.plan else None
        return hold.value if hold and not hold.is_bound and hold.value > 0 else DEFAULT_HOLD

    @property
    def open_below(self) -> tuple[float, str]:
        """degC of the hottest core below which the kiln may be opened, and where that stands."""
        return self._practice("open_below", OPEN_BELOW)

    @property
    def unload_below(self) -> tuple[float, str]:
        """degC below which it may be unloaded."""
        return self._practice("unload_below", UNLOAD_BELOW)

    def _practice(self, name: str, default: float) -> tuple[float, str]:
        practice = self.context.notebook.settings.practice
        amount = getattr(practice, name) if practice else None
        if amount is not None and not amount.is_bound:
            return amount.value, amount.where
        return default, ""

    @property
    def greatest_climb(self) -> float | None:
        """K/h that the group never exceeds."""
        practice = self.context.notebook.settings.practice
        amount = practice.greatest_climb if practice else None
        return amount.value if amount and not amount.is_bound else None

    def moment(self, hours: float) -> datetime:
        """The moment at so many hours, to the minute, in the notebook's own zone."""
        at = self.log.origin + timedelta(hours=hours)
        return at.astimezone(self.context.zone).replace(microsecond=0)

    def look_again(self) -> None:
        """Find the phase anew, after readings were added to the log."""
        notebook = self.context.notebook
        self.timeline = timeline_of(self.firing, notebook, self.timeline.events, self.log)

    def add(self, result: Result) -> Result:
        """Take up one derived value."""
        return self.review.add(result)

    def missing(self, name: str, unit: str | None, *needs: str, because: str = "") -> Result:
        """Take up a value that cannot be had."""
        return self.add(
            Result(name=name, value=None, unit=unit, needs=tuple(needs), because=because)
        )

    @property
    def plan_inputs(self) -> tuple[Input, ...]:
        """Peak and hold as wanted."""
        plan = self.firing.plan
        inputs = []
        if plan and plan.peak:
            inputs.append(Input("peak wanted", plan.peak.text, plan.peak.where))
        if plan and plan.hold:
            inputs.append(Input("hold wanted", plan.hold.text, plan.hold.where))
        else:
            inputs.append(Input("hold wanted", "1 h", "", "where the plan does not say"))
        return tuple(inputs)


def case_of(review: Review, context: Context) -> FiringCase:
    """Read a firing: its load, its log, its phase."""
    firing = review.entry
    assert isinstance(firing, Firing)
    kiln = context.notebook.entry(f"kilns/{firing.kiln}") if firing.kiln else None
    events = events_of(firing, context.notebook)
    origin = events.lit or _planned_start(firing) or context.now
    lit = events.lit if events.lit_by != "first reading" else None
    log = read_log(firing, origin, lit, context.instruments)
    return FiringCase(
        review=review,
        context=context,
        firing=firing,
        kiln=kiln if isinstance(kiln, Kiln) else None,
        loaded=load_of(firing, context, events.lit),
        log=log,
        lit=lit,
        timeline=timeline_of(firing, context.notebook, events, log),
    )


def _planned_start(firing: Firing) -> datetime | None:
    start = firing.plan.start if firing.plan else None
    return start.at if start else None
