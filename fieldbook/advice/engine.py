"""From a notebook to what is to be done now, in order."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import datetime, timedelta

from fieldbook.advice.actions import Action, Urgency
from fieldbook.advice.context import Context
from fieldbook.advice.daylight import due_by_day
from fieldbook.advice.events import phase_of
from fieldbook.advice.rules import STAGES, WHOLE_NOTEBOOK, Case, Rule, all_rules, rules_on
from fieldbook.advice.watches import WATCH
from fieldbook.frozen import frozen
from fieldbook.records import Entry, Firing, Line, Notebook


@frozen
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
    spoken = sorted(_spoken(context, address), key=order)
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
    by_day = [_in_daylight(context, action) for action in standing]
    return Advice(tuple(in_turn(by_day, context.now)), tuple(overruled), tuple(declined))


def _spoken(context: Context, address: str | None) -> Iterator[Action]:
    for each in context.notebook.addresses if address is None else (address,):
        yield from context.once(_spoken_of, each)
    if address is None:
        yield from context.once(_spoken_of_all, WHOLE_NOTEBOOK)


def _spoken_of(context: Context, address: str) -> tuple[Action, ...]:
    review = context.review(address)
    return tuple(_actions_of(Case(review.entry, review, context))) if review is not None else ()


def _spoken_of_all(context: Context, _: str) -> tuple[Action, ...]:
    return tuple(_actions_of(Case(context.notebook, None, context)))


AT_THE_FIRE = frozenset(
    {"before_firing", "setting", "firing", "cooling", "fuel", "watching", "fire_safety"}
)
"""Stages whose rules have nothing to say of a firing that is unloaded."""


def _actions_of(case: Case) -> Iterator[Action]:
    kind: type = type(case.entry)
    over = kind is Firing and case.fact("phase") == "unloaded"
    for rule in rules_on(kind):
        if not (over and rule.stage in AT_THE_FIRE):  # spares a march through every old firing
            yield from rule.actions(case)


IN_THE_YARD = frozenset(
    {"people", "clay", "mix", "batch", "kiln", "after", "tests", "build", "learning", "group"}
)
"""Stages whose work is done by day, but for what cannot wait."""
BEFORE_THE_FIRE = frozenset({"setting", "before_firing", "fuel"})
"""The same, while the fire is not lit and not to be lit before the morning."""
AT_ITS_HOUR = frozenset({"light-at", "end-soak", "end-boil", "ready-soon"})
"""Rules of these stages whose hour is set by the plan, the test, or the bricks as they dry."""


def _in_daylight(context: Context, action: Action) -> Action:
    """A job of the yard with a due time at which someone works; all else as it is.

    After the order of the rules has decided what stands, so that it changes no decision.
    """
    stage = list(STAGES)[action.place[0]]  # its rule need not be loaded: it may be a kept answer
    waits = action.urgency > Urgency.WARE and action.rule not in AT_ITS_HOUR
    if not waits or stage not in IN_THE_YARD | BEFORE_THE_FIRE:
        return action
    due = due_by_day(context, action.when)
    if due == action.when or (stage in BEFORE_THE_FIRE and _is_lit_by(context, action.entry, due)):
        return action
    do = action.do if action.when else re.sub(r" now\b", "", action.do)
    return replace(action, when=due, do=do)


def _is_lit_by(context: Context, address: str, due: datetime | None) -> bool:
    firing = context.notebook.entry(address)
    if not isinstance(firing, Firing) or phase_of(context, firing) != "planned":
        return True
    start = firing.plan.start if firing.plan else None
    return start is not None and due is not None and start.at < due


def order(action: Action) -> tuple[int, float, tuple[int, int], str, str, str]:
    """Danger to people, danger to ware, timed, blocking, teaching; then by time; then as the
    rules stand. Nothing else, so that the same state gives the same order on every machine.
    """
    due = action.when.timestamp() if action.when else float("-inf")
    return (action.urgency, due, action.place, action.entry, action.action, action.do)


LATER = max(Urgency) + 1
"""Stands for what is due later than within a watch at the fire."""


def in_turn(actions: Iterable[Action], now: datetime) -> list[Action]:
    """The actions as they are shown: in their order, and behind them what is for later, by time.

    Danger is never put behind; of what is due the fire goes first; what has its hour within a
    watch goes by that hour.
    """

    def turn(action: Action) -> tuple[int, float, tuple[object, ...]]:
        due, urgency = action.when, action.urgency
        if due is None or urgency <= Urgency.WARE or due <= now:
            is_of_a_fire = urgency == Urgency.TIMED and action.entry.startswith("firings/")
            return urgency, float("-inf") if is_of_a_fire else 0.0, order(action)
        if due <= now + timedelta(hours=WATCH):
            return Urgency.TIMED, due.timestamp(), order(action)
        return LATER, due.timestamp(), order(action)

    return sorted(actions, key=turn)


def _rule(name: str) -> Rule:
    return next(rule for rule in all_rules() if rule.name == name)


def _without_declined(
    context: Context, spoken: list[Action]
) -> tuple[list[Action], list[tuple[Action, str]]]:
    """A declined action stays away while its reason is what it was when it was declined."""
    standing: list[Action] = []
    declined: list[tuple[Action, str]] = []
    for action in spoken:
        line = _last_decline(context, action)
        if line is None or not _same_reason(context, action, line.at):
            standing.append(action)
        else:
            declined.append((action, line.because or ""))
    return standing, declined


def _last_decline(context: Context, action: Action) -> Line | None:
    if action.entry == WHOLE_NOTEBOOK:
        return None
    entry: Entry | None = context.notebook.entry(action.entry)
    lines = [line for line in entry.log if line.declined == action.rule] if entry else []
    return lines[-1] if lines else None


def _same_reason(context: Context, action: Action, then: datetime) -> bool:
    """Whether the rule gave this reason when it was declined: asked again as of that time."""
    return action.reason in context.once(
        _reasons_then, f"{action.entry} {action.rule} {then.isoformat()}"
    )


def _reasons_then(context: Context, asked: str) -> tuple[str, ...]:
    address, rule, then = asked.split(" ")
    earlier = context.as_of(datetime.fromisoformat(then))
    review = earlier.review(address)
    if review is None:
        return ()
    actions = _rule(rule).actions(Case(review.entry, review, earlier))
    return tuple(each.reason for each in actions)
