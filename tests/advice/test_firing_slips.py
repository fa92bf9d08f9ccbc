"""A firing whose log cannot be right, or that nobody closed: what is said, and what is not used."""

import pytest

from fieldbook.advice.context import Context
from fieldbook.advice.engine import advise
from tests.advice.build_records import at, notebook_of
from tests.advice.test_way_through import DRIED, HOT, OUT, PEAK, PLANNED, SEALED


def line(moment: str, inside: str) -> str:
    return f'"2026-04-{moment}" = {{ {inside} }}\n'


def event(moment: str, name: str) -> str:
    return line(moment, f'event = "{name}"')


def read(moment: str, shown: str) -> str:
    return line(moment, f'temperature = "{shown}", probe = "face"')


def looked_at(log: str, now: str):
    context = Context.of(notebook_of({**DRIED, "firings/may": PLANNED + log}, now), at(now))
    review = context.review("firings/may")
    assert review is not None
    return review, {a.rule: a for a in advise(context, "firings/may").actions}


def said(review) -> list[str]:
    return [problem.what for problem in review.problems]


BEFORE = "[log]\n" + event("25 05:30", "sealed") + HOT.removeprefix("[log]\n")


def test_an_event_before_the_fire_was_lit_is_named_and_counts_for_nothing():
    review, _ = looked_at(BEFORE, "2026-04-26 17:30")
    (problem,) = [p for p in review.problems if "before the fire was lit" in p.what]
    assert problem.what.startswith("sealed stands")
    assert BEFORE.splitlines()[1] == (PLANNED + BEFORE).splitlines()[problem.line - 1]
    assert review.facts["phase"] in ("climbing", "holding")


def test_a_second_fire_after_unloading_belongs_to_a_firing_of_its_own():
    review, _ = looked_at(OUT + event("30 07:00", "lit"), "2026-04-30 08:00")
    (problem,) = [p for p in review.problems if p.what.startswith("lit comes after unloaded")]
    assert "a firing of its own" in problem.remedy


def test_events_in_their_order_raise_no_problem():
    review, _ = looked_at(OUT, "2026-04-30 08:00")
    assert not [what for what in said(review) if "comes after" in what or "stands before" in what]


def test_a_fire_lit_again_before_its_peak_is_no_slip():
    again = HOT.replace("[log]\n", "[log]\n" + event("25 05:00", "lit"), 1)
    review, _ = looked_at(again, "2026-04-26 17:30")
    assert not [what for what in said(review) if "comes after" in what or "stands before" in what]


def test_a_kiln_sealed_after_it_was_opened_is_shut_and_nobody_is_sent_to_unload_it():
    log = PEAK + event("26 18:30", "opened") + event("26 19:00", "sealed")
    review, actions = looked_at(log, "2026-04-27 12:00")
    assert review.facts["phase"] == "sealed"
    assert "keep-sealed" in actions
    assert "unload" not in actions
    assert any(what.startswith("sealed comes after opened") for what in said(review))


@pytest.mark.parametrize("shown", ["5000 C", "-200 C"])
def test_a_reading_that_no_fire_makes_is_named_and_not_used(shown):
    review, _ = looked_at(HOT + read("26 18:30", shown), "2026-04-26 18:35")
    (problem,) = [p for p in review.problems if "no wood fire" in p.what or "no weather" in p.what]
    assert shown in problem.what
    assert review.number("peak") == pytest.approx(955)
    assert review.number("face_temperature") == pytest.approx(955, abs=3)


def test_a_single_reading_that_no_fire_makes_stands_for_nothing():
    log = "[log]\n" + event("25 06:00", "lit") + read("25 07:00", "5000 C")
    review, _ = looked_at(log, "2026-04-25 07:05")
    assert any("no wood fire makes 5000" in what for what in said(review))
    assert review.get("face_temperature") is None
    assert review.get("peak") is None


FALLING = SEALED + read("26 20:00", "850 C") + read("26 21:00", "760 C") + read("26 22:00", "680 C")


def test_orders_about_the_fall_rest_on_no_reading_of_long_ago():
    fresh, actions = looked_at(FALLING + read("26 23:00", "600 C"), "2026-04-26 23:05")
    assert fresh.number("fall") > fresh.number("allowed_fall")
    assert "slow-the-fall" in actions
    _, actions = looked_at(FALLING + read("26 23:00", "600 C"), "2026-04-27 12:00")
    assert "slow-the-fall" not in actions
    assert "quartz-on-the-way-down" not in actions
    assert "when last read, yesterday 23:00" in actions["keep-sealed"].why


def test_a_fire_read_hours_ago_is_read_before_it_is_slowed():
    fast = "[log]\n" + event("25 06:00", "lit")
    fast += "".join(
        read(f"25 {6 + i // 2:02d}:{30 * (i % 2):02d}", f"{20 + 60 * i} C") for i in range(1, 9)
    )
    _, actions = looked_at(fast, "2026-04-25 10:05")
    assert "slow-down" in actions
    _, actions = looked_at(fast, "2026-04-25 13:00")
    assert "slow-down" not in actions
    assert "read-now" in actions


CLIMBING = "".join(HOT.splitlines(keepends=True)[:6])


@pytest.mark.parametrize(
    "log", [CLIMBING, HOT, PEAK, SEALED, FALLING, "[log]\n" + event("25 06:00", "lit")]
)
def test_a_fire_nobody_closed_is_asked_about_once_and_not_read_for_ever(log):
    review, actions = looked_at(log, "2026-06-01 12:00")
    assert "what-came-of-it" in actions
    at_the_fire = {"read-now", "read-cooling", "open-kiln", "end-the-fire", "seal", "climb-on"}
    assert not at_the_fire & actions.keys()
    assert review.get("next_reading") is None
    assert review.facts["overdue_since"] is None


def test_a_fire_that_may_still_burn_is_read_and_not_asked_about():
    for log, now in ((HOT, "2026-04-27 12:00"), (SEALED, "2026-04-28 12:00")):
        _, actions = looked_at(log, now)
        assert "what-came-of-it" not in actions
        assert {"read-now", "read-cooling", "open-kiln"} & actions.keys()


def test_once_it_is_said_that_the_fire_is_out_nothing_is_asked():
    _, actions = looked_at(SEALED + event("28 19:00", "opened"), "2026-06-01 12:00")
    assert "what-came-of-it" not in actions
    assert "unload" in actions


def test_a_fire_nobody_closed_has_burnt_as_long_as_it_was_noted_and_not_until_today():
    then, _ = looked_at(HOT, "2026-04-26 18:01")
    months_later, _ = looked_at(HOT, "2026-07-01 12:00")
    assert months_later.number("heat_needed") <= then.number("heat_needed")
    assert months_later.number("air_needed") >= then.number("air_needed")
