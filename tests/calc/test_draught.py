"""Draught, fan and battery against printed answers."""

import pytest

from fieldbook.calc import draught as d
from fieldbook.errors import OutOfRange

FOOT, INCH_WATER = 0.3048, 249.09


def celsius(fahrenheit):
    return (fahrenheit - 32) / 1.8


def test_draught_of_a_chimney_of_a_hundred_feet():
    # Babcock & Wilcox, Steam: 60 and 500 degF, 0.67 in of water at 14.7 psi and 0.45 at 10
    sea = d.draught.plain(100 * FOOT, celsius(60), celsius(500))
    assert sea / INCH_WATER == pytest.approx(0.67, abs=0.006)
    assert sea == pytest.approx(167.5, abs=0.5)
    high = d.draught.plain(100 * FOOT, celsius(60), celsius(500), 10 * 6894.757)
    assert high / INCH_WATER == pytest.approx(0.455, abs=0.006)


@pytest.mark.parametrize(("fahrenheit", "inches"), [(750, 0.0084), (600, 0.0075), (400, 0.0058)])
def test_draught_by_the_foot(fahrenheit, inches):
    found = d.draught.plain(FOOT, celsius(60), celsius(fahrenheit)) / INCH_WATER
    assert found == pytest.approx(inches, abs=6e-5)


@pytest.mark.parametrize(
    ("metres", "inside", "pascal"),
    [(1, 500, 7.3), (1, 900, 8.9), (2, 500, 14.7), (2, 900, 17.7), (3, 300, 17.3)],
)
def test_draught_of_a_hot_stack(metres, inside, pascal):
    assert d.draught.plain(metres, 20, inside) == pytest.approx(pascal, abs=0.06)


def test_draught_with_the_mass_of_the_fuel():
    # Onkar Singh, Applied Thermodynamics, ex. 11.4: 60 m, 290 and 573 K, 19 kg/kg: 34.1 mm
    found = d.flue_draught.plain(60, 290 - 273.15, 573 - 273.15, 19)
    assert found / 9.80665 == pytest.approx(34.1, abs=0.06)


@pytest.mark.parametrize(("kelvin", "kilowatt"), [(300, 4.89), (573, 9.34)])
def test_power_of_a_fan(kelvin, kilowatt):
    # Onkar Singh, ex. 11.7: 50 mm of water, 19 kg of air for each of 2000 kg/h, 1.293 kg/m3 at
    # 273 K, efficiency 0.9
    flow = 19 * 2000 / 1.293 * kelvin / 273
    assert d.fan_power.plain(flow, 50 * 9.81, 0.9) / 1e3 == pytest.approx(kilowatt, abs=0.006)


def test_small_blower_and_its_battery():
    # 30 m3/h against 200 Pa at 0.25: 6.7 W; 20 h on half of a 12 V battery: 22 Ah
    power = d.fan_power.plain(30, 200, 0.25)
    assert power == pytest.approx(6.67, abs=0.01)
    energy = d.battery_energy.plain(power, 20, 0.5)
    assert d.battery_charge.plain(energy, 12) == pytest.approx(22.2, abs=0.05)


def test_battery_of_the_published_sum():
    # 1000calculators.com: 240 W for 5 h at 12 V, half to be used, 90 %
    energy = d.battery_energy.plain(240, 5, 0.5, 0.9)
    assert d.battery_charge.plain(energy, 12) == pytest.approx(222.2, abs=0.05)


def test_speed_by_hand():
    # rho at 500 degC: 101325 / (287.06 * 773.15) = 0.4565; sqrt(2 * 7.3 / 0.4565) = 5.655
    assert d.ideal_speed.plain(7.3, 500) == pytest.approx(5.655, abs=2e-3)


def test_what_cannot_be_is_refused():
    for call in (
        lambda: d.ideal_speed.plain(-1, 500),
        lambda: d.fan_power.plain(30, 200, 0),
        lambda: d.battery_energy.plain(10, 5, 1.2),
    ):
        with pytest.raises(OutOfRange):
            call()
