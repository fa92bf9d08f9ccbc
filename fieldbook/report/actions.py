"""What to do now, in words: both front ends show actions by this."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from fieldbook.report.clock import clock
from fieldbook.text import clean, wrap

if TYPE_CHECKING:
    from fieldbook.advice.actions import Action
    from fieldbook.advice.engine import Advice

NOTHING_TO_DO = "Nothing is due, and nothing that is known asks for anything."


def due(action: Action, now: datetime) -> str:
    """When an action is due, in a word or a time; overdue is said."""
    if action.when is None or abs(action.when - now) < timedelta(minutes=1):
        return "now"
    said = clock(action.when, now)
    return f"overdue, {said}" if action.when < now else said


def action_lines(action: Action, now: datetime, width: int) -> list[str]:
    """An action as a paragraph: when and where, what, why, caution, how to answer it."""
    lines = wrap(f"{due(action, now)} · {action.entry}", width)
    lines += wrap(action.do, width, "    ", "  ")
    lines += wrap(f"why: {action.why}", width, "    ", "    ")
    if action.caution:
        lines += wrap(f"caution: {action.caution}", width, "    ", "    ")
    if action.log:
        lines += wrap(f"then: {answer(action)}", width, "    ", "    ")
    return lines


def answer(action: Action) -> str:
    """The command that answers an action; `…` stands for what is to be filled in."""
    if action.log.startswith("fieldbook "):
        return action.log
    return f'fieldbook log {action.entry} "{action.log}"'


def record_line(action: Action, now: datetime) -> str:
    """An action as one record: fields parted by tabs, for pipes."""
    parts = (due(action, now), action.entry, action.do, action.why, action.caution or "")
    return "\t".join(clean(part) for part in parts).rstrip("\t")


def advice_lines(advice: Advice, now: datetime, width: int, *, all_of_it: bool) -> list[str]:
    """All actions in order; on request those set aside too, each with the reason."""
    if not advice.actions and not all_of_it:
        return [NOTHING_TO_DO]
    lines: list[str] = []
    for action in advice.actions:
        lines += action_lines(action, now, width)
    if not all_of_it:
        return lines
    for loser, winner in advice.overruled:
        said = f"set aside: {loser.entry}: {loser.do} (because: {winner.do})"
        lines += wrap(said, width, "    ")
    for action, reason in advice.declined:
        said = f"declined: {action.entry}: {action.do} (you said: {reason or 'no reason'})"
        lines += wrap(said, width, "    ")
    return lines
