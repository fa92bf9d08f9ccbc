"""Amounts in sentences, and that no sentence holds a word nobody explains."""

import re
from datetime import timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldbook.advice.causes import LOOKS
from fieldbook.advice.context import Context
from fieldbook.advice.wording import Wording, figures, listed, percent
from fieldbook.records import Notebook, Settings, Show
from fieldbook.tables import load
from tests.advice.build_records import ask, at
from tests.advice.rule_states import SPEAKS

NOON = at("2026-05-03 12:00")
PLAIN = set((Path(__file__).parent / "plain_words.txt").read_text(encoding="utf-8").split())
ENDINGS = ("s", "es", "d", "ed", "ing", "er", "est", "r", "st", "ly")
ENDINGS += ("ring", "ting", "ping", "ter", "test")
NAMES = {"april", "march", "late", "may", "plain", "hers", "ines", "wall", "ash", "pit"}
"""Names that the maker of a state gave, not words of the program."""


def say(**show: str) -> Wording:
    settings = Settings(format=1, timezone="America/Chicago", show=Show(**show))
    empty = Notebook(settings=settings, addresses=(), load={}.get)
    return Wording(settings, Context.of(empty, NOON))


def explained() -> set[str]:
    words = set(PLAIN)
    for entry in load("glossary")["words"]:
        words.update(re.findall(r"[a-z-]+", entry.lower()))
    return words


def is_known(word: str, known: set[str]) -> bool:
    if word in known or word in NAMES:
        return True
    stems = [word.removesuffix(end) for end in ENDINGS if word.endswith(end)]
    stems += [stem + "e" for stem in stems]
    if word.endswith("ies"):
        stems.append(word[:-3] + "y")
    return any(stem in known for stem in stems)


@pytest.mark.parametrize("name", sorted(SPEAKS))
def test_every_word_of_an_action_is_plain_or_explained_in_the_glossary(name):
    known = explained()
    for action in ask(name, SPEAKS[name]):
        words = re.findall(r"[A-Za-z][a-z-]*[a-z]|[a-z]", action.do)
        unknown = [word for word in words if not is_known(word.lower(), known)]
        assert not unknown, (unknown, action.do)


def test_the_looks_that_tell_a_cause_hold_no_other_words():
    known = explained()
    for look in LOOKS.values():
        unknown = [word for word in re.findall(r"[a-z-]+", look) if not is_known(word, known)]
        assert not unknown, (unknown, look)


def test_the_glossary_explains_each_word_in_a_sentence_of_its_own():
    for word, meaning in load("glossary")["words"].items():
        assert len(meaning) > 15, word
        assert not meaning.endswith("."), word


def test_a_temperature_is_said_in_both_units_until_the_maker_names_one():
    assert say().temperature(560) == "560 °C (1040 °F)"
    assert say(temperature="degC").temperature(560) == "560 °C"
    assert say(temperature="degF").temperature(560) == "1040 °F"


def test_a_climb_is_a_difference_and_not_a_temperature():
    assert say().rate(50) == "50 °C/h (90 °F/h)"
    assert say(temperature="degF").difference(9) == "16 °F"


@pytest.mark.parametrize(
    ("hours", "words"),
    [
        (0.01, "1 min"),
        (0.25, "15 min"),
        (0.58, "35 min"),
        (1.0, "1 h"),
        (3.34, "3 h 20 min"),
        (9.99, "10 h"),
        (14.2, "14 h"),
        (72.0, "3 days"),
    ],
)
def test_a_span_of_time_is_said_as_people_say_it(hours, words):
    assert say().hours(hours) == words


@pytest.mark.parametrize(
    ("hours", "words"),
    [
        (-1, "now"),
        (2, "at 14:00"),
        (24, "tomorrow at 12:00"),
        (96, "on Thu 7 May at 12:00"),
    ],
)
def test_a_moment_is_said_as_people_say_it(hours, words):
    assert say().at(NOON + timedelta(hours=hours)) == words


def test_clock_times_are_in_the_zone_of_the_notebook():
    utc = at("2026-05-03 14:10").astimezone(tz=None)
    assert say().clock(utc) == "14:10"


def test_masses_lengths_and_volumes_follow_the_maker():
    assert say().mass(0.5) == "500 g"
    assert say().mass(41.3) == "41 kg"
    assert say(mass="lb").mass(41.3) == "91 lb"
    assert say().length(0.02) == "20 mm"
    assert say().length(3) == "3 m"
    assert say(length="in").length(0.1) == "3.9 in"
    assert say().volume(0.04) == "40 l"


@given(st.floats(-1e6, 1e6), st.sampled_from([0.1, 1.0, 5.0, 10.0]))
def test_figures_are_within_half_a_step(value, step):
    assert abs(float(figures(value, step)) - value) <= step / 2 + 1e-6 * abs(value) + 1e-9


def test_percent_and_lists():
    assert percent(3.44) == "3.4 %"
    assert percent(43.4) == "43 %"
    assert listed(["a", "b", "c"]) == "a, b and c"
