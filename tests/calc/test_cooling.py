"""Cooling of the kiln and of single bodies."""

import numpy as np
import pytest

from fieldbook.calc.cooling import cooling_time, fall_time, fit_cooling, lumped_temperature, opens
from fieldbook.errors import NotPossible, OutOfRange


@pytest.mark.parametrize(("end", "hours"), [(100, 29.4), (60, 37.8)])
def test_a_kiln_of_twelve_hours_from_950(end, hours):
    assert cooling_time.plain(950, end, 20, 12) == pytest.approx(hours, abs=0.06)


def test_a_steel_ball_in_air():
    # Geankoplis ex. 5.2-1: r 25.4 mm, 699.9 to 394.3 K, h 11.36, rho 7849, c 460.6, 1 h: 474.6 K
    radius = 0.0254
    capacity = 7849 * 4 / 3 * np.pi * radius**3 * 460.6
    found = lumped_temperature.plain(
        start=699.9, air=394.3, film=11.36, area=4 * np.pi * radius**2,
        heat_capacity=capacity, time=3600,
    )  # fmt: skip
    assert found == pytest.approx(474.6, abs=0.2)


def test_the_time_constant_comes_back_from_a_curve():
    time = np.arange(0, 20, 2.0)
    curve = 20 + 880 * np.exp(-time / 12)
    fit = fit_cooling(time, curve, 20)
    assert fit.time_constant == pytest.approx(12, rel=1e-6)
    assert fit.low < 12 < fit.high
    early, likely, late = opens(fit, 20, 100)
    assert likely == pytest.approx(12 * np.log(880 / 80), rel=1e-6)
    assert early < likely < late


def test_radiation_makes_the_early_part_faster_so_the_last_part_counts():
    time = np.arange(0, 31, 2.0)
    temperature = [950.0]
    for _ in time[1:]:
        t = temperature[-1]
        rate = (t - 20) / 14 + 2e-11 * ((t + 273) ** 4 - 293**4)
        temperature.append(t - 2 * rate * 0.9)
    whole = fit_cooling(time, np.array(temperature), 20, last=len(time))
    last = fit_cooling(time, np.array(temperature), 20)
    assert last.time_constant > whole.time_constant


def test_what_does_not_fall_is_refused():
    with pytest.raises(NotPossible):
        fit_cooling([0], [900], 20)
    with pytest.raises(NotPossible):
        fit_cooling([0, 1, 2], [900, 905, 910], 20)
    with pytest.raises(OutOfRange):
        cooling_time.plain(900, 20, 20, 12)
    assert fall_time(90, 100, 20, 12) == 0
    assert fall_time(900, 100, 110, 12) == np.inf
