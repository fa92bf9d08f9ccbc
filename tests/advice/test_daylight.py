"""Jobs of the yard are due by day; fires, frost and the end of a soak at their hour."""

from datetime import datetime
from functools import cache
from zoneinfo import ZoneInfo

import pytest

from fieldbook.advice.context import Context
from fieldbook.advice.daylight import by_day, due_by_day, in_working_hours
from fieldbook.advice.engine import BEFORE_THE_FIRE, IN_THE_YARD, advise
from fieldbook.advice.pace import Pace, need_of
from fieldbook.advice.rules import RULES
from fieldbook.store.folder import Store
from tests.advice.build_records import State, context_of
from tests.test_sample_notebook import SAMPLE

BELFAST = ZoneInfo("Europe/London")


def moment(text: str) -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=BELFAST)


@cache
def context(when: str) -> Context:
    store = Store(SAMPLE)
    now = datetime.fromisoformat(when).replace(tzinfo=store.zone)
    return Context.of(store.notebook(now), now)


@pytest.mark.parametrize(
    ("asked", "due"),
    [
        ("2026-05-09T06:59", "2026-05-09T07:00"),
        ("2026-05-09T07:00", "2026-05-09T07:00"),
        ("2026-05-09T18:59", "2026-05-09T18:59"),
        ("2026-05-09T19:00", "2026-05-10T07:00"),
        ("2026-10-24T22:33", "2026-10-25T07:00"),  # the clocks go back in that night
    ],
)
def test_what_falls_into_the_night_waits_for_the_morning(asked, due):
    assert by_day(moment(asked)) == moment(due)


def test_half_of_a_day_is_half_of_its_working_hours():
    assert in_working_hours(moment("2026-05-09T00:00")) == moment("2026-05-09T07:00")
    assert in_working_hours(moment("2026-05-09T12:00")) == moment("2026-05-09T13:00")


@pytest.mark.parametrize("hour", ["00:10", "05:00", "07:00", "12:00", "18:59", "19:00", "22:33"])
def test_what_is_due_now_is_due_when_someone_works(hour):
    here = context(f"2026-11-25T{hour}")
    due = due_by_day(here, None)
    assert due is None if 7 <= here.present.hour < 19 else due == by_day(here.present)


@pytest.mark.parametrize("when", ["2026-11-25T22:33", "2026-05-09T22:33", "2026-06-20T03:00"])
def test_no_job_of_the_yard_is_foretold_at_an_odd_hour(when):
    here = context(when)
    actions = [a for a in advise(here).actions if a.urgency > 1]
    yard = [a for a in actions if RULES[a.rule].stage in IN_THE_YARD and a.rule != "end-soak"]
    assert yard
    for action in yard:
        assert action.when is not None and 7 <= action.when.astimezone(here.zone).hour < 19, action
        assert not action.do.rstrip(".").endswith(" now"), action.do


def test_by_day_all_is_as_the_rules_say():
    actions = advise(context("2026-11-25T12:00")).actions
    assert sum(action.when is None for action in actions) > 10


def test_a_fire_that_burns_has_no_night():
    here = context("2026-05-09T22:33")
    fire = [a for a in advise(here).actions if a.entry == "firings/2026-05-09"]
    assert any(action.when is None for action in fire)
    assert all(action.when is None or action.when.hour in (22, 23, 0) for action in fire)


def test_frost_is_covered_at_night():
    here = context("2026-05-09T22:33")
    urgent = [a for a in advise(here).actions if a.urgency <= 1 and a.entry.startswith("batches/")]
    assert urgent and all(action.when is None for action in urgent)


def test_the_calendar_of_a_build_keeps_working_hours():
    own = Pace(0.95, 0.85, 5.0, 480, "k", 190, 14.3, 3.7, None, None, ())
    need = need_of(500, [], own, moment("2026-05-09T00:00"))
    moments = [(row["name"], row[end]) for row in need.calendar for end in ("from", "to")]
    assert len(moments) >= 6
    for name, when in moments:
        assert (7, 0) <= (when.hour, when.minute) <= (19, 0), name
    assert need.calendar[0]["from"] == moment("2026-05-09T07:00")
    assert [row["from"] <= row["to"] for row in need.calendar] == [True] * len(need.calendar)


@pytest.mark.parametrize(
    ("start", "waits"), [("2026-05-10T03:00:00", False), ("2026-05-12T03:00:00", True)]
)
def test_before_a_fire_that_is_lit_in_the_night_nothing_waits(start, waits):
    fire = f"""
        kiln = "k"
        plan = {{ peak = "950 C", start = {start} }}
        load = [{{ batch = "b", count = 100 }}]
    """
    here = context_of(State(on="firings/f", files={"firings/f": fire}, now="2026-05-09 22:33"))
    found = [
        action
        for action in advise(here).actions
        if RULES[action.rule].stage in BEFORE_THE_FIRE and action.urgency > 1
        and action.rule != "light-at"
    ]  # fmt: skip
    assert found and all((action.when is not None) == waits for action in found)
