"""The plan of a firing keeps its own rules."""

import numpy as np
import pytest

from fieldbook.calc.brick import Brick
from fieldbook.calc.firing import march
from fieldbook.calc.plan import Terms, plan_firing, smoking_hours
from fieldbook.calc.rates import GREEN, QUARTZ_RATE, stress_rate
from fieldbook.calc.readings import Readings
from fieldbook.errors import NotPossible

BRICK = Brick(0.230, 0.110, 0.070)
PLAN = plan_firing(BRICK, 950.0)


def test_the_curve_rises_to_the_peak_and_never_falls():
    assert PLAN.time[0] == 0
    assert np.all(np.diff(PLAN.face) >= -1e-9)
    assert PLAN.face[-1] == pytest.approx(950, abs=0.05)
    assert PLAN.steps[-1].limited_by == "heat-work"
    assert [s.begins for s in PLAN.steps[1:]] == pytest.approx([s.ends for s in PLAN.steps[:-1]])


def test_no_climb_of_the_plan_is_above_what_is_allowed():
    stress = stress_rate(BRICK, GREEN)
    slope = np.diff(PLAN.face) / np.diff(PLAN.time)
    assert slope.max() <= min(stress, 100.0) + 1e-6
    middle = (PLAN.face[1:] + PLAN.face[:-1]) / 2
    quartz = (middle > 530) & (middle < 615)
    assert slope[quartz].max() <= QUARTZ_RATE + 1e-6


def test_the_core_is_dry_before_the_face_is_hot():
    readings = Readings(PLAN.time, PLAN.face, probe="face")
    state = march({"a": readings}, BRICK).places["a"]
    hot = state.time[int(np.argmax(state.face[1] >= 150))]
    assert state.at("free_water_left", float(hot))[2] <= 1.1


def test_the_plan_ends_with_the_heat_work_wanted():
    readings = Readings(PLAN.time, PLAN.face, probe="face")
    state = march({"a": readings}, BRICK).places["a"]
    assert state.now("heat_work")[1] == pytest.approx(950, abs=3)


def test_a_wetter_load_costs_hours():
    wetter = Brick(0.230, 0.110, 0.070, free_water=(0.06, 0.08, 0.12))
    assert plan_firing(wetter, 950.0).sealed_at > PLAN.sealed_at + 3


def test_all_that_a_wetter_load_costs_is_spent_before_its_water_is_gone():
    wetter = Brick(0.230, 0.110, 0.070, free_water=(0.06, 0.08, 0.12))
    whole = plan_firing(wetter, 950.0).sealed_at - PLAN.sealed_at
    assert smoking_hours(wetter) - smoking_hours(BRICK) == pytest.approx(whole, abs=0.3)


def test_bricks_that_came_through_a_faster_climb_are_planned_faster():
    learnt = plan_firing(BRICK, 950.0, terms=Terms(learnt=0.5))
    assert learnt.sealed_at > PLAN.sealed_at + 3


def test_a_thicker_brick_goes_slower():
    thick = Brick(0.230, 0.150, 0.100)
    assert plan_firing(thick, 950.0).sealed_at > PLAN.sealed_at + 5


def test_the_plan_says_when_it_may_be_opened():
    # from 950 + 0 to 100 degC with air of 15 and 12 h: 12 ln(935/85) = 28.8 h
    assert PLAN.opens_at - PLAN.sealed_at == pytest.approx(28.78, abs=0.02)


def test_no_plan_takes_the_hottest_place_above_the_limit():
    with pytest.raises(NotPossible):
        plan_firing(BRICK, 1000.0, terms=Terms(spread=80.0))
    with pytest.raises(NotPossible):
        plan_firing(BRICK, 10.0)
    assert plan_firing(BRICK, 960.0, terms=Terms(spread=80.0)).hottest == 1040
