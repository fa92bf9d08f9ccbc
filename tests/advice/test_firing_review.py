"""What follows from a firing while it burns."""

import json

import pytest

from fieldbook.advice.review import Review
from tests.advice.firings import GREEN_BATCH, METRE_KILN

BATCH = GREEN_BATCH
MIX = 'parts = [{ clay = "c", mass = "10 kg" }]\n'
CLAY = 'fizz = "none"\n'
KILN = METRE_KILN
HEAD = """
kiln = "k"
load = [{ batch = "b", count = 150, moisture = "2.0 %" }]
[plan]
peak = "950 C"
"""


def review_at(context_of, now: str, log: str, head: str = HEAD, settings: str = "") -> Review:
    context = context_of(
        now,
        settings,
        firings__f=f"{head}[log]\n{log}",
        batches__b=BATCH,
        mixes__m=MIX,
        clays__c=CLAY,
        kilns__k=KILN,
    )
    review = context.review("firings/f")
    assert review is not None
    return review


def lines(start_hour: float, *temperatures: float, step: float = 0.5, probe: str = "face") -> str:
    """Readings at equal steps on 3 May 2026."""
    rows = []
    for i, value in enumerate(temperatures):
        minutes = round((start_hour + i * step) * 60)
        day, rest = 3 + minutes // 1440, minutes % 1440
        stamp = f"2026-05-{day:02d} {rest // 60:02d}:{rest % 60:02d}"
        rows.append(f'"{stamp}" = {{ temperature = "{value} C", probe = "{probe}" }}')
    return "\n".join(rows) + "\n"


LIT = '"2026-05-03 06:00" = { event = "lit", air = "15 C" }\n'


def test_before_it_is_lit_a_firing_is_planned_and_asks_for_readings(context_of):
    review = review_at(context_of, "2026-05-03 05:00", "")
    assert review.facts["phase"] == "planned"
    for name in ("face_temperature", "core_temperature", "peak", "climb"):
        shown = review.results[name].json()
        assert shown["value"] is None and shown["needs"], name
    assert review.number("allowed_climb") > 0


def test_the_core_trails_the_face_and_the_bounds_hold_the_value(context_of):
    log = LIT + lines(6.5, 30, 45, 60, 75, 90)
    review = review_at(context_of, "2026-05-03 08:30", log)
    face, core = review.results["face_temperature"], review.results["core_temperature"]
    assert face.number == pytest.approx(90, abs=0.1)
    assert core.number < face.number
    for name in ("face_temperature", "core_temperature", "free_water_left", "bound_water_left"):
        found = review.results[name]
        assert found.low <= found.number <= found.high, name
    assert review.number("lag") == pytest.approx(face.number - core.number, abs=0.1)


def test_a_result_has_the_shape_of_the_page_on_commands(context_of):
    review = review_at(context_of, "2026-05-03 08:40", LIT + lines(6.5, 30, 45, 60, 75, 90))
    shown = json.loads(json.dumps(review.results["core_temperature"].json()))
    assert shown["unit"] == "°C"
    assert {"value", "low", "high", "method", "source", "from", "age"} <= set(shown)
    assert shown["from"] == ["firings/f.toml:12"]
    assert shown["age"] == pytest.approx(1 / 6, abs=1e-6)
    stages = json.loads(json.dumps(review.results["stages"].json()))["value"]
    assert stages[0]["name"] == "water smoking"
    assert {"from", "to", "condition", "source", "state", "over"} <= set(stages[0])


def test_climb_is_the_slope_of_the_last_three_readings(context_of):
    """20 then 40 K/h over half hours: least squares through 50, 60, 80 gives 30 K/h."""
    review = review_at(context_of, "2026-05-03 07:30", LIT + lines(6.5, 50, 60, 80))
    assert review.number("climb") == pytest.approx(30, abs=1e-9)
    assert review.number("steepest") == pytest.approx(40, abs=1e-9)


def test_a_wet_load_is_held_back_by_steam_and_a_dry_hot_one_by_quartz(context_of):
    cold = review_at(context_of, "2026-05-03 08:00", LIT + lines(6.5, 30, 40, 50, 60))
    assert cold.results["climb_is_limited_by"].value == "steam"
    warm = review_at(
        context_of,
        "2026-05-03 23:00",
        LIT + lines(6.5, *(40 + 18 * i for i in range(34))),
    )
    assert warm.results["climb_is_limited_by"].value == "quartz"
    assert warm.number("allowed_climb") == 50


def test_without_a_brick_size_nothing_inside_is_claimed(context_of):
    context = context_of(
        "2026-05-03 08:00",
        firings__f=f"{HEAD}[log]\n{LIT}{lines(6.5, 30, 40)}",
        batches__b='mix = "m"\nmoulded = 2026-04-02\ncount = 180\n',
        mixes__m=MIX,
        clays__c=CLAY,
        kilns__k=KILN,
    )
    results = context.review("firings/f").results
    assert results["core_temperature"].value is None
    assert results["core_temperature"].needs == ("batches/b: green.height",)
    assert results["climb"].number == pytest.approx(20)


def test_a_reading_is_due_and_overdue_by_the_makers_own_interval(context_of):
    head = HEAD + 'reading_every = "15 min"\n'
    review = review_at(context_of, "2026-05-03 07:30", LIT + lines(6.5, 30, 40), head)
    assert review.results["next_reading"].value == "2026-05-03T07:15:00-05:00"
    assert review.results["next_reading"].extra["overdue"] == pytest.approx(0.25)
    assert review.facts["overdue_since"] is not None


def test_the_state_stops_one_interval_after_the_last_reading(context_of):
    log = LIT + lines(6.5, 30, 45, 60)
    soon = review_at(context_of, "2026-05-03 07:50", log)
    late = review_at(context_of, "2026-05-03 23:50", log)
    for name in ("core_temperature", "free_water_left", "face_temperature"):
        assert late.number(name) == pytest.approx(soon.number(name), abs=1e-9), name
    assert late.results["core_temperature"].age == pytest.approx(16 + 1 / 3)


@pytest.mark.parametrize(
    "typed, slip",
    [("1004 C", "°F"), ("5400 C", "no wood fire"), ("54 C", "no fire")],
)
def test_a_reading_no_fire_makes_is_pointed_out_and_left_out(context_of, typed, slip):
    log = LIT + lines(6.5, *range(300, 740, 40))
    wrong = log.replace('"540 C"', f'"{typed}"')
    assert wrong != log
    review = review_at(context_of, "2026-05-03 12:00", wrong)
    assert len(review.problems) == 1
    problem = review.problems[0]
    assert problem.path == "firings/f.toml" and problem.line == 14 and slip in problem.what
    assert review.results["peak"].extra["hottest"] == 700


def test_twelve_hours_off_is_named(context_of):
    good = LIT + lines(14.0, *range(100, 900, 40), step=0.5)
    wrong = good.replace('"2026-05-03 20:00"', '"2026-05-03 08:00"')
    review = review_at(context_of, "2026-05-04 00:00", wrong)
    assert any("twelve hours" in problem.what for problem in review.problems)


def test_a_bound_is_kept_and_never_used_as_a_value(context_of):
    log = (
        LIT
        + lines(6.5, *range(300, 1000, 100))
        + ('"2026-05-03 10:30" = { temperature = "> 1000 C" }\n')
    )
    peak = review_at(context_of, "2026-05-03 10:30", log).results["peak"]
    assert peak.number == 900
    assert peak.extra["at_least"] == 1000


def test_phases_follow_events_and_the_curve(context_of):
    up = lines(6.5, *range(50, 950, 50))
    seal = '"2026-05-03 15:30" = { event = "sealed" }\n'
    down = lines(16.0, 850, 700, 600, step=1.0)
    end = '"2026-05-04 15:30" = { event = "opened" }\n"2026-05-04 17:30" = { event = "unloaded" }\n'
    log = LIT + up + seal + down + end
    for now, phase in [
        ("2026-05-03 06:10", "lit"),
        ("2026-05-03 09:00", "climbing"),
        ("2026-05-03 15:40", "sealed"),
        ("2026-05-03 18:00", "cooling"),
        ("2026-05-04 16:00", "opened"),
        ("2026-05-04 18:00", "unloaded"),
    ]:
        assert review_at(context_of, now, log).facts["phase"] == phase, now


def test_cooling_tells_when_it_opens_and_that_it_falls_too_fast(context_of):
    """A lumped fall with 12 h time constant from 900 in air of 15: 100 degC after 28.1 h."""
    import math

    fall = [15 + 885 * math.exp(-t / 12) for t in range(0, 9)]
    log = (
        LIT
        + lines(6.5, *range(40, 900, 50))
        + '"2026-05-03 15:30" = { event = "sealed" }\n'
        + lines(16.0, *(round(v, 1) for v in fall), step=1.0)
    )
    review = review_at(context_of, "2026-05-04 00:00", log)
    opens = review.results["opens"]
    assert opens.unit == "time" and opens.value.startswith("2026-05-04T2")
    early, late = opens.interval
    assert early <= "2026-05-04T20:06" <= late
    assert review.number("cooling_constant") == pytest.approx(12, rel=0.02)
    assert review.results["fall_is_limited_by"].value in ("stress", "quartz")
    assert review.number("fall") > 0
