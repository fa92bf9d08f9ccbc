"""How a kiln answers to wood, and how much to put on."""

from dataclasses import replace

import numpy as np
import pytest

from fieldbook.calc.brick import Brick
from fieldbook.calc.firing import march
from fieldbook.calc.heat_work import work_along
from fieldbook.calc.rates import allowed_climb
from fieldbook.calc.readings import Readings
from fieldbook.calc.stoking import (
    BURNS_FOR,
    Grate,
    Response,
    Wish,
    afterglow,
    aim,
    asked_of,
    burning,
    burning_at,
    charge_for,
    expected_response,
    grate_of,
    hold_longer,
    learnt_response,
    most_so_far,
)
from fieldbook.errors import NotPossible

BRICK = Brick(0.230, 0.110, 0.070, free_water=(0.0, 0.0, 0.005))


def test_a_charge_burns_away_by_e_in_its_time():
    # by hand: 2 kg put on at the start; after 0.3 h a share of 1/e is left
    assert burning([0.0], [2.0], 0.0, BURNS_FOR) == pytest.approx(2 * (1 - np.exp(-1)) / 0.3)
    grate = grate_of([0.0], [2.0], BURNS_FOR, 50.0)
    assert grate.burns == pytest.approx(2 * np.exp(-1))
    assert grate.at_start == pytest.approx(2 * np.exp(-1) / BURNS_FOR)
    assert grate.at_end == pytest.approx(0.0, abs=1e-9)
    assert burning([], [], 0, 1) == 0
    assert burning([5.0], [2.0], 0, 1) == 0


def test_what_is_expected_of_a_kiln_by_hand():
    # 0.35 * 14 MJ/kg into 1000 kg of bricks and half of 800 kg of walls at 1 kJ/(kg K)
    assert expected_response(1000, 800, 14).gain == pytest.approx(0.35 * 14 / 1.4)
    with pytest.raises(NotPossible):
        expected_response(0, 800, 14)


def simulated(gain, loss, hours=6.0, air=15.0):
    """A lump fed every quarter of an hour by unequal charges."""
    fuel_time = np.arange(0, hours, 0.25)
    fuel_mass = 3 + 2 * np.sin(fuel_time * 2)
    times, temperatures, t = [0.0], [air], air
    fine = 0.01
    for i in range(int(hours / fine)):
        t += gain * burning(fuel_time, fuel_mass, i * fine, (i + 1) * fine) * fine
        t -= loss * (t - air) * fine
        if (i + 1) % 25 == 0:
            times.append((i + 1) * fine)
            temperatures.append(t)
    return times, temperatures, fuel_time, fuel_mass


def test_gain_and_loss_come_back_from_a_log():
    log = simulated(6.0, 0.12)
    found = learnt_response(*log, air=15.0, expected=Response(4.0, 0.05, 0.0, 0))
    assert found.gain == pytest.approx(6.0, rel=0.1)
    assert found.loss == pytest.approx(0.12, abs=0.04)
    assert found.sure > 0.8


def test_gas_that_runs_ahead_of_the_bricks_is_told_from_their_own_climb():
    times, temperatures, fuel_time, fuel_mass = simulated(6.0, 0.12)
    lead = 3.0
    ahead = [
        t + lead * burning_at(fuel_time, fuel_mass, h)
        for h, t in zip(times, temperatures, strict=True)
    ]
    expected = Response(4.0, 0.05, 0.0, 0, 1.0)
    found = learnt_response(times, ahead, fuel_time, fuel_mass, air=15.0, expected=expected)
    assert found.gain == pytest.approx(6.0, rel=0.15)
    assert found.lead == pytest.approx(3.0, rel=0.3)


def test_a_fire_begun_anew_gets_less_wood_where_its_gas_runs_ahead():
    wish = {"climb": 20, "temperature": 110, "air": 20, "hours": 1 / 3, "feeds": 2}
    plain = charge_for(Response(6.0, 0.05, 1.0, 9), **wish)
    ahead = charge_for(Response(6.0, 0.05, 1.0, 9, 3.0), **wish)
    assert ahead < 0.8 * plain


def test_with_no_log_the_expectation_stands():
    expected = Response(4.0, 0.05, 0.0, 0)
    found = learnt_response([0.0], [15.0], [], [], air=15.0, expected=expected)
    assert (found.gain, found.loss, found.n) == (pytest.approx(4.0), pytest.approx(0.05), 0)
    assert found.sure == pytest.approx(0.0, abs=1e-9)


def test_the_charge_brings_the_climb_that_was_asked_for():
    response = Response(5.0, 0.1, 1.0, 20)
    wood = charge_for(response, climb=40, temperature=500, air=20, hours=0.25)
    # by hand: (40 + 0.1 * 485) / 5 * 0.25 h, over the share that burns in it
    assert wood == pytest.approx((40 + 48.5) / 5 * 0.25 / (1 - np.exp(-0.25 / 0.3)))
    full = Grate(100.0, 0.0, 0.0)
    burns = charge_for(response, climb=40, temperature=500, air=20, hours=0.25, grate=full)
    assert burns == 0


def test_embers_are_worth_more_when_the_kiln_falls_slowly():
    # R T^2 / E at 950 degC is 31.1 K: at 60 K/h half an hour, a little less as the rate bends
    assert afterglow(950, 60, 0.0) == pytest.approx(31.1 / 60, rel=0.06)
    assert afterglow(950, 20, 0.0) > afterglow(950, 60, 0.0)
    with pytest.raises(NotPossible):
        afterglow(950, 0, 0.0)


def test_wood_that_still_burns_does_work_after_the_last_feed():
    # as much as is lost: level at first, and falling as it dies away
    level = afterglow(950, 60, 60.0)
    assert afterglow(950, 60, 0.0) + 0.2 < level < afterglow(950, 60, 0.0) + 0.5
    assert afterglow(950, 60, 200.0) > 2 * level


def at(temperatures, hours):
    times = np.arange(0, hours[-1] + 1e-9, 0.25)
    log = Readings(times, np.interp(times, hours, temperatures), probe="face")
    return march({"a": log}, BRICK)


WISH = Wish(peak=950.0, hold=1.0, peak_limit=1050.0)


def aimed(state, wish=WISH):
    return aim(state, allowed_climb(state.coldest, BRICK), wish)


def test_the_aim_stays_below_what_is_allowed():
    found = aimed(at([20, 200, 300], [0, 4, 5]))
    assert found.why == "the stress rule, less a margin,"
    assert 0 < found.climb < 100


def test_the_aim_comes_down_before_the_quartz_zone():
    found = aimed(at([20, 200, 480], [0, 4, 8]))
    assert "quartz" in found.why
    assert found.climb <= 50


def test_who_looks_seldom_comes_down_earlier():
    far = at([20, 200, 400], [0, 4, 7])
    assert "quartz" not in aimed(far).why
    assert "quartz" in aimed(far, replace(WISH, hours=2.0)).why


def test_the_aim_eases_off_at_the_peak_and_ends_with_the_heat_work():
    near = aimed(at([20, 900, 930], [0, 20, 20.5]))
    assert near.why == "the peak, which is near,"
    assert near.climb < 27
    assert not near.finished
    done = aimed(at([20, 900, 950, 950], [0, 20, 22, 24]))
    assert done.finished


def test_no_aim_takes_the_hottest_place_above_the_limit():
    tight = replace(WISH, peak=1000.0, peak_limit=960.0)
    found = aimed(at([20, 900, 955], [0, 20, 21]), tight)
    assert found.climb <= 0
    assert "limit" in found.why


def test_a_face_over_a_wet_core_is_held_at_120_degrees():
    wet = Brick(0.230, 0.110, 0.070, free_water=(0.04, 0.05, 0.06))
    log = Readings(np.array([0.0, 3.0]), np.array([20.0, 130.0]), probe="face")
    state = march({"a": log}, wet)
    found = aim(state, allowed_climb(state.coldest, wet), WISH)
    assert found.climb == pytest.approx((120 - 130) / 0.75)
    assert found.why == "a core still wet"


def test_feeds_spread_over_the_time_take_more_for_some_burn_later():
    response = Response(5.0, 0.1, 1.0, 20)
    wish = {"climb": 40, "temperature": 500, "air": 20, "hours": 0.5}
    at_once = charge_for(response, **wish)
    parts = [1 - np.exp(-h / BURNS_FOR) for h in (0.5, 0.5 * 2 / 3, 0.5 / 3)]
    spread = charge_for(response, **wish, feeds=3)
    assert spread / at_once == pytest.approx(parts[0] / np.mean(parts))


def test_little_is_asked_of_a_kiln_that_has_not_answered_yet():
    assert asked_of(40.0, Response(5.0, 0.1, 0.0, 0)) == pytest.approx(6.0)
    assert asked_of(40.0, Response(5.0, 0.1, 0.2, 1)) == pytest.approx(12.0)
    assert asked_of(40.0, Response(5.0, 0.1, 0.2, 9)) == pytest.approx(24.0)
    assert asked_of(40.0, Response(5.0, 0.1, 1.0, 9)) == pytest.approx(40.0)
    assert asked_of(-40.0, Response(5.0, 0.1, 0.0, 0)) == -40.0


def test_a_hold_below_the_peak_lasts_longer():
    done = float(work_along([0, 0.5], [950, 950])[-1])
    assert hold_longer(done, 950, 1.0, 950) == pytest.approx(0.5)
    assert hold_longer(done, 950, 1.0, 920) == pytest.approx(1.34, abs=0.02)


def test_the_fastest_feeding_so_far_is_over_any_two_hours():
    assert most_so_far([], []) == 0.0
    assert most_so_far([0.0, 1.0, 5.0], [4.0, 2.0, 3.0]) == pytest.approx(3.0)  # 6 kg in 2 h
    assert most_so_far([0.0, 2.0], [4.0, 4.0]) == pytest.approx(2.0)  # never both within two hours


def test_no_heap_of_wood_ends_a_fire_far_below_its_peak():
    far = at([20, 200, 311], [0, 4, 6])
    assert not aimed(far, replace(WISH, heat=5000.0)).finished
