"""Climb, crossings, time above, peak, and readings that cannot be right."""

import numpy as np
import pytest

from fieldbook.calc.readings import (
    Readings,
    climb,
    crossings,
    peak,
    reading_interval,
    spread,
    steepest,
    time_above,
)
from fieldbook.calc.suspicion import suspicions
from fieldbook.errors import NotPossible


def log(times, degrees):
    return Readings(np.array(times, float), np.array(degrees, float))


def test_climb_is_the_slope_of_three_readings_when_they_span_half_an_hour():
    # the last three, 0.5 h apart: 320, 340, 370: least squares 50 K/h
    assert climb(log([0, 1, 1.5, 2], [100, 320, 340, 370])) == pytest.approx(50.0)


def test_climb_takes_half_an_hour_of_close_readings():
    times = np.arange(0, 2.01, 0.1)
    degrees = np.where(times < 1.5, 100.0, 100 + 40 * (times - 1.5))
    assert climb(log(times, degrees)) == pytest.approx(40.0)


def test_climb_of_one_reading_is_unknown():
    assert climb(log([0], [20])) is None
    assert steepest(log([0], [20])) is None
    assert climb(log([0, 1], [20, 50])) == pytest.approx(30.0)


def test_steepest_step_keeps_its_sign():
    assert steepest(log([0, 1, 2], [0, 50, -40])) == pytest.approx(-90.0)


def test_crossing_in_a_bridged_span_carries_half_its_length():
    found = crossings(log([0, 0.5, 7.5], [500, 520, 800]), 573)
    # straight line: 0.5 + 7 * 53 / 280
    assert found[0].time == pytest.approx(1.825)
    assert found[0].bridged
    assert found[0].half == pytest.approx(3.5)
    close = crossings(log([0, 0.5], [560, 580]), 573)
    assert close[0].half == 0
    assert not close[0].bridged


def test_a_peak_is_crossed_up_and_down():
    found = crossings(log([0, 1, 2], [900, 960, 900]), 930)
    assert [c.rising for c in found] == [True, False]
    assert time_above(log([0, 1, 2], [900, 960, 900]), 930) == pytest.approx(1.0)
    assert peak(log([0, 1, 2], [900, 960, 900])) == (960, 1)


def test_reading_interval_by_what_the_fire_does():
    assert reading_interval(100, 10) == pytest.approx(1 / 3)
    assert reading_interval(400, 40) == 0.5
    assert reading_interval(950, 0) == 1.0
    assert reading_interval(600, -40) == 2.0


def test_spread_needs_two_places():
    assert spread([900, 940]) == 40
    assert spread([900]) is None


def test_readings_that_contradict_each_other_are_refused():
    with pytest.raises(NotPossible):
        log([0, 0], [20, 30])
    with pytest.raises(NotPossible):
        log([0, 1], [20])
    with pytest.raises(NotPossible):
        log([0], [np.nan])
    with pytest.raises(NotPossible):
        Readings(np.array([0.0]), np.array([20.0]), probe="wall")


TIMES = np.arange(0, 12.01, 0.5)
CLEAN = 20 + 60 * TIMES


def test_a_clean_log_raises_no_suspicion():
    assert suspicions(log(TIMES, CLEAN)) == []


def test_a_fast_but_true_fire_raises_none():
    # a wood kiln of 2000: 150 to 400 degF in the first half hour, 278 K/h
    hours = [0, 0.5, 1.5, 2.5, 4.25, 5.75, 6.75]
    degrees = [65.6, 204.4, 426.7, 482.2, 704.4, 815.6, 982.2]
    assert suspicions(log(hours, degrees)) == []


def test_celsius_typed_as_fahrenheit_is_pointed_out():
    degrees = CLEAN.copy()
    degrees[14] = (degrees[14] - 32) / 1.8  # 440 degC written as 440 degF
    found = suspicions(log(TIMES, degrees))
    assert [(s.index, s.kind) for s in found] == [(14, "Celsius as Fahrenheit")]
    assert found[0].likely_temperature == pytest.approx(440)


def test_fahrenheit_typed_as_celsius_is_pointed_out():
    degrees = CLEAN.copy()
    degrees[10] = degrees[10] * 1.8 + 32
    found = suspicions(log(TIMES, degrees))
    assert [(s.index, s.kind) for s in found] == [(10, "Fahrenheit as Celsius")]
    assert found[0].likely_temperature == pytest.approx(320)


def test_twelve_hours_off_is_pointed_out_inside_the_log():
    # 14 h of firing; the reading of hour 13.25 was written at 1.25
    times = np.arange(0, 14.01, 0.5)
    degrees = 20 + 60 * times
    times, degrees = np.append(times, 1.25), np.append(degrees, 20 + 60 * 13.25)
    order = np.argsort(times)
    found = suspicions(log(times[order], degrees[order]))
    assert [(s.index, s.kind) for s in found] == [(3, "twelve hours")]
    assert found[0].likely_time == pytest.approx(13.25)


def test_twelve_hours_off_is_pointed_out_before_the_log():
    times = np.append(-6.75, TIMES)  # 5.25 written as half a day earlier
    degrees = np.append(20 + 60 * 5.25, CLEAN)
    found = suspicions(log(times, degrees))
    assert [(s.index, s.kind) for s in found] == [(0, "twelve hours")]
    assert found[0].likely_time == pytest.approx(5.25)


def test_a_jump_no_fire_can_make_is_pointed_out_and_kept():
    degrees = CLEAN.copy()
    degrees[12] = 1240.0
    readings = log(TIMES, degrees)
    found = suspicions(readings)
    assert [(s.index, s.kind) for s in found] == [(12, "jump")]
    assert readings.temperature[12] == 1240.0


def test_what_no_fire_makes_is_pointed_out_even_alone():
    (found,) = suspicions(log(np.array([0.0]), np.array([5000.0])))
    assert found.kind == "no fire"
    assert suspicions(log(np.array([0.0]), np.array([1250.0]))) == []


def test_a_fahrenheit_reading_beyond_any_fire_is_still_known_for_what_it_is():
    degrees = CLEAN + 300
    degrees[-3] = degrees[-3] * 1.8 + 32
    found = {s.index: s.kind for s in suspicions(log(TIMES, degrees))}
    assert found[len(TIMES) - 3] == "Fahrenheit as Celsius"
