"""From a notebook to what is to be done now, in order."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime

from fieldbook.advice.actions import Action
from fieldbook.advice.context import Context
from fieldbook.advice.rules import Case, all_rules
from fieldbook.records import Entry, Line, Notebook


@dataclass(frozen=True)
class Advice:
    """What to do, and what was set aside."""

    actions: tuple[Action, ...]
    overruled: tuple[tuple[Action, Action], ...] = ()
    """An action that lost to a more urgent one on its topic, and the one it lost to."""
    declined: tuple[tuple[Action, str], ...] = ()
    """An action the maker declined, with the reason given."""


def next_actions(notebook: Notebook, now: datetime, address: str | None = None) -> list[Action]:
    """The actions due or foreseen, most urgent first, for one entry or the whole notebook."""
    return list(advise(Context.of(notebook, now), address).actions)


def advise(context: Context, address: str | None = None) -> Advice:
    """The same with what was overruled and declined. One order resolves every conflict."""
    spoken = sorted(_spoken(context, address), key=_order)
    spoken, declined = _without_declined(context, spoken)
    standing: list[Action] = []
    overruled: list[tuple[Action, Action]] = []
    taken: dict[tuple[str, str], Action] = {}
    for action in spoken:
        key = (action.entry, action.topic)
        if action.topic and key in taken:
            overruled.append((action, taken[key]))
            continue
        taken[key] = action
        standing.append(action)
    return Advice(tuple(standing), tuple(overruled), tuple(declined))


def _spoken(context: Context, address: str | None) -> Iterator[Action]:
    addresses = context.notebook.addresses if address is None else (address,)
    for each in addresses:
        review = context.review(each)
        if review is None:
            continue
        for rule in all_rules():
            if isinstance(review.entry, rule.on):
                yield from rule.actions(Case(review.entry, review, context))


def _order(action: Action) -> tuple[int, float, str, str, str]:
    due = action.when.timestamp() if action.when else float("-inf")
    return (action.urgency, due, action.entry, action.rule, action.action)


def _without_declined(
    context: Context, spoken: list[Action]
) -> tuple[list[Action], list[tuple[Action, str]]]:
    """A declined action stays away while its reason is what it was when it was declined."""
    standing: list[Action] = []
    declined: list[tuple[Action, str]] = []
    for action in spoken:
        entry = context.notebook.entry(action.entry)
        line = _last_decline(entry, action.rule) if entry else None
        if line is None or not _same_reason(context, action, line.at):
            standing.append(action)
        else:
            declined.append((action, line.because or ""))
    return standing, declined


def _last_decline(entry: Entry, rule_name: str) -> Line | None:
    lines = [line for line in entry.log if line.declined == rule_name]
    return lines[-1] if lines else None


def _same_reason(context: Context, action: Action, then: datetime) -> bool:
    earlier = Context.of(replace(context.notebook, now=then, _entries={}), then)
    review = earlier.review(action.entry)
    if review is None:
        return False
    rule = next(rule for rule in all_rules() if rule.name == action.rule)
    reasons = {a.reason for a in rule.actions(Case(review.entry, review, earlier))}
    return action.reason in reasons
