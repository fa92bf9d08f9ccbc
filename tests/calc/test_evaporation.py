"""Coefficients of evaporation: published pans and pools, and what has no answer."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldbook.calc import evaporation
from fieldbook.calc.psychrometrics import latent_heat
from fieldbook.errors import NotPossible, OutOfRange
from fieldbook.quantities import units


def test_a_pan_of_sand_in_a_dryer():
    # Geankoplis 9.6-3: 65.6 degC, wet bulb 28.9, 6.1 m/s: h 62.5, 3.39 kg/(m2 h), 0.708 kg/h
    density = 101325 / (8.314 / 0.02897 * (273.15 + 65.6)) / (1 + 0.010 / 0.622) * 1.010
    film = evaporation.film_along_surface.plain(3600 * 6.1 * density)
    assert film == pytest.approx(62.5, abs=0.5)  # the air's density is ours
    rate = evaporation.constant_rate.plain(film, 65.6, 28.9, 2433e3)
    assert rate == pytest.approx(3.39, abs=0.03)
    assert rate * 0.457**2 == pytest.approx(0.708, abs=0.006)
    # its tabulated 2433 kJ/kg at 28.9 degC and the straight line differ by 0.1 %
    assert latent_heat.plain(28.9) == pytest.approx(2433e3, rel=0.002)


def test_a_pool_loses_406_kg_a_day():
    # Incropera, Example 7.3: 12 m along the wind, 6 m wide
    air = {"viscosity": 15.7e-6, "diffusivity": 0.26e-4, "vapour_density": 0.0226}
    rate = evaporation.pool_evaporation.plain(2.0, 12.0, 1.5, **air, humidity=50.0)
    assert rate * 24 * 72 == pytest.approx(406, abs=0.5)
    with pytest.raises(OutOfRange):
        evaporation.pool_evaporation.plain(0.1, 1.0, 0.0, **air, humidity=50.0)
    with pytest.raises(OutOfRange):
        evaporation.pool_evaporation.plain(2.0, 12.0, 1.5, **air, humidity=101.0)


@settings(max_examples=30)
@given(wind=st.floats(0, 400), humidity=st.floats(0, 100))
def test_more_wind_and_drier_air_take_more_water(wind, humidity):
    here = evaporation.open_water_by_wind.plain(wind, 17.04, humidity)
    assert evaporation.open_water_by_wind.plain(wind + 10, 17.04, humidity) >= here
    assert evaporation.open_water_by_wind.plain(wind, 17.04, max(0, humidity - 5)) >= here


@settings(max_examples=30)
@given(weight=st.floats(0, 5), sun=st.floats(0, 2), wind=st.floats(0, 2))
def test_penman_lies_between_sun_and_wind(weight, sun, wind):
    found = evaporation.open_water_by_penman.plain(wind, sun, weight)
    assert min(sun, wind) - 1e-9 <= found <= max(sun, wind) + 1e-9


def test_blocked_faces_are_taken_off():
    whole = evaporation.open_area.plain(0.230, 0.110, 0.070, blocked=())
    flat = evaporation.open_area.plain(0.230, 0.110, 0.070)
    assert whole - flat == pytest.approx(0.230 * 0.110)
    end = evaporation.open_area.plain(0.230, 0.110, 0.070, blocked=("bottom", "end", "end"))
    assert flat - end == pytest.approx(2 * 0.110 * 0.070)


@pytest.mark.parametrize(
    ("call", "error"),
    [
        (lambda: evaporation.film_along_surface.plain(100.0), OutOfRange),
        (lambda: evaporation.film_in_channel.plain(0.0, 0.1), NotPossible),
        (lambda: evaporation.constant_rate.plain(10.0, 20.0, 25.0, 2.4e6), NotPossible),
        (lambda: evaporation.constant_rate.plain(0.0, 25.0, 20.0, 2.4e6), NotPossible),
        (lambda: evaporation.open_water_by_wind.plain(10.0, 17.0, 101.0), OutOfRange),
        (lambda: evaporation.open_water_by_penman.plain(0.1, 0.2, -1.0), NotPossible),
        (lambda: evaporation.open_area.plain(0.0, 0.1, 0.1), NotPossible),
        (lambda: evaporation.open_area.plain(
            0.2, 0.1, 0.1, blocked=("bottom", "top", "side", "side", "end", "end")), NotPossible),
    ],
)  # fmt: skip
def test_what_does_not_evaporate_is_refused(call, error):
    with pytest.raises(error):
        call()


def test_units_do_not_change_the_answer():
    found = evaporation.constant_rate(
        units.Quantity(62.45, "W/(m**2*K)"), units.Quantity(150.08, "degF"),
        units.Quantity(84.02, "degF"), units.Quantity(2433.0, "kJ/kg"),
    )  # fmt: skip
    assert found.m_as("kg/(m**2*h)") == pytest.approx(3.391, abs=0.001)
