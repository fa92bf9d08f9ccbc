"""How fast up, how fast down, and which rule says so."""

import numpy as np
import pytest

from fieldbook.calc.brick import PARAMETERS, Brick
from fieldbook.calc.firing import march
from fieldbook.calc.rates import (
    FIRED,
    GREEN,
    allowed_climb,
    allowed_fall,
    boiling_time,
    steam_climb,
    steam_pressure,
    stress_climb,
    stress_fall,
    stress_rate,
)
from fieldbook.calc.readings import Readings
from fieldbook.errors import OutOfRange

BRICK = Brick(0.230, 0.110, 0.070)


PLACEHOLDERS = {
    "strength": 1e6,
    "modulus": 10e9,
    "poisson": 0.2,
    "expansion": 6e-6,
    "diffusivity": 4e-7,
}


@pytest.mark.parametrize(("thickness", "up", "down"), [(50, 184, 92), (70, 94, 47), (100, 46, 23)])
def test_stress_rule_scales_with_the_square_of_thickness(thickness, up, down):
    # Kingery's scaling with the placeholders, worked out by hand to whole K/h
    numbers = {**PLACEHOLDERS, "half_thickness": thickness / 2000}
    assert stress_climb.plain(**numbers) == pytest.approx(up, abs=0.5)
    assert stress_fall.plain(**numbers) == pytest.approx(down, abs=0.5)


def test_stress_rule_by_hand():
    # 3 * 1e6 * 0.8 / 6e4 = 40 K between face and core; times 2 * 4e-7 / 0.025^2 * 3600
    numbers = {**PLACEHOLDERS, "half_thickness": 0.025}
    assert stress_climb.plain(**numbers) == pytest.approx(184.32, rel=1e-4)


@pytest.mark.parametrize(
    ("celsius", "kilopascal"), [(100, 101.4), (120, 198.7), (150, 476.1), (200, 1554.7)]
)
def test_steam_pressure_is_that_of_the_steam_tables(celsius, kilopascal):
    # IAPWS-IF97 as the library iapws gives it; half of the last digit
    assert steam_pressure.plain(celsius) / 1e3 == pytest.approx(kilopascal, abs=0.06)


def test_steam_pressure_ends_at_the_critical_point():
    with pytest.raises(OutOfRange):
        steam_pressure.plain(400.0)


def test_least_time_to_boil_a_brick_dry():
    # 3 % of water, 1800 kg/m3, 35 mm, 0.6 W/(m K), faces 50 K above boiling: 2490 s by hand
    seconds = boiling_time.plain(
        water=0.03, density=1800, half_thickness=0.035, conductivity=0.6, difference=50
    )
    assert seconds == pytest.approx(2490, abs=2)


def at(temperatures, hours=None, **brick):
    times = hours if hours is not None else np.arange(len(temperatures)) * 0.5
    log = Readings(np.array(times, float), np.array(temperatures, float), probe="face")
    body = Brick(0.230, 0.110, 0.070, **brick)
    return march({"a": log}, body).places["a"], body


def test_a_wet_cold_brick_is_held_to_the_steam_rule():
    state, brick = at([20, 25, 30])
    allowed = allowed_climb(state, brick)
    assert allowed.limited_by == "steam"
    assert 2 <= allowed.rate <= 25


def test_a_wet_core_at_110_stops_the_climb():
    state, brick = at([20, 130, 190, 220], [0, 2, 3, 3.5], free_water=(0.05, 0.08, 0.10))
    assert state.now("core")[2] > 110
    assert allowed_climb(state, brick).rate == 0


def test_steam_no_longer_counts_once_the_core_is_dry():
    assert steam_climb(BRICK, 80, 0.9) == np.inf
    assert steam_climb(BRICK, 109, 5.0) == 2.0
    thick = Brick(0.300, 0.200, 0.150)
    assert steam_climb(thick, 20, 3.0) < steam_climb(BRICK, 20, 3.0)


def test_quartz_holds_the_climb_to_fifty():
    state, brick = at([300, 420, 540], [0, 3, 6])
    allowed = allowed_climb(state, brick)
    assert allowed.rate == 50
    assert allowed.limited_by == "quartz"
    assert allowed.rules["stress"] == pytest.approx(94.04 / brick.factor, rel=1e-3)


def test_what_was_learnt_moves_stress_and_never_steam():
    state, brick = at([20, 25, 30])
    plain, learnt = allowed_climb(state, brick), allowed_climb(state, brick, learnt=2.0)
    assert learnt.rules["stress"] == pytest.approx(2 * plain.rules["stress"])
    assert learnt.rules["steam"] == plain.rules["steam"]


def test_the_maker_may_ask_for_less():
    state, brick = at([300, 420, 500], [0, 3, 6], free_water=(0, 0, 0))
    allowed = allowed_climb(state, brick, greatest=30.0)
    assert (allowed.rate, allowed.limited_by) == (30.0, "the maker")


def test_the_fall_is_slower_through_quartz_than_above_it():
    above, brick = at([900, 930, 900], [0, 1, 2])
    within, _ = at([900, 930, 600], [0, 1, 8])
    fast, slow = allowed_fall(above, brick), allowed_fall(within, brick)
    assert fast.limited_by == "stress"
    assert fast.rate == pytest.approx(stress_rate(brick, FIRED, falling=True))
    assert (slow.rate, slow.limited_by) == (50.0, "quartz")


def test_three_hours_from_peak_to_hand_warm_is_above_what_is_allowed():
    # a brick of 70 mm dried, four hours of hot fire, then 950 to 50 degC in three to four hours
    state, brick = at([20, 950, 950, 500, 50], [0, 3.5, 4, 5.75, 7.5])
    through, _ = at([20, 950, 950, 573], [0, 3.5, 4, 5.5])
    fall = (950 - 50) / 3.5
    assert 250 <= fall <= 300
    assert fall > allowed_fall(state, brick).rate
    assert fall > 4 * allowed_fall(through, brick).rate


def test_defaults_are_the_ranges_that_are_stated():
    assert PARAMETERS.green_diffusivity == (2e-7, 4e-7, 6e-7)
    assert GREEN.expansion == 6e-6
