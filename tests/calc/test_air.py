"""Air, flame and flue against printed values and a textbook flame."""

import pytest

from fieldbook.calc import air
from fieldbook.errors import NotPossible, OutOfRange

WOOD = air.WOOD


def test_air_of_dry_wood_by_the_steam_book():
    # Babcock & Wilcox, Steam, table 32, prints 6.0 for its wood; 5.95 with the figures used here
    found = air.air_by_steam_book.plain(WOOD.carbon, WOOD.hydrogen, WOOD.oxygen)
    assert found == pytest.approx(5.95, abs=0.006)


def test_air_of_oak():
    # C 50.16 H 6.02 O 43.36 (Gottlieb, in Steam, table 41), by hand
    need = air.oxygen_needed.plain(0.5016, 0.0602, 0.4336)
    assert need == pytest.approx(1.380, abs=1e-3)
    assert 13.23 * need == pytest.approx(18.3, abs=0.05)  # Dietenberger 2002, MJ/kg
    found = air.air_by_steam_book.plain(0.5016, 0.0602, 0.4336)
    assert found == pytest.approx(5.99, abs=0.006)


def test_air_of_wood_and_charcoal():
    assert air.stoichiometric_air(WOOD) == pytest.approx(5.92, abs=0.006)
    assert air.stoichiometric_air(WOOD, 20) == pytest.approx(4.73, abs=0.006)
    assert air.stoichiometric_air(air.CHARCOAL) == pytest.approx(9.78, abs=0.01)


@pytest.mark.parametrize(("oxygen", "ratio"), [(3.5, 1.2), (7.0, 1.5), (10.5, 2.0), (14.0, 3.0)])
def test_air_ratio_from_oxygen(oxygen, ratio):
    assert air.air_ratio.plain(oxygen) == pytest.approx(ratio, rel=1e-9)


def test_oxygen_of_plain_air_is_no_flue_gas():
    with pytest.raises(OutOfRange):
        air.air_ratio.plain(20.9)


def test_methane_burns_as_in_the_textbook():
    # Cengel & Boles, Thermodynamics, ex. 15-10: 150 % air, from 298 K: 1789 K
    assert air.methane_flame_temperature(1.5) + 273.15 == pytest.approx(1789, abs=0.6)


# worked out by another solver with the same gases; whole degrees
FLAMES = [(0, 1, 2046), (20, 1, 1873), (20, 1.5, 1426), (20, 2, 1156), (40, 3, 773), (50, 4, 577)]


@pytest.mark.parametrize(("moisture", "ratio", "celsius"), FLAMES)
def test_flame_of_wet_wood_in_too_much_air(moisture, ratio, celsius):
    assert air.flame_temperature(moisture, ratio) == pytest.approx(celsius, abs=1.5)


@pytest.mark.parametrize(("ratio", "celsius"), [(1, 2199), (1.5, 1593), (2, 1258), (3, 894)])
def test_flame_of_charcoal(ratio, celsius):
    assert air.flame_temperature(0, ratio, air.CHARCOAL) == pytest.approx(celsius, abs=1.5)


@pytest.mark.parametrize(
    ("celsius", "ratio", "share"),
    [(200, 1.5, 10.9), (400, 2, 30.4), (600, 2, 47.8), (800, 1.5, 52.0), (600, 3, 68.2)],
)
def test_share_that_leaves_with_the_gas(celsius, ratio, share):
    assert 100 * air.flue_loss(celsius, 20, ratio) == pytest.approx(share, abs=0.06)


def test_most_air_with_which_the_flame_exceeds_the_peak():
    ratio = air.greatest_air_ratio(950, 20)
    assert ratio is not None
    assert air.flame_temperature(20, ratio) == pytest.approx(950, abs=0.01)
    # a kiln gas of wood at 20 % water cannot exceed about 975 degC at a ratio of 2.5
    assert air.greatest_air_ratio(975, 20) == pytest.approx(2.5, abs=0.01)
    assert air.greatest_air_ratio(1600, 50) is None


def test_air_by_the_hour_at_the_site():
    # 5 kg/h of wood at 4.8 kg/kg and ratio 1.5 is 36 kg/h, about 30 m3/h at 20 degC
    hourly = air.air_per_hour(5, 18.85, 1.5)
    assert hourly == pytest.approx(36 * 0.8305, rel=3e-3)
    high = air.air_per_hour(5, 18.85, 1.5, pressure=air.site_pressure.plain(2000))
    assert high / hourly == pytest.approx(101325 / 79495, rel=1e-4)


@pytest.mark.parametrize(("metres", "pascal"), [(500, 95461), (1000, 89875), (2000, 79495)])
def test_pressure_of_the_site(metres, pascal):
    # the library psychrolib
    assert air.site_pressure.plain(metres) == pytest.approx(pascal, abs=1)


def test_what_cannot_be_is_refused():
    with pytest.raises(OutOfRange):
        air.flame_temperature(20, 0.8)
    with pytest.raises(OutOfRange):
        air.flame_temperature(90, 1.5)
    with pytest.raises(OutOfRange):
        air.site_pressure.plain(9000)
    with pytest.raises(NotPossible):
        air.air_per_hour(-1, 20, 1.5)
    with pytest.raises(OutOfRange):
        air.gas_enthalpy("N2", 7000)
