"""What the sheet of a fire says: one judgement of the climb, and the state when it was read."""

from dataclasses import replace

import pytest

from fieldbook.advice.results import Result
from fieldbook.report.fire import fire_lines
from fieldbook.report.units import Units
from tests.advice.build_records import State, ask, at, context_of
from tests.advice.firings import burning
from tests.advice.test_daylight import context

FIRE = "firings/2026-09-12"
UNITS = Units({})


def climbing(climb: float, allowed: float, half: float | None = None) -> State:
    rate = Result(name="", value=climb, unit="K/h", plus_minus=half)
    return burning(results={"climb": rate, "allowed_climb": (allowed, "K/h")})


def said(state: State) -> str:
    review = context_of(state).review(state.on)
    lines = fire_lines(review, UNITS, at(state.now))
    return next(line.text for line in lines if line.about == "climb")


@pytest.mark.parametrize(
    ("climb", "half", "verdict"),
    [
        (55, None, ""),
        (62, None, ": at the limit"),  # within a fifth of what is allowed
        (80, None, ": TOO FAST"),
        (80, 5, ": TOO FAST"),
        (80, 25, ": TOO FAST"),  # what is not known well is no excuse
    ],
)
def test_the_sheet_calls_a_climb_too_fast_where_the_order_slows_it_and_nowhere_else(
    climb, half, verdict
):
    state = climbing(climb, 60, half)
    assert said(state).partition("60 °C/h")[2] == verdict
    assert bool(ask("slow-down", state)) is ("FAST" in verdict)


def told(when: str) -> dict[str, str]:
    here = context(when)
    return {x.about: x.text for x in fire_lines(here.review(FIRE), UNITS, here.present)}


def test_what_is_told_as_of_the_last_reading_is_the_state_at_that_reading():
    read, late = told("2026-09-12T14:10"), told("2026-09-12T22:30")
    assert "as of 14:10" in late["READING"]
    for about in ("brick", "in core", "stages"):
        assert late[about] == read[about]
    assert told("2026-09-12T14:30")["brick"] != read["brick"]  # carried on until a reading is due


def test_no_next_feed_is_told_where_the_reading_is_overdue():
    assert "next" in told("2026-09-12T14:30")["wood"]
    assert "next" not in told("2026-09-12T22:30")["wood"]


def test_a_fire_without_readings_has_no_other_state():
    state = replace(climbing(55, 60), results={})
    review = context_of(state).review(state.on)
    review.facts["overdue_since"] = at("2026-05-03 11:00")
    assert [line.about for line in fire_lines(review, UNITS, at(state.now))] == ["READING"]
