"""Firings without a thermometer, and what is seen beside one."""

import pytest

from tests.advice.firings import SCRIBED_BATCH

BATCH = (
    SCRIBED_BATCH
    + """[log]
"2026-04-20 09:00" = { brick = "1", marks = "140.0 mm" }
"""
)
MIX = """
parts = [{ clay = "c", mass = "10 kg" }]
[bars]
"1" = { wet = "100 mm", dry = "94.0 mm", fired = "93.1 mm", fired_at = "850 C", hold = "1 h" }
"2" = { wet = "100 mm", dry = "94.0 mm", fired = "91.2 mm", fired_at = "950 C", hold = "1 h" }
"3" = { wet = "100 mm", dry = "94.0 mm", fired = "88.4 mm", fired_at = "1020 C", hold = "1 h" }
"""
HEAD = """
kiln = "k"
load = [{ batch = "b", count = 150, moisture = "2 %" }]
plan = { peak = "950 C" }
[log]
"2026-05-03 06:00" = { event = "lit", air = "15 C" }
"""


def review_of(context_of, log: str, now: str, settings: str = ""):
    return context_of(
        now,
        settings,
        firings__f=HEAD + log,
        batches__b=BATCH,
        mixes__m=MIX,
        clays__c='fizz = "none"\n',
        kilns__k='form = "updraught"\n',
    ).review("firings/f")


GLOW = """
"2026-05-03 18:00" = { glow = "dull red", light = "shade" }
"2026-05-03 20:00" = { glow = "cherry red", light = "dark" }
"""


def test_a_glow_gives_a_state_as_wide_as_its_band(context_of):
    review = review_of(context_of, GLOW, "2026-05-03 20:00")
    face = review.results["face_temperature"]
    assert face.high - face.low >= 150
    assert face.low < 870 < face.high
    assert "no thermometer" in face.method
    assert review.facts["phase"] == "climbing"


def test_a_named_list_narrows_the_band_but_never_below_75(context_of):
    wide = review_of(context_of, GLOW, "2026-05-03 20:00").results["peak"].plus_minus
    named = review_of(
        context_of, GLOW, "2026-05-03 20:00", '[practice]\nglow_list = "stirling-1905"\n'
    )
    assert not named.problems
    assert 75 <= named.results["peak"].plus_minus < wide


def test_red_seen_in_the_sun_is_only_a_bound(context_of):
    log = '"2026-05-03 18:00" = { glow = "cherry red", light = "sun" }\n'
    review = review_of(context_of, log, "2026-05-03 18:00")
    assert review.results["face_temperature"].value is None
    assert review.model.case.seen[0].evidence.side == "above"


def test_a_colour_no_list_knows_is_pointed_out(context_of):
    log = '"2026-05-03 18:00" = { glow = "mauve", light = "dark" }\n'
    review = review_of(context_of, log, "2026-05-03 18:00")
    assert review.problems[0].line == 7 and "mauve" in review.problems[0].what


def hot(*pairs: tuple[str, float]) -> str:
    return "".join(
        f'"2026-05-03 {clock}" = {{ temperature = "{value} C", probe = "face" }}\n'
        for clock, value in pairs
    )


CLIMB = hot(
    ("08:00", 100), ("10:00", 250), ("12:00", 450), ("14:00", 600), ("16:00", 720),
    ("18:00", 820), ("19:00", 860), ("20:00", 900), ("20:30", 915), ("21:00", 930),
)  # fmt: skip


def test_a_bent_cone_and_the_thermometer_are_combined_by_their_widths(context_of):
    alone = review_of(context_of, CLIMB, "2026-05-03 21:00").results["heat_work"]
    cone = CLIMB + '"2026-05-03 21:00:30" = { cone = "010", state = "bent" }\n'
    both = review_of(context_of, cone, "2026-05-03 21:01").results["heat_work"]
    assert both.high - both.low < alone.high - alone.low
    assert set(both.extra["weights"]) == {"thermometer", "cone"}
    assert both.extra["agree"] is True


def test_a_draw_brick_speaks_through_the_mixs_own_bars(context_of):
    """140.0 to 137.2 mm is 2.0 % of the dry length: between the bars at 850 and 950 degC."""
    draw = CLIMB + '"2026-05-03 21:00:30" = { draw = "1", marks = "137.2 mm" }\n'
    review = review_of(context_of, draw, "2026-05-03 21:01")
    row = review.results["heat_work"].extra["evidence"][0]
    assert row["name"] == "draw brick" and row["value"] == pytest.approx(902, abs=12)


def test_cone_and_thermometer_that_exclude_each_other_are_not_averaged(context_of):
    low = hot(("08:00", 100), ("12:00", 300), ("16:00", 500), ("18:00", 600))
    cone = low + '"2026-05-03 18:00:30" = { cone = "04", state = "down" }\n'
    review = review_of(context_of, cone, "2026-05-03 18:01")
    assert any("exclude each other" in problem.what for problem in review.problems)


def test_a_broken_draw_brick_settles_the_carbon(context_of):
    even = CLIMB + '"2026-05-03 21:00:30" = { draw = "2", core = "even" }\n'
    found = review_of(context_of, even, "2026-05-03 21:01").results["carbon_left"]
    assert found.number == 0 and "draw brick" in found.method
    black = CLIMB + '"2026-05-03 21:00:30" = { draw = "2", core = "black" }\n'
    seen = review_of(context_of, black, "2026-05-03 21:01").results["carbon_left"]
    assert seen.number > 0 and seen.extra["draw_core"] == "black"


def test_thermometer_and_glow_far_apart_are_pointed_out(context_of):
    log = CLIMB + '"2026-05-03 18:05" = { glow = "white", light = "dark" }\n'
    review = review_of(context_of, log, "2026-05-03 21:00")
    assert any("white and 820 C" in problem.what for problem in review.problems)


def test_a_second_place_widens_what_is_said_by_place(context_of):
    log = CLIMB + (
        '"2026-05-03 20:45" = { temperature = "860 C", place = "top", probe = "face" }\n'
    )
    review = review_of(context_of, log, "2026-05-03 21:00")
    assert set(review.results["face_temperature"].each) == {"top"}
