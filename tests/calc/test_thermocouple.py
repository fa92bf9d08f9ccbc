"""Type K against the reference tables."""

import pytest

from fieldbook.calc.thermocouple import emf_of_k, temperature_of_k, tolerance
from fieldbook.errors import OutOfRange


@pytest.mark.parametrize(
    ("celsius", "millivolts"),
    [(100, 4.096), (300, 12.209), (500, 20.644), (573, 23.757), (1000, 41.276), (1200, 48.838)],
)
def test_emf_of_the_reference_table(celsius, millivolts):
    # NIST ITS-90 table; half of its last digit
    assert emf_of_k.plain(celsius) == pytest.approx(millivolts, abs=6e-4)


def test_the_cold_junction_counts():
    assert temperature_of_k(38.000, junction=30) == pytest.approx(947.2, abs=0.06)
    assert temperature_of_k(38.000) == pytest.approx(916.9, abs=0.06)


@pytest.mark.parametrize(("grade", "kelvin"), [(2, 7.125), (1, 3.8)])
def test_tolerance_of_new_wire(grade, kelvin):
    assert tolerance.plain(950, grade) == pytest.approx(kelvin, abs=0.01)


def test_tolerance_is_never_less_than_its_floor():
    assert tolerance.plain(100) == 2.5


def test_out_of_range_is_refused():
    with pytest.raises(OutOfRange):
        emf_of_k.plain(1400)
    with pytest.raises(OutOfRange):
        temperature_of_k(60.0)
    with pytest.raises(OutOfRange):
        tolerance.plain(1100, 1)
