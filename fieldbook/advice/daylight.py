"""When work in the yard is done: by day, in the notebook's own zone; fires know no night."""

from __future__ import annotations

from datetime import datetime, time, timedelta
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fieldbook.advice.context import Context

BEGINS, ENDS = 7, 19
"""[h] Of a working day; common practice."""
DAY = timedelta(hours=24)


def by_day(moment: datetime) -> datetime:
    """A moment itself where someone works then, else the next morning."""
    opens, closes = (_at(moment, hour) for hour in (BEGINS, ENDS))
    if moment < opens:
        return opens
    return moment if moment < closes else opens + DAY


def due_by_day(context: Context, when: datetime | None) -> datetime | None:
    """When a job of the yard is due: what is due now, or overdue, at night waits for the morning.

    None is now. What was due at night is due the morning after it.
    """
    if when is not None:
        local = when.astimezone(context.zone)
        when = by_day(local)
        if not context.is_past(when):
            return when
    today = datetime.combine(context.today(context.zone), time(), context.zone)
    opens = _at(today, BEGINS)
    if not context.is_past(opens):
        return opens
    return opens + DAY if context.is_past(_at(today, ENDS)) else when


def in_working_hours(moment: datetime) -> datetime:
    """A part of a day as the same part of its working hours: midnight is the morning."""
    midnight = _at(moment, 0)
    return _at(moment, BEGINS) + (moment - midnight) * ((ENDS - BEGINS) / 24)


def _at(moment: datetime, hour: int) -> datetime:
    return datetime.combine(moment.date(), time(hour), moment.tzinfo)
