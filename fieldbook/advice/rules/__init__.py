"""Rules of advice, a stage of the work a file; each says at most a few things, with numbers.

A rule is a function of a `Case` that yields `Action`s. It knows nothing of files or screens, never
sees raw text, and keeps silent, or asks once, where a value is unknown.
"""

from __future__ import annotations

import importlib
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import cache
from types import MappingProxyType
from typing import Any

from fieldbook.advice.actions import Action, Urgency
from fieldbook.advice.context import Context
from fieldbook.advice.results import Result
from fieldbook.advice.review import Review
from fieldbook.records import Entry

STAGES = (
    "people",
    "clay",
    "mix",
    "batch",
    "kiln",
    "setting",
    "before_firing",
    "firing",
    "cooling",
    "after",
    "tests",
    "build",
    "learning",
    "group",
)
"""The files of rules, in the order of the work."""


@dataclass(frozen=True)
class Case:
    """One entry as its rules see it."""

    entry: Any
    review: Review
    context: Context

    def number(self, name: str) -> float | None:
        """A derived number, or None where it is not known."""
        return self.review.number(name)

    def result(self, name: str) -> Result | None:
        """A derived value with all behind it, or None where it is not known."""
        return self.review.get(name)

    def in_hours(self, hours: float) -> datetime:
        """The moment so many hours from now."""
        return self.context.now + timedelta(hours=hours)


Body = Callable[[Case], Iterable[Action]]


@dataclass(frozen=True)
class Rule:
    """One rule, with what the catalogue says of it."""

    name: str
    stage: str
    on: type[Entry]
    urgency: Urgency
    source: str
    caution: str | None
    topic: str
    body: Body

    @property
    def speaks_when(self) -> str:
        """When it speaks, in words: the first paragraph of its docstring."""
        return " ".join((self.body.__doc__ or "").split("\n\n")[0].split())

    def actions(self, case: Case) -> list[Action]:
        """What it has to say of one entry."""
        return list(self.body(case))


RULES: dict[str, Rule] = {}


def rule(
    name: str,
    *,
    on: type[Entry],
    urgency: Urgency,
    source: str,
    caution: str | None = None,
    topic: str = "",
) -> Callable[[Body], Body]:
    """Make a function a rule. `topic`: actions of one entry on one topic exclude each other."""

    def register(body: Body) -> Body:
        stage = body.__module__.rpartition(".")[2]
        RULES[name] = Rule(name, stage, on, urgency, source, caution, topic, body)
        return body

    return register


def act(
    case: Case,
    rule_name: str,
    action: str,
    do: str,
    why: str,
    *,
    when: datetime | None = None,
    numbers: Mapping[str, Any] = MappingProxyType({}),
    log: str = "",
    rests_on: tuple[str, ...] = (),
    settled_by: str = "",
    reason: str = "",
    urgency: Urgency | None = None,
) -> Action:
    """An action of a rule, with the rule's own source, caution, urgency and topic."""
    rule_ = RULES[rule_name]
    return Action(
        action=action,
        entry=case.entry.address,
        when=when,
        do=do,
        why=why,
        rule=rule_name,
        source=rule_.source,
        urgency=rule_.urgency if urgency is None else urgency,
        numbers=numbers,
        caution=rule_.caution,
        log=log,
        rests_on=rests_on,
        settled_by=settled_by,
        reason=reason or action,
        topic=rule_.topic,
    )


@cache
def all_rules() -> tuple[Rule, ...]:
    """Every rule, in the order of the work."""
    for stage in STAGES:
        importlib.import_module(f"fieldbook.advice.rules.{stage}")
    return tuple(sorted(RULES.values(), key=lambda r: (STAGES.index(r.stage), r.name)))
