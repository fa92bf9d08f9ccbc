"""Rules of advice, a stage of the work a file; each says at most a few things, with numbers.

A rule is a function of a `Case` that yields `Action`s. It knows nothing of files or screens, never
sees raw text, and keeps silent, or asks once, where a value is unknown.
"""

from __future__ import annotations

import importlib
from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from datetime import datetime, timedelta
from functools import cache, cached_property
from types import MappingProxyType
from typing import Any

from fieldbook.advice.actions import Action, Urgency
from fieldbook.advice.context import Context
from fieldbook.advice.offered import in_liked_units
from fieldbook.advice.results import Result
from fieldbook.advice.review import Review
from fieldbook.advice.wording import Wording
from fieldbook.frozen import frozen
from fieldbook.records import Entry, Notebook

STAGES: Mapping[str, str] = {
    "people": "Mix Build Clay Kiln Test",
    "fire_safety": "Firing",
    "clay": "Clay Notebook",
    "mix": "Mix Notebook",
    "batch": "Batch",
    "kiln": "Kiln Build Notebook",
    "setting": "Firing",
    "before_firing": "Firing",
    "fuel": "Firing",
    "firing": "Firing",
    "watching": "Firing",
    "cooling": "Firing",
    "after": "Firing",
    "tests": "Test",
    "build": "Build",
    "learning": "Firing Test",
    "group": "Entry Firing",
}
"""The files of rules, in the order of the work, each with what its rules look at."""

WHOLE_NOTEBOOK = "notebook"
"""The `entry` of an action that is about no entry, such as to begin the first one."""

NO_NUMBERS: Mapping[str, Any] = MappingProxyType({})
LATE = timedelta(minutes=1)
"""Up to this much past its time an action is due now, not overdue."""


@frozen
class Case:
    """One entry as its rules see it, or the whole notebook."""

    entry: Any
    """The entry; the notebook itself for rules on the whole of it."""
    review: Review | None
    context: Context
    rule: Rule | None = None
    """The rule that is looking; actions carry its name, source, caution, urgency and topic."""

    @property
    def now(self) -> datetime:
        """The moment asked about."""
        return self.context.now

    def is_past(self, moment: datetime) -> bool:
        """Whether a moment has come."""
        return self.context.is_past(moment)

    @property
    def address(self) -> str:
        """The entry as `FOLDER/NAME`."""
        return self.entry.address if isinstance(self.entry, Entry) else WHOLE_NOTEBOOK

    @cached_property
    def say(self) -> Wording:
        """Amounts in the maker's units."""
        return Wording(self.context.notebook.settings, self.context)

    def number(self, name: str) -> float | None:
        """A derived number, or None where it is not known."""
        return self.review.number(name) if self.review else None

    def result(self, name: str) -> Result | None:
        """A derived value with all behind it, or None where it is not known."""
        return self.review.get(name) if self.review else None

    def word(self, name: str) -> str | None:
        """A derived word, or None where it is not known."""
        result = self.result(name)
        return result.value if result and isinstance(result.value, str) else None

    def time(self, name: str) -> datetime | None:
        """A derived time, or None where it is not known."""
        result = self.result(name)
        if result is None or result.unit != "time" or not isinstance(result.value, str):
            return None
        return datetime.fromisoformat(result.value)

    def fact(self, name: str) -> Any:
        """A plain fact of the review, or None."""
        return self.review.facts.get(name) if self.review else None

    def in_hours(self, hours: float) -> datetime:
        """The moment so many hours from now."""
        return self.context.now + timedelta(hours=hours)

    def act(
        self,
        action: str,
        do: str,
        why: str,
        *,
        when: datetime | None = None,
        numbers: Mapping[str, Any] = NO_NUMBERS,
        log: str = "",
        rests_on: tuple[str, ...] = (),
        settled_by: str = "",
        reason: str = "",
        urgency: Urgency | None = None,
    ) -> Action:
        """An action of the rule that is looking; one past its time says how late it is."""
        rule_ = self.rule
        assert rule_ is not None, "an action is made inside a rule"
        if when is not None and self.is_past(when):
            late = self.now - when
            when = None if late < LATE else when
            if when is not None:
                span = self.say.hours(late.total_seconds() / 3600)
                why = f"Overdue by {span}: {why[0].lower()}{why[1:]}"
                numbers = {**numbers, "overdue": [late.total_seconds() / 3600, "h"]}
        return Action(
            action=action,
            entry=self.address,
            when=when,
            do=do,
            why=why,
            rule=rule_.name,
            source=rule_.source,
            urgency=rule_.urgency if urgency is None else urgency,
            numbers=numbers,
            caution=rule_.caution,
            log=in_liked_units(log, self.say.units),
            rests_on=rests_on,
            settled_by=settled_by,
            reason=reason or action,
            topic=rule_.topic,
            place=rule_.place,
        )


Body = Callable[[Case], Iterable[Action]]


@frozen
class Rule:
    """One rule, with what the catalogue says of it."""

    name: str
    stage: str
    on: type[Entry] | type[Notebook]
    urgency: Urgency
    source: str
    caution: str | None
    topic: str
    body: Body
    number: int = 0
    """Which it is in its file."""

    @property
    def place(self) -> tuple[int, int]:
        """Where it stands in the order of the work."""
        return list(STAGES).index(self.stage), self.number

    @property
    def speaks_when(self) -> str:
        """When it speaks, in words: the first paragraph of its docstring."""
        return " ".join((self.body.__doc__ or "").split("\n\n")[0].split())

    def actions(self, case: Case) -> list[Action]:
        """What it has to say of one entry."""
        return list(self.body(replace(case, rule=self)))


RULES: dict[str, Rule] = {}


def rule(
    name: str,
    *,
    on: type[Entry] | type[Notebook],
    urgency: Urgency,
    source: str,
    caution: str | None = None,
    topic: str = "",
) -> Callable[[Body], Body]:
    """Make a function a rule. `topic`: actions of one entry on one topic exclude each other."""

    def register(body: Body) -> Body:
        there = RULES[name].body if name in RULES else body
        if (there.__module__, there.__name__) != (body.__module__, body.__name__):
            raise ValueError(f"two rules are called {name!r}")
        stage = body.__module__.rpartition(".")[2]
        number = sum(each.stage == stage for each in RULES.values())
        RULES[name] = Rule(name, stage, on, urgency, source, caution, topic, body, number)
        return body

    return register


def all_rules() -> tuple[Rule, ...]:
    """Every rule, in the order of the work; within a stage as its file has them."""
    return _rules_of(tuple(STAGES))


@cache
def rules_on(kind: type) -> tuple[Rule, ...]:
    """The rules that look at one kind of entry, in the order of the work."""
    names = {each.__name__ for each in kind.__mro__}
    stages = tuple(stage for stage, on in STAGES.items() if not names.isdisjoint(on.split()))
    return tuple(rule_ for rule_ in _rules_of(stages) if issubclass(kind, rule_.on))


@cache
def _rules_of(stages: tuple[str, ...]) -> tuple[Rule, ...]:
    for stage in stages:
        importlib.import_module(f"fieldbook.advice.rules.{stage}")
    return tuple(
        sorted((each for each in RULES.values() if each.stage in stages), key=lambda r: r.place)
    )
