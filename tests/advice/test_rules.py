"""Every rule: one state in which it speaks, one in which it keeps silent, and how it speaks."""

import re

import pytest

from fieldbook.advice.actions import Action
from fieldbook.advice.rules import RULES, STAGES, all_rules, rule
from tests.advice.build_records import ask, at, wrapped
from tests.advice.rule_states import SILENT, SPEAKS
from tests.docs_advice import PAGE, page

NUMBER = re.compile(r"(?<![\w.,:-])\d+(?:\.\d+)?(?![\w.]|:\d)")
VERB = re.compile(r"^[A-Z][a-z]+ ")


def test_every_rule_has_a_state_in_which_it_speaks_and_one_in_which_it_is_silent():
    names = [rule.name for rule in all_rules()]
    assert sorted(SPEAKS) == sorted(names)
    assert sorted(SILENT) == sorted(names)


def test_each_stage_is_looked_at_for_the_kinds_it_has_rules_on():
    for stage, kinds in STAGES.items():
        found = {rule.on.__name__ for rule in all_rules() if rule.stage == stage}
        assert found == set(kinds.split()), stage


@pytest.mark.parametrize("name", sorted(SPEAKS))
def test_it_speaks_in_its_state(name):
    actions = ask(name, SPEAKS[name])
    assert len(actions) == 1
    for action in actions:
        assert_well_spoken(action, at(SPEAKS[name].now))


@pytest.mark.parametrize("name", sorted(SILENT))
def test_it_keeps_silent_where_it_has_nothing_to_say(name):
    assert not ask(name, SILENT[name])


def assert_well_spoken(action: Action, now: object) -> None:
    assert len(wrapped(action.do)) <= 2, action.do
    assert VERB.match(action.do), action.do
    assert action.do.endswith(".")
    assert action.why.endswith("."), action.why
    assert action.source
    assert action.log
    assert action.settled_by
    assert action.reason
    if action.when is not None and action.when < now:
        assert action.why.startswith("Overdue by "), action.why
    for name, held in action.numbers.items():
        value, unit = held
        assert isinstance(value, int | float), (name, held)
        assert isinstance(unit, str), (name, held)
        assert unit, (name, held)


@pytest.mark.parametrize("name", [rule.name for rule in all_rules()])
def test_it_says_when_it_speaks_and_where_it_has_that_from(name):
    rule = next(rule for rule in all_rules() if rule.name == name)
    assert rule.speaks_when.endswith(".")
    assert rule.source


def test_the_page_of_the_advice_is_what_the_rules_say():
    assert PAGE.read_text(encoding="utf-8") == page(), "run python -m tests.docs_advice --write"


def test_two_rules_of_one_name_are_refused_when_they_are_loaded(monkeypatch):
    monkeypatch.setattr("fieldbook.advice.rules.RULES", dict(RULES))
    known = all_rules()[0]

    def another(case):
        yield from ()

    another.__module__ = known.body.__module__
    with pytest.raises(ValueError, match=f"two rules are called '{known.name}'"):
        rule(known.name, on=known.on, urgency=known.urgency, source="none")(another)
