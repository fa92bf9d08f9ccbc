"""Specific heat, heat content and conductivity of clay and brick."""

import numpy as np
import pytest

from fieldbook.calc.properties import (
    brick_conductivity,
    diffusivity,
    heat_content,
    michot_specific_heat,
    specific_heat,
)
from fieldbook.errors import OutOfRange, WrongUse
from fieldbook.quantities import units

# The printed formula of Michot et al., integrated by hand; half of the last digit shown.
HEAT = [(100, 62.9), (400, 374.3), (600, 603.4), (800, 841.2), (950, 1023.9), (1050, 1147.4)]


@pytest.mark.parametrize(("celsius", "kilojoules"), HEAT)
def test_heat_content_is_the_integral_of_the_printed_formula(celsius, kilojoules):
    assert heat_content.plain(celsius) / 1e3 == pytest.approx(kilojoules, abs=0.06)


def test_specific_heat_is_the_slope_of_the_heat_content():
    rise = heat_content.plain(801.0) - heat_content.plain(799.0)
    assert specific_heat.plain(800.0) == pytest.approx(rise / 2, rel=1e-6)
    # 1128 + 0.102 * 1073.15 - 36e6 / 1073.15^2, by hand
    assert specific_heat.plain(800.0) == pytest.approx(1206.20, abs=0.01)


def test_specific_heat_refuses_what_its_source_did_not_measure():
    with pytest.raises(OutOfRange):
        specific_heat.plain(1150.0)
    with pytest.raises(OutOfRange):
        heat_content.plain(np.array([20.0, 500.0]))


def test_specific_heat_takes_and_gives_units():
    found = specific_heat(units.Quantity(1472, "degF"))
    assert found.m_as("J/(kg K)") == pytest.approx(1206.20, abs=0.01)
    with pytest.raises(WrongUse):
        specific_heat(units.Quantity(3, "kg"))


@pytest.mark.parametrize(
    ("density", "conductivity", "alpha"),
    [(1600, 0.675, 5.27e-7), (1760, 0.78, 5.54e-7), (1920, 0.895, 5.83e-7), (2080, 1.02, 6.13e-7)],
)
def test_fired_brick_conducts_as_the_handbook_table_says(density, conductivity, alpha):
    # ASHRAE values in the library ht; c 800 J/(kg K); alpha printed to three digits
    k = brick_conductivity.plain(density)
    assert k == pytest.approx(conductivity, rel=1e-9)
    assert diffusivity.plain(k, density, 800.0) == pytest.approx(alpha, rel=1e-3)


def test_conductivity_of_no_known_brick_is_refused():
    with pytest.raises(OutOfRange):
        brick_conductivity.plain(1200.0)


def test_the_unchecked_formula_is_the_checked_one():
    assert michot_specific_heat(873.15) == specific_heat.plain(600.0)
