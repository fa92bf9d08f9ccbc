"""Moist air against the library beneath and an independent formula, and the trap in the pull."""

import subprocess
import sys

import numpy as np
import psychrolib
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldbook.calc import psychrometrics
from fieldbook.calc.uncertainty import expanded, nominal, rectangular
from fieldbook.errors import NotPossible, OutOfRange
from fieldbook.quantities import units

TEMPERATURE, HUMIDITY = st.floats(2.0, 45.0), st.floats(5.0, 99.0)


def test_the_pull_is_not_the_deficit_of_the_air():
    # psychrolib at 25 degC, 50 %: 465 Pa against a deficit of 1585 Pa, 3.4 times as much
    deficit = psychrometrics.saturation_pressure.plain(25.0) - 1584.6
    pull = psychrometrics.drying_force.plain(25.0, 50.0)
    assert pull == pytest.approx(465.4, abs=0.15)
    assert deficit / pull == pytest.approx(3.4, abs=0.05)


@settings(max_examples=50)
@given(temperature=TEMPERATURE, humidity=HUMIDITY)
def test_agrees_with_the_library(temperature, humidity):
    psychrolib.SetUnitSystem(psychrolib.SI)
    rh = humidity / 100
    wet = psychrolib.GetTWetBulbFromRelHum(temperature, rh, 101325.0)
    assert psychrometrics.wet_bulb.plain(temperature, humidity) == pytest.approx(wet, abs=1e-9)
    vapour = psychrolib.GetVapPresFromRelHum(temperature, rh)
    assert psychrometrics.vapour_pressure.plain(temperature, humidity) == pytest.approx(vapour)
    dew = psychrolib.GetTDewPointFromRelHum(temperature, rh)
    assert psychrometrics.dew_point.plain(temperature, humidity) == pytest.approx(dew, abs=1e-6)


@settings(max_examples=50)
@given(temperature=st.floats(5.0, 40.0), humidity=st.floats(20.0, 95.0))
def test_wet_bulb_agrees_with_an_independent_fit(temperature, humidity):
    # Stull 2011, J. Appl. Meteor. Climatol. 50, 2267: a fit, stated within 1 degC
    fit = (
        temperature * np.arctan(0.151977 * np.sqrt(humidity + 8.313659))
        + np.arctan(temperature + humidity)
        - np.arctan(humidity - 1.676331)
        + 0.00391838 * humidity**1.5 * np.arctan(0.023101 * humidity)
        - 4.686035
    )
    found = psychrometrics.wet_bulb.plain(temperature, humidity)
    assert found == pytest.approx(fit, abs=1.05)


@settings(max_examples=50)
@given(temperature=TEMPERATURE, humidity=HUMIDITY)
def test_dew_point_wet_bulb_and_air_stand_in_order(temperature, humidity):
    dew = psychrometrics.dew_point.plain(temperature, humidity)
    wet = psychrometrics.wet_bulb.plain(temperature, humidity)
    assert dew <= wet + 0.01 <= temperature + 0.02
    assert psychrometrics.drying_force.plain(temperature, humidity) >= -0.5
    damper = min(100.0, humidity + 1)
    force = psychrometrics.drying_force.plain(temperature, humidity)
    # Where the wet bulb thaws, its balance takes the heat of melting in or leaves it out (ASHRAE,
    # equations 33 and 35): the force steps up by 4 % there.
    thaws = wet < 0.5 and psychrometrics.wet_bulb.plain(temperature, damper) > -0.5
    most = force * (1.06 if thaws else 1.0) + 0.2
    assert psychrometrics.drying_force.plain(temperature, damper) <= most


def test_published_states_of_air():
    # Geankoplis 9.3-1: p_v 2.76 kPa in 101.3: H 0.01742; 9.3-4: 60 degC, wet bulb 29.5: H 0.0135
    psychrolib.SetUnitSystem(psychrolib.SI)
    humidity = 100 * 2760 / psychrometrics.saturation_pressure.plain(26.7)
    ratio = psychrometrics.humidity_ratio.plain(26.7, humidity, 101300.0)
    assert ratio == pytest.approx(0.01742, abs=0.00001)
    for rh in np.arange(9.5, 11.5, 0.01):
        if psychrometrics.wet_bulb.plain(60.0, rh) >= 29.5:
            break
    assert psychrometrics.humidity_ratio.plain(60.0, rh) == pytest.approx(0.0135, abs=0.0001)


def test_saturated_and_dew_point_states_of_air():
    # Geankoplis 9.3-1: p_sat 3.50 kPa: H_s 0.02226, RH 78.9 %, 78.3 % of saturation
    saturation = next(
        t
        for t in np.arange(26.0, 27.5, 0.001)
        if psychrometrics.saturation_pressure.plain(t) >= 3500
    )
    full = psychrometrics.humidity_ratio.plain(saturation, 100.0, 101300.0)
    now = psychrometrics.humidity_ratio.plain(saturation, 100 * 2.76 / 3.50, 101300.0)
    assert full == pytest.approx(0.02226, abs=0.00002)
    assert 100 * now / full == pytest.approx(78.3, abs=0.05)
    # 9.3-2: 60 degC, dew point 26.7: H 0.0225 by chart; psychrolib 0.02228
    pressure = psychrometrics.saturation_pressure.plain(26.7)
    humidity = 100 * pressure / psychrometrics.saturation_pressure.plain(60.0)
    assert psychrometrics.humidity_ratio.plain(60.0, humidity) == pytest.approx(0.02228, abs=1e-5)
    assert psychrometrics.dew_point.plain(60.0, humidity) == pytest.approx(26.7, abs=0.01)
    # 9.6-3: 65.6 degC, H 0.010: wet bulb 28.9; psychrolib 28.893
    vapour = 101325 * 0.010 / (0.621945 + 0.010)
    dry = 100 * vapour / psychrometrics.saturation_pressure.plain(65.6)
    assert psychrometrics.wet_bulb.plain(65.6, dry) == pytest.approx(28.893, abs=0.002)


def test_arrays_and_uncertain_numbers_pass_through():
    found = psychrometrics.drying_force.plain(np.array([20.0, 25.0]), np.array([50.0, 50.0]))
    assert found == pytest.approx([406.9, 465.4], abs=0.2)
    doubtful = psychrometrics.drying_force.plain(rectangular(25.0, 1.0), rectangular(50.0, 5.0))
    assert nominal(doubtful) == pytest.approx(465.4, abs=0.2)
    alone = psychrometrics.drying_force.plain(25.0, rectangular(50.0, 5.0))
    assert expanded(doubtful) >= expanded(alone) > 20


@pytest.mark.parametrize(
    ("name", "values", "error"),
    [("vapour_pressure", (25.0, 101.0), OutOfRange), ("wet_bulb", (25.0, -1.0), OutOfRange),
     ("dew_point", (25.0, 0.0), OutOfRange), ("saturation_pressure", (201.0,), OutOfRange),
     ("air_pressure", (12000.0,), OutOfRange), ("latent_heat", (-1.0,), OutOfRange),
     ("latent_heat", (101.0,), OutOfRange), ("wet_bulb", (25.0, 50.0, 0.0), NotPossible)],
)  # fmt: skip
def test_air_that_cannot_be_is_refused(name, values, error):
    with pytest.raises(error):
        getattr(psychrometrics, name).plain(*values)


def test_units_do_not_change_the_answer():
    found = psychrometrics.wet_bulb(
        units.Quantity(77.0, "degF"), units.Quantity(50.0, "%"), units.Quantity(1.0, "atm")
    )
    assert found.m_as("degC") == pytest.approx(17.889, abs=0.002)


def test_the_library_is_loaded_only_when_air_is_asked_about():
    code = (
        "import sys; import fieldbook.calc.psychrometrics, fieldbook.calc.drying;"
        "print('psychrolib' in sys.modules, 'scipy' in sys.modules, 'pint' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.split() == ["False", "False", "False"]
