"""How a fire was led, as its readings tell, and how far they leave it open."""

import math

import pytest

from fieldbook.report.fire_curve import Point, climb, hours_at, steepest


def points(*pairs, half=3.0, step=1.0):
    return [Point(hours, value, half, step) for hours, value in pairs]


def test_the_climb_is_known_to_half_the_gap_before_the_top():
    # By hand: 800 K in 10 h is 80 K/h; the top was reached up to 1 h before it was read (10 %).
    rate, half = climb(points((0, 100), (8, 700), (10, 900)))
    assert rate == pytest.approx(80)
    assert half == pytest.approx(math.hypot(math.hypot(1, 1) / 10, 80 * 1 / 10))


def test_one_reading_tells_no_climb():
    assert climb(points((0, 20))) is None
    assert steepest(points((0, 20))) is None
    assert steepest(points((0, 20), (0.1, 60))) is None


def test_two_readings_that_are_close_do_not_make_a_steep_climb():
    # 10 K within six minutes would be 100 K/h; over the hour that tells something it is 30.
    rate, _ = steepest(points((0, 100), (0.1, 110), (1.0, 130), (2.0, 150)))
    assert rate == pytest.approx(30)


def test_hours_at_a_temperature_are_known_to_half_the_gaps_they_were_passed_in():
    # A straight climb of 100 K/h and fall: 800 to 1000 and back is two hours above 900.
    curve = points((0, 800), (2, 1000), (4, 800), half=0.0)
    assert hours_at(curve, 900) == (pytest.approx(2.0), pytest.approx(math.sqrt(2)))


def test_a_fire_that_was_let_go_held_its_last_heat_until_then():
    # Read 950 at noon, sealed at two, 350 at six: 900 was passed 4 h x 50/600 after sealing.
    curve = points((0, 900), (2, 950), (8, 350), half=0.0)
    hours, half = hours_at(curve, 900, end=4)
    assert hours == pytest.approx(2 + 2 + 4 * 50 / 600)
    assert half == pytest.approx(math.hypot(1, 4 * 50 / 600))


def test_a_reading_just_below_may_have_been_above():
    below = points((0, 890), (2, 898), (4, 880), half=5.0)
    assert hours_at(below, 900) == (0.0, pytest.approx(math.sqrt(2)))
    assert hours_at(below, 950) == (0.0, 0.0)
