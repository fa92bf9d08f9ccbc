"""Cones by chart and by the climb of the last hundred degrees."""

import pytest

from fieldbook.calc.cones import bending, charts, cone_energy, cone_evidence
from fieldbook.errors import NotPossible

# fitted from the printed rows by ln(climb/T^2) over 1/T, whole kJ/mol
ENERGIES = [("019", 427), ("018", 368), ("014", 251), ("013", 417), ("010", 1085), ("08", 808)]


@pytest.mark.parametrize(("cone", "kilojoules"), ENERGIES)
def test_energy_of_a_cone_follows_from_its_row(cone, kilojoules):
    assert cone_energy(cone) / 1e3 == pytest.approx(kilojoules, abs=0.6)


@pytest.mark.parametrize(("climb", "celsius"), [(15, 891), (60, 903), (150, 915)])
def test_a_cone_bends_lower_when_heated_slower(climb, celsius):
    assert bending("010", climb).value == pytest.approx(celsius)


def test_the_chart_is_named_because_charts_disagree():
    newer, older = bending("010", 150), bending("010", 150, "large-150-per-hour")
    assert newer.value - older.value == 15
    assert newer.chart != older.chart
    assert set(charts()) == {newer.chart, older.chart}


def test_a_chart_of_one_climb_says_less_at_another():
    assert bending("06", 150).half == 15
    assert bending("06", 40).half == 40


def test_standing_and_down_are_bounds():
    sides = [cone_evidence("010", s, 60).side for s in ("standing", "bent", "down")]
    assert sides == ["below", "about", "above"]
    with pytest.raises(NotPossible):
        cone_evidence("010", "leaning", 60)
    with pytest.raises(NotPossible):
        bending("099", 60)
    with pytest.raises(NotPossible):
        bending("010", 0)
    with pytest.raises(NotPossible):
        cone_energy("06")
