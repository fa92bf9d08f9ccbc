"""Moments as people say them. Kept light: the first thing the screen shows needs it."""

from __future__ import annotations

from datetime import datetime


def clock(moment: datetime, now: datetime | None = None) -> str:
    """A moment as people say it: the time alone today, else the day and the time."""
    local = moment.astimezone(now.tzinfo) if now is not None else moment
    if now is not None and local.date() == now.date():
        return local.strftime("%H:%M")
    if now is not None and abs((local - now).days) < 300:
        return local.strftime("%a %d %b %H:%M")
    return local.strftime("%d %b %Y %H:%M")
