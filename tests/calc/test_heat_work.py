"""Heat-work: the hour at a temperature that does the same."""

import numpy as np
import pytest

from fieldbook.calc.heat_work import (
    equivalent_time,
    integral_of_exp,
    one_hour_temperature,
    time_left,
    wanted_temperature,
    work_along,
    work_rate,
)
from fieldbook.errors import OutOfRange


@pytest.mark.parametrize(
    ("energy", "hours"), [(100e3, 1.17), (300e3, 1.61), (450e3, 2.04), (600e3, 2.58)]
)
def test_an_hour_at_970_counts_as_so_many_at_950(energy, hours):
    assert equivalent_time.plain(1.0, 970, 950, energy) == pytest.approx(hours, abs=0.006)


@pytest.mark.parametrize(
    ("energy", "hours"), [(100e3, 1.68), (300e3, 0.77), (450e3, 0.53), (600e3, 0.40)]
)
def test_a_climb_counts_as_so_many_hours_at_its_end(energy, hours):
    # 800 to 950 degC at 50 K/h, worked out by quadrature
    work = work_along(np.linspace(0, 3, 200), np.linspace(800, 950, 200), energy)[-1]
    assert work / work_rate(950, energy) / 3600 == pytest.approx(hours, abs=0.006)


def test_equivalent_time_of_a_sterilising_process():
    # Geankoplis ex. 9.12-1: z 10 K, reference 121.1; 20 min at 71.1, 20 at 98.9, 33 at 110
    minutes = np.array([0, 20, 20, 40, 40, 73.0])
    celsius = np.array([71.1, 71.1, 98.9, 98.9, 110, 110])
    total = integral_of_exp(minutes, np.log(10) * (celsius - 121.1) / 10)[-1]
    assert total == pytest.approx(2.68, abs=0.01)


def test_equivalent_time_with_the_temperature_on_straight_lines():
    # Geankoplis ex. 9.12-2, z 18 degF, reference 250: 2.38 where the temperature is interpolated
    minutes = [0, 15, 25, 30, 40, 50, 64]
    fahrenheit = np.array([80, 165, 201, 212.5, 225, 230.5, 235])
    total = integral_of_exp(minutes, np.log(10) * (fahrenheit - 250) / 18)[-1]
    assert total == pytest.approx(2.38, abs=0.006)


def test_one_hour_at_a_temperature_is_that_temperature():
    work = work_along([0, 1], [950, 950])[-1]
    assert one_hour_temperature.plain(work) == pytest.approx(950, abs=1e-6)
    assert wanted_temperature(950, 1.0) == pytest.approx(950, abs=1e-6)
    # two hours count for ln 2 R T^2/E = 21.6 K more, by hand, to first order
    assert wanted_temperature(950, 2.0) == pytest.approx(971.9, abs=0.5)


def test_time_left_at_the_present_temperature():
    done = work_along([0, 0.5], [950, 950])[-1]
    assert time_left(done, 950, 1.0, 950) == pytest.approx(0.5, abs=1e-9)
    assert time_left(done, 950, 1.0, 930) > 0.7
    assert time_left(done, 950, 0.4, 950) == 0


def test_no_hold_and_no_end_are_refused():
    with pytest.raises(OutOfRange):
        wanted_temperature(950, 0)
    with pytest.raises(OutOfRange):
        one_hour_temperature.plain(4000.0)
