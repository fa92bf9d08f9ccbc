"""Rules on bricks that are drying: when each speaks and when it keeps silent."""

import pytest

from fieldbook.advice.results import Result
from tests.advice.build_records import State, ask, at

HEAD = """
mix = "plain"
moulded = "2026-04-28 12:00"
count = 180
"""
MARKED = '[marked]\n"1" = { mass = "3.25 kg" }\n"2" = { mass = "3.30 kg" }\n'
PLAIN = 'parts = [{ clay = "pit", mass = "10 kg" }]\n'
PLANNED = {"firings/may": 'kiln = "small"\nload = [{ batch = "april" }]\n'}


def batch(log: str = "", head: str = HEAD + MARKED, **more: object) -> State:
    files = {"batches/april": f"{head}\n[log]\n{log}", "mixes/plain": PLAIN}
    files.update(more.pop("files", {}))
    return State(on="batches/april", files=files, **more)


def moisture(value: float, **each: float) -> Result:
    return Result(name="moisture", value=value, unit="%", each=each)


WEIGHED = '"2026-05-02 12:00" = { brick = "1", mass = "3.0 kg" }\n'
READY = Result(
    name="ready",
    value="2026-05-09T12:00:00-05:00",
    unit="time",
    interval=("2026-05-07T12:00:00-05:00", "2026-05-12T12:00:00-05:00"),
)

SPEAKS = {
    "mark-bricks": batch(head=HEAD),
    "weigh": batch(WEIGHED, results={"moisture": moisture(12.0), "drying_rate": (0.2, "%/h")}),
    "what-became": batch(WEIGHED, now="2026-07-12 12:00"),
    "weigh-again": batch(facts={"suspect_bricks": ("2",)}),
    "dry-a-piece": batch(
        results={"moisture": Result(name="moisture", value=None, unit="%", needs=("oven_dry",))}
    ),
    "dry-slower": batch(results={"drying_stage": "shrinking", "drying_rate": (0.8, "%/h")}),
    "dry-faster": batch(results={"moisture": moisture(14.0), "drying_rate": (0.01, "%/h")}),
    "lay-flat": batch(
        '"2026-05-03 06:00" = { rain = true }\n', results={"moisture": moisture(18.0)}
    ),
    "cover-from-frost": batch(
        '"2026-05-02 18:00" = { frost = true }\n', results={"moisture": moisture(9.0)}
    ),
    "fire-batch": batch(results={"moisture": moisture(2.1, **{"1": 2.0, "2": 2.4})}),
    "settle-dryness": batch(results={"moisture": moisture(2.8).but(plus_minus=2.6)}),
    "as-dry-as-air": batch(results={"moisture": moisture(4.2)}, facts={"air_dry": True}),
    "ready-soon": batch(results={"ready": READY, "moisture": moisture(8.0)}),
}

SILENT = {
    "mark-bricks": batch(),
    "weigh": batch(WEIGHED, results={"moisture": moisture(2.5)}),
    "what-became": batch(WEIGHED, now="2026-06-12 12:00"),
    "weigh-again": batch(),
    "dry-a-piece": batch(results={"moisture": moisture(12.0)}),
    "dry-slower": batch(results={"drying_stage": "shrinking", "drying_rate": (0.2, "%/h")}),
    "dry-faster": batch(results={"moisture": moisture(14.0), "drying_rate": (0.1, "%/h")}),
    "lay-flat": batch(
        '"2026-05-03 06:00" = { rain = true }\n"2026-05-03 07:00" = { covered = true }\n',
        results={"moisture": moisture(18.0)},
    ),
    "cover-from-frost": batch(
        '"2026-05-02 18:00" = { frost = true }\n', results={"moisture": moisture(2.0)}
    ),
    "fire-batch": batch(files=PLANNED, results={"moisture": moisture(2.1)}),
    "settle-dryness": batch(results={"moisture": moisture(2.8).but(plus_minus=0.6)}),
    "as-dry-as-air": batch(results={"moisture": moisture(4.2)}),
    "ready-soon": batch(results={"ready": READY, "moisture": moisture(2.0)}),
}


def test_a_brick_is_weighed_when_its_water_has_moved_enough_to_show():
    (action,) = ask("weigh", SPEAKS["weigh"])
    # (12 - 3)/4 = 2.25 % at 0.2 %/h: 11.25 h after the last weighing
    assert action.when == at("2026-05-03 07:00")  # that is at night: the next morning
    assert action.why.startswith("Overdue by 5 h: at 4.8 % a day")


def test_the_wettest_brick_decides_whether_a_batch_is_dry():
    wet = batch(results={"moisture": moisture(2.1, **{"1": 2.0, "2": 3.4})})
    assert not ask("fire-batch", wet)


def test_the_makers_own_target_replaces_the_usual_one():
    state = batch(
        head=HEAD + 'target_moisture = "5 %"\n' + MARKED, results={"moisture": moisture(4.5)}
    )
    (action,) = ask("fire-batch", state)
    assert action.numbers["target"] == [5.0, "%"]


def test_bricks_in_a_lit_kiln_are_no_longer_drying():
    lit = PLANNED["firings/may"] + '[log]\n"2026-05-03 06:00" = { event = "lit" }\n'
    assert not ask("mark-bricks", batch(head=HEAD, files={"firings/may": lit}))


@pytest.mark.parametrize("cracked", [1, 4])
def test_cracks_while_shrinking_ask_for_slower_drying_whatever_the_rate(cracked):
    log = f'"2026-05-03 08:00" = {{ cracked = {cracked} }}\n'
    (action,) = ask("dry-slower", batch(log, results={"drying_stage": "shrinking"}))
    assert action.numbers == {"cracked": [cracked, "bricks"]}


def test_a_few_bricks_left_behind_by_a_firing_are_not_asked_after():
    lit = PLANNED["firings/may"].replace("}]", ", count = 160 }]")
    lit += '[log]\n"2026-05-03 06:00" = { event = "lit" }\n'
    assert not ask("mark-bricks", batch(head=HEAD, files={"firings/may": lit}))
    some = lit.replace("160", "90")
    assert ask("mark-bricks", batch(head=HEAD, files={"firings/may": some}))


def test_a_batch_that_nobody_followed_for_two_months_is_asked_after_and_not_weighed():
    left = batch(WEIGHED, now="2026-07-12 12:00", results={"moisture": moisture(12.0)})
    assert not ask("weigh", left)
    (action,) = ask("what-became", left)
    assert action.numbers == {"quiet": [71, "days"]}
    assert not ask("what-became", batch(WEIGHED, now="2027-07-12 12:00"))


def test_dry_bricks_that_are_set_for_a_firing_are_not_weighed_on():
    steady = {"moisture": moisture(3.6), "drying_rate": (0.005, "%/h")}
    assert ask("weigh", batch(WEIGHED, results=steady))
    assert not ask("weigh", batch(WEIGHED, results=steady, files=PLANNED))


def fitted(day: str, **more: object) -> State:
    due = {"next_weighing": at(day)}
    return batch(WEIGHED, facts=due, results={"moisture": moisture(14.0), **more})


STAGE = Result(
    name="drying_stage", value="shrinking", unit=None, extra={"critical": {"value": 12.0}}
)


@pytest.mark.parametrize(
    ("rate", "hours"),
    [
        (0.04, 50),  # 2 % above the shrinkage stop at 0.04 %/h
        (0.01, 72),  # never more than three days
        (0.2, 48),  # nor less than two
        (0.4, 24),  # or one, where it goes so fast that it may have to be shaded
    ],
)
def test_while_bricks_shrink_no_weighing_lies_beyond_the_end_of_shrinking(rate, hours):
    state = fitted("2026-05-20 12:00", drying_stage=STAGE, drying_rate=(rate, "%/h"))
    (action,) = ask("weigh", state)
    assert action.numbers["interval"] == [pytest.approx(hours), "h"]
    past = STAGE.but(value="past the shrinkage stop")
    state = fitted("2026-05-20 12:00", drying_stage=past, drying_rate=(rate, "%/h"))
    assert ask("weigh", state)[0].when == at("2026-05-20 12:00")


def test_bricks_are_not_weighed_again_before_a_scale_can_tell():
    doubtful = moisture(4.0).but(plus_minus=0.5)
    state = fitted("2026-05-02 18:00", drying_rate=(0.01, "%/h"))
    state.results["moisture"] = doubtful
    # half a per cent at 0.01 %/h is 50 h after the weighing of May 2, noon
    assert ask("weigh", state)[0].when == at("2026-05-04 14:00")


def test_bricks_near_the_target_that_lose_no_more_are_as_dry_as_this_air():
    steady = batch(results={"moisture": moisture(3.6), "drying_rate": (0.005, "%/h")})
    assert ask("as-dry-as-air", steady)
    assert not ask(
        "as-dry-as-air", batch(results={"moisture": moisture(4.6), "drying_rate": (0.005, "%/h")})
    )
    assert not ask(
        "as-dry-as-air", batch(results={"moisture": moisture(3.6), "drying_rate": (0.05, "%/h")})
    )


def test_a_ready_time_with_no_latest_day_says_from_when_on():
    open_ended = READY.but(interval=("2026-05-07T12:00:00-05:00", None))
    state = batch(results={"ready": open_ended, "moisture": moisture(8.0)})
    (action,) = ask("ready-soon", state)
    assert "not before Thu 7 May in 9 cases of 10" in action.why


def test_the_reason_for_a_weighing_tells_the_hours_to_the_morning_it_is_moved_to():
    state = batch('"2026-05-03 14:30" = { brick = "1", mass = "3.0 kg" }\n', now="2026-05-03 20:00")
    (action,) = ask("weigh", state)
    assert action.when == at("2026-05-04 07:00")
    assert action.why.startswith("17 h after the last")  # 16.5 h, in whole hours
