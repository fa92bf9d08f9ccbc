"""When marked bricks are worth weighing again: when so much water has moved that it tells."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any

from fieldbook.advice.daylight import due_by_day
from fieldbook.advice.events import last
from fieldbook.advice.green import doubt, target
from fieldbook.advice.rules import Case
from fieldbook.advice.wording import percent

SHORTEST, LONGEST = 24.0, 72.0
"""h between two weighings of bricks that are fitted; common practice."""
STILL_SHRINKING = 48.0
"""h, the least while bricks shrink no faster than they stand; common practice."""
FAST = 0.5
"""%/h: all the shrinking water gone within a day; common practice."""
FORGOTTEN = 60
"""days: bricks under a roof are air-dry by then; common practice."""
SLOWEST = 0.005
"""%/h: below it a day moves less water than a scale shows; common practice."""

Due = tuple[datetime, str, dict[str, list[Any]]]


def next_weighing(case: Case) -> Due:
    """When to weigh, why then, and the numbers.

    By the fit of the drying law where there is one, but no sooner than the water lost shows beside
    what the moisture is uncertain by, and, while the bricks still shrink, no later than they are
    expected to stop; by the rate alone, or by the day, where there is no fit.
    """
    newest, moulded = last(case.entry, "mass"), case.entry.moulded
    since = newest.at if newest else moulded.at if moulded else case.now
    moisture, rate = case.number("moisture"), case.number("drying_rate")
    fitted = case.fact("next_weighing")
    if isinstance(fitted, datetime):
        return by_fit(case, fitted, since, moisture, rate)
    if moisture is None or rate is None or rate <= SLOWEST:
        hours = 24.0 if newest is None or moisture is not None else 12.0
        after = case.say.hours(hours_by_day(case, since, hours))
        why = f"{after} after the last, the water lost shows on a scale."
        return since + timedelta(hours=hours), why, {"interval": [hours, "h"]}
    step = max(1.0, (moisture - target(case)) / 4)
    hours = min(LONGEST, max(4.0, step / rate))
    why = (
        f"At {percent(rate * 24)} a day they lose the next {percent(step)} in "
        f"{case.say.hours(hours)}; less would hardly show."
    )
    numbers = {"drying_rate": [rate, "%/h"], "step": [step, "%"], "interval": [hours, "h"]}
    return since + timedelta(hours=hours), why, numbers


def by_fit(
    case: Case, fitted: datetime, since: datetime, moisture: float | None, rate: float | None
) -> Due:
    """As the fit has it, kept between what a scale can show and what shrinking bricks allow."""
    first = since + timedelta(hours=least_hours(case, rate))
    if fitted < first:
        hours = (first - since).total_seconds() / 3600
        span = case.say.hours(hours)
        why = f"Sooner than {span} after the last, less is lost than a scale tells."
        return first, why, {"interval": [hours, "h"]}
    most = hours_of_shrinking(case, moisture, rate)
    if most is not None and fitted > since + timedelta(hours=most):
        why = (
            f"They still shrink; {case.say.hours(hours_by_day(case, since, most))} after the last "
            "a weighing shows whether they stopped, and whether it went too fast."
        )
        return since + timedelta(hours=most), why, {"interval": [most, "h"]}
    return fitted, "A weighing then narrows the day they are dry the most.", {}


def hours_by_day(case: Case, since: datetime, hours: float) -> float:
    """h from the last weighing to the next, where its hour is moved into the day."""
    moment = since + timedelta(hours=hours)
    return ((due_by_day(case.context, moment) or moment) - since).total_seconds() / 3600


def least_hours(case: Case, rate: float | None) -> float:
    """h in which what the moisture is uncertain by is lost; a day or more, three at most."""
    if rate is None or rate <= SLOWEST:
        return SHORTEST
    return min(LONGEST, max(SHORTEST, doubt(case) / rate))


def hours_of_shrinking(case: Case, moisture: float | None, rate: float | None) -> float | None:
    """h in which the water above the shrinkage stop is lost; None when it is past."""
    stage = case.result("drying_stage")
    if stage is None or stage.value != "shrinking":
        return None
    critical = stage.extra.get("critical")
    if moisture is None or rate is None or rate <= SLOWEST or not isinstance(critical, dict):
        return LONGEST
    left = max(0.0, moisture - float(critical["value"]))
    least = SHORTEST if rate > FAST / 2 else STILL_SHRINKING
    return min(LONGEST, max(least, left / rate))


def quiet_days(case: Case) -> int:
    """Whole days since anything was written of the batch, its moulding counted in."""
    newest, moulded = case.entry.log[-1].at if case.entry.log else None, case.entry.moulded
    times = [moment for moment in (newest, moulded and moulded.at) if moment]
    return case.context.days_since(max(times)) if times else 0


def forgotten(case: Case) -> bool:
    """Whether nothing was written of the batch for so long that nobody follows its drying."""
    return quiet_days(case) >= FORGOTTEN
