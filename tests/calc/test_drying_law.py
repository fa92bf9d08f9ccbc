"""Drying laws against textbook examples, finite differences and a measured tray."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from fieldbook.calc import drying_law, evaporation
from fieldbook.calc.psychrometrics import latent_heat, wet_bulb
from fieldbook.errors import NotPossible, OutOfRange
from fieldbook.quantities import units
from tests.data import measured


def test_both_periods_add_up():
    # Geankoplis: 2.63 h constant and 4.39 h falling are 7.02 h
    tray = {"dry_mass_by_area": 399 / 18.58, "rate": 1.51}
    constant = drying_law.constant_rate_time.plain(0.38, 0.195, **tray)
    falling = drying_law.falling_rate_time.plain(0.195, 0.040, 0.195, 0.0, **tray)
    assert (constant, falling) == pytest.approx((2.63, 4.39), abs=0.005)
    both = drying_law.drying_time.plain(0.38, 0.040, 0.195, 0.0, **tray)
    assert both == pytest.approx(constant + falling)


def test_a_measured_curve_takes_less_time_than_the_straight_line():
    # Geankoplis 9.7-1, worked out here by trapezoids: 6.69 h in all
    moistures = [0.195, 0.150, 0.100, 0.065, 0.050, 0.040]
    rates = [1.51, 1.21, 0.90, 0.71, 0.37, 0.27]
    falling = drying_law.time_by_measured_rates.plain(moistures, rates, 399 / 18.58)
    assert falling + 2.631 == pytest.approx(6.69, abs=0.005)


def test_weighings_of_a_textbook_show_their_critical_point():
    # Anantharaman and Begum, Example 6.5, dry 4.120 kg on 1 m2: 0.19 kg/(m2 h) until about 3.4 h,
    # then 0.179, 0.140, 0.105, 0.086; worked out by script from the printed masses
    hours = [0, 0.4, 0.8, 1, 1.4, 1.8, 2.2, 2.6, 3, 3.4, 4.2, 4.6, 5, 6]
    masses = [5.314, 5.238, 5.162, 5.124, 5.048, 4.972, 4.895, 4.819, 4.743, 4.667, 4.524, 4.468,
              4.426, 4.340]  # fmt: skip
    moistures = np.array(masses) / 4.120 - 1
    assert (moistures[0], moistures[-1]) == pytest.approx((0.2898, 0.0534), abs=5e-5)
    rates = drying_law.drying_rates.plain(hours, moistures, 4.120)
    assert rates[:9] == pytest.approx(np.full(9, 0.19), abs=0.003)
    assert rates[9:] == pytest.approx([0.179, 0.140, 0.105, 0.086], abs=0.0006)
    stop = moistures[9]
    assert 0.11 < stop < 0.14


def test_a_tray_of_sand_has_a_constant_and_a_falling_period_and_is_not_dry():
    # student report; worked out by hand: 4.92 g/min for 30 min, then falling, 1.29 at the end
    minutes = measured.column("drying_tray_sand", "minute")
    masses = np.array(measured.column("drying_tray_sand", "mass_g"))
    rates = drying_law.drying_rates.plain(minutes, masses, 1.0)
    expected = [4.91, 4.97, 4.88, 3.61, 3.42, 2.98, 2.80, 1.57, 1.29]
    assert rates == pytest.approx(expected, abs=0.006)
    assert rates[:3].mean() == pytest.approx(4.92, abs=0.005)
    assert np.ptp(rates[:3]) < 0.02 * rates[0]
    assert masses[0] - masses[-1] == pytest.approx(304.22, abs=0.005)
    assert 60 * rates[-1] / masses[-1] > 0.10  # still losing a tenth of its mass an hour


@settings(max_examples=30)
@given(
    first=st.floats(0.2, 0.35), critical=st.floats(0.05, 0.18), equilibrium=st.floats(0.0, 0.02),
    last=st.floats(0.025, 0.045), rate=st.floats(0.02, 0.5),
)  # fmt: skip
def test_solved_times_are_those_of_the_rate_law_integrated(
    first, critical, equilibrium, last, rate
):
    def law(_, x):
        return [-rate / 20 * min(1.0, (x[0] - equilibrium) / (critical - equilibrium))]

    hours = drying_law.drying_time.plain(
        first, last, critical, equilibrium, dry_mass_by_area=20.0, rate=rate
    )
    end = solve_ivp(law, (0, hours), [first], rtol=1e-8, atol=1e-10, max_step=hours / 50)
    assert end.y[0, -1] == pytest.approx(last, abs=1e-5)


@settings(max_examples=30)
@given(fourier=st.floats(0.001, 3.0))
def test_diffusion_series_falls_and_meets_its_first_term(fourier):
    left = drying_law.slab_moisture_ratio.plain(fourier, 1.0, 1.0)
    assert 0 < left < 1
    assert drying_law.slab_moisture_ratio.plain(fourier + 0.01, 1.0, 1.0) < left
    if fourier > 0.5:
        back = drying_law.slab_drying_time.plain(1.0, left, 0.0, 1.0, 1.0)
        assert back == pytest.approx(fourier, rel=1e-3)


@settings(max_examples=30)
@given(time=st.floats(0.1, 100), ratio=st.floats(0.3, 5))
def test_time_goes_with_the_square_of_thickness(time, ratio):
    there = drying_law.time_for_thickness.plain(time, 1.0, ratio)
    assert there == pytest.approx(time * ratio**2)
    assert drying_law.time_for_thickness.plain(there, ratio, 1.0) == pytest.approx(time)


@settings(max_examples=30)
@given(k=st.floats(0.05, 2), n=st.floats(0.5, 1.5), left=st.floats(0.01, 0.99))
def test_page_solves_back(k, n, left):
    time = drying_law.page_time.plain(left, k, n)
    assert drying_law.page_moisture_ratio.plain(time, k, n) == pytest.approx(left, rel=1e-9)


BRICK = {"dry_mass_by_area": 20.0, "rate": 0.1}


@pytest.mark.parametrize(
    ("call", "error"),
    [
        (lambda: drying_law.constant_rate_time.plain(0.2, 0.3, 20.0, 0.1), NotPossible),
        (lambda: drying_law.constant_rate_time.plain(0.3, 0.2, 20.0, 0.0), NotPossible),
        (lambda: drying_law.falling_rate_time.plain(0.3, 0.1, 0.2, 0.0, **BRICK), NotPossible),
        (lambda: drying_law.falling_rate_time.plain(0.1, 0.2, 0.2, 0.0, **BRICK), NotPossible),
        (lambda: drying_law.falling_rate_time.plain(0.1, 0.02, 0.2, 0.02, **BRICK), NotPossible),
        (lambda: drying_law.drying_time.plain(0.1, 0.2, 0.15, 0.02, **BRICK), NotPossible),
        (lambda: drying_law.slab_moisture_ratio.plain(-1.0, 1.0, 1.0), OutOfRange),
        (lambda: drying_law.slab_drying_time.plain(0.3, 0.28, 0.02, 1.0, 1.0), OutOfRange),
        (lambda: drying_law.slab_drying_time.plain(0.3, 0.02, 0.02, 1.0, 1.0), NotPossible),
        (lambda: drying_law.time_for_thickness.plain(1.0, 0.0, 1.0), NotPossible),
        (lambda: drying_law.page_moisture_ratio.plain(-1.0, 0.3), OutOfRange),
        (lambda: drying_law.page_time.plain(0.0, 0.3), OutOfRange),
        (lambda: drying_law.drying_rates.plain([0, 0], [0.3, 0.2], 20.0), NotPossible),
        (lambda: drying_law.time_by_measured_rates.plain([0.1, 0.2], [1, 1], 20.0), NotPossible),
        (lambda: drying_law.time_by_measured_rates.plain([0.2, 0.1], [1, 0], 20.0), NotPossible),
    ],
)
def test_drying_that_cannot_be_is_refused(call, error):
    with pytest.raises(error):
        call()


def test_units_do_not_change_the_answer():
    found = drying_law.constant_rate_time(
        units.Quantity(38.0, "%"), units.Quantity(0.25, ""),
        units.Quantity(21500.0, "g/m**2"), units.Quantity(1.51, "kg/(m**2*h)"),
    )  # fmt: skip
    assert found.m_as("minute") == pytest.approx(60 * 1.8510, abs=0.01)


@pytest.mark.parametrize(
    ("temperature", "humidity", "film", "constant", "falling"),
    [
        (28.0, 60.0, 10.0, 2.39, 4.52),
        (20.0, 70.0, 10.0, 4.00, 7.57),
        (35.0, 30.0, 15.0, 0.70, 1.33),
    ],
)
def test_a_brick_in_three_weathers(temperature, humidity, film, constant, falling):
    # worked out here with psychrolib: 230 x 110 x 70 mm, 2.6 kg dry, bottom blocked, 0.28 to 0.03
    wet = wet_bulb.plain(temperature, humidity)
    rate = evaporation.constant_rate.plain(film, temperature, wet, latent_heat.plain(wet))
    brick = {
        "dry_mass_by_area": 2.6 / evaporation.open_area.plain(0.230, 0.110, 0.070),
        "rate": rate,
    }
    first = drying_law.constant_rate_time.plain(0.28, 0.14, **brick) / 24
    second = drying_law.falling_rate_time.plain(0.14, 0.03, 0.14, 0.015, **brick) / 24
    assert (first, second) == pytest.approx((constant, falling), abs=0.02)
