"""States that rules are asked about: entries from TOML text, with the derived values made up."""

import textwrap
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from fieldbook.advice.actions import Action
from fieldbook.advice.context import Context
from fieldbook.advice.results import Result
from fieldbook.advice.review import Review
from fieldbook.advice.rules import WHOLE_NOTEBOOK, Case, all_rules
from fieldbook.records import FOLDERS, KINDS, Entry, Notebook
from fieldbook.store.places import Layout
from fieldbook.store.reading import Reader, read_settings

ZONE = ZoneInfo("America/Chicago")
HEAD = 'format = 1\ntimezone = "America/Chicago"\n'
COLUMNS = 76


@dataclass(frozen=True)
class State:
    """A notebook at a moment: texts of entries by address, and what their reviews hold."""

    on: str
    """Address of the entry the rule looks at, or `notebook`."""
    files: Mapping[str, str] = field(default_factory=dict)
    now: str = "2026-05-03 12:00"
    results: Mapping[str, Any] = field(default_factory=dict)
    """Of the entry looked at: name to `Result`, or to value and unit."""
    facts: Mapping[str, Any] = field(default_factory=dict)
    others: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)
    """Results of other entries."""
    settings: str = ""
    verdicts: tuple[Any, ...] = ()


def at(text: str) -> datetime:
    """A moment in the zone of these notebooks."""
    return datetime.fromisoformat(text).replace(tzinfo=ZONE)


def notebook_of(files: Mapping[str, str], now: str, settings: str = "") -> Notebook:
    """A notebook of TOML texts by address, without a disk, as of a moment."""
    head = HEAD + textwrap.dedent(settings)
    read, reader_ = read_settings(tomllib.loads(head), Layout(head), ZONE)
    assert not reader_.problems, reader_.problems
    texts = {address: textwrap.dedent(text) for address, text in files.items()}

    def load(address: str) -> Entry:
        folder, _, name = address.partition("/")
        reader = Reader(f"{address}.toml", Layout(texts[address]), ZONE)
        reader = reader.with_measures(read.measures)
        entry = reader.entry(KINDS[FOLDERS[folder]], name, tomllib.loads(texts[address]))
        assert not reader.problems, reader.problems
        return entry

    return Notebook(settings=read, addresses=tuple(sorted(texts)), load=load, now=at(now))


def result(name: str, given: Any) -> Result:
    """A result from what a state says of it."""
    if isinstance(given, Result):
        return given.but(name=name)
    value, unit = given if isinstance(given, tuple) else (given, None)
    return Result(name=name, value=value, unit=unit)


def places(unit: str, **values: float) -> Result:
    """A result that differs by place; its value is the least."""
    return Result(name="", value=min(values.values()), unit=unit, each=values)


def context_of(state: State) -> Context:
    """The context of a state: reviews hold what the state says and nothing else."""
    notebook = notebook_of(state.files, state.now, state.settings)
    context = Context.of(notebook, at(state.now))
    for address in notebook.addresses:
        entry = notebook.entry(address)
        assert entry is not None
        given = state.results if address == state.on else state.others.get(address, {})
        made = {name: result(name, value) for name, value in given.items()}
        review = Review(entry=entry, results=made)
        if address == state.on:
            review.facts = dict(state.facts)
            review.verdicts = list(state.verdicts)
        context.hold(review)
    return context


def ask(rule_name: str, state: State) -> list[Action]:
    """What one rule says in a state."""
    context = context_of(state)
    rule = next(rule for rule in all_rules() if rule.name == rule_name)
    if state.on == WHOLE_NOTEBOOK:
        return rule.actions(Case(context.notebook, None, context))
    review = context.review(state.on)
    assert review is not None
    assert isinstance(review.entry, rule.on)
    return rule.actions(Case(review.entry, review, context))


def wrapped(sentence: str) -> list[str]:
    """A sentence in lines of 76 columns."""
    return textwrap.wrap(sentence, COLUMNS)
