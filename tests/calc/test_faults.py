"""Faults ranked by the table and the curve."""

import numpy as np
import pytest

from fieldbook.calc.brick import Brick
from fieldbook.calc.curve_facts import facts_of
from fieldbook.calc.faults import SIGNS, CurveFacts, causes, faults_known
from fieldbook.calc.firing import march
from fieldbook.calc.readings import Readings
from fieldbook.tables import load

BRICK = Brick(0.230, 0.110, 0.070)


def log(temperatures, hours):
    times = np.arange(0, hours[-1] + 1e-9, 0.25)
    return Readings(times, np.interp(times, hours, temperatures), probe="face")


def facts(temperatures, hours, **more):
    readings = {"top": log(temperatures, hours)}
    return facts_of(readings, march(readings, BRICK), BRICK, **more)


def test_a_fast_fall_explains_sharp_cracks():
    curve = facts([20, 110, 110, 700, 950, 950, 300], [0, 10, 18, 30, 34, 35, 38])
    assert curve.fall_quartz == pytest.approx(650 / 3, rel=1e-6)
    first = causes("cracked, sharp edges", curve)[0]
    assert first.stage == "cooling"
    assert any("573" in words for words in first.because)


def test_a_wet_fast_start_explains_bursting():
    curve = facts([20, 300], [0, 2.0])
    assert curve.climb_below_150 == pytest.approx(140)
    assert curve.wet_core_at_120 > 1.0
    first = causes("burst", curve)[0]
    assert "steam" in first.cause
    assert len(first.because) == 3


@pytest.mark.parametrize("every", [1, 8, 16, 24])
def test_a_core_that_dried_through_is_not_called_wet_because_it_was_read_seldom(every):
    """Held 18 h at 112 °C, dry long before the face passes 120 °C, however few readings say so."""
    brick = Brick(0.230, 0.110, 0.070, free_water=(0.01, 0.03, 0.05))
    times = np.arange(0, 40.01, 0.25)
    true = np.interp(times, [0, 8, 26, 32, 40], [15, 112, 112, 300, 600])
    readings = {"top": Readings(times[::every], true[::every], probe="face")}
    assert facts_of(readings, march(readings, brick), brick).wet_core_at_120 < 0.5


def test_cracks_are_laid_to_what_the_curve_shows():
    slow_up_fast_down = facts([20, 110, 110, 700, 950, 950, 300], [0, 10, 18, 32, 38, 39, 42])
    fast_up_slow_down = facts([20, 600, 950, 950, 300], [0, 3, 6, 7, 40])
    assert causes("cracked", slow_up_fast_down)[0].stage == "cooling"
    assert causes("cracked", fast_up_slow_down)[0].stage == "firing"


def test_too_little_heat_work_explains_soft_bricks():
    curve = facts([20, 110, 110, 700, 850], [0, 10, 18, 30, 34], wanted=950)
    assert curve.heat_work < 900
    first = causes("soft", curve)[0]
    assert any("was wanted" in words for words in first.because)


def test_what_speaks_against_a_cause_is_said():
    calm = CurveFacts(fall_quartz=20, fall=25, allowed_fall=90, opened_at=60)
    cause = next(c for c in causes("sharp cracks", calm) if c.stage == "cooling")
    assert cause.score == pytest.approx(1 - 1.5)
    assert len(cause.against) == 3


def test_without_a_log_the_table_alone_speaks():
    assert {c.because for c in causes("black core")} == {()}
    assert causes("turned to gold") == []


def test_every_row_is_whole_and_its_signs_are_known():
    for row in load("faults")["fault"]:
        assert row["seen"]
        assert row["cause"]
        assert row["remedy"]
        assert row["source"]
        assert set(row["signs"]) <= set(SIGNS)
    assert {name for row in load("faults")["fault"] for name in row["signs"]} == set(SIGNS)
    assert "black core" in faults_known()
