"""Carbon burning out of a brick."""

import numpy as np
import pytest

from fieldbook.calc.carbon import burn_out_time, burnt_through, carbon_density, oxygen_density
from fieldbook.errors import OutOfRange


@pytest.mark.parametrize(
    ("half", "oxygen", "hours"), [(0.035, 0.21, 20.4), (0.035, 0.05, 85.6), (0.025, 0.21, 10.4)]
)
def test_hours_to_clear_a_black_core(half, oxygen, hours):
    # shrinking core: 1 % carbon, 1800 kg/m3, D 5e-6 m2/s, 750 degC; worked out by hand
    carbon = carbon_density.plain(0.01, 1800)
    gas = oxygen_density.plain(oxygen, 750)
    assert burn_out_time.plain(half, carbon, gas, 5e-6) == pytest.approx(hours, abs=0.06)


def test_burning_along_a_hold_is_the_same_law():
    hours, half, oxygen, d = np.linspace(0, 20, 400), 0.035, 0.21, 5e-6
    carbon = carbon_density.plain(0.01, 1800)
    burnt = burnt_through(hours, np.full(400, 750.0))[-1]
    share = burnt * oxygen * 2 * d * 3600 / (carbon * half**2)
    whole = burn_out_time.plain(half, carbon, oxygen_density.plain(oxygen, 750), d)
    assert share == pytest.approx(20 / whole, rel=1e-6)


def test_nothing_burns_when_cold_or_without_oxygen():
    assert burnt_through([0, 10], [400, 500])[-1] == 0
    with pytest.raises(OutOfRange):
        burn_out_time.plain(0.035, 1500.0, 0.0, 5e-6)
