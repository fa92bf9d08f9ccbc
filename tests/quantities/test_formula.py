"""Formulas called with quantities, and what their documentation gives."""

from typing import NamedTuple

import numpy as np
import pytest
from uncertainties import ufloat

from fieldbook.errors import WrongUse
from fieldbook.quantities import in_units, quantity, units


@in_units(load="N", width="mm", share="%", times="1", returns="MPa")
def pressing(load, width, share=100.0, times=1, label=""):
    """Stress under a square stamp
    of one width.

    More about it, which is no part of the summary.

    Formula:
        p = n s P / b^2
            with s a share
    Args:
        load: [N] on the stamp.
        width: [mm] of the stamp,
            measured twice.
        share: [%] of the load.
        times: [1] how often.
    Returns:
        [MPa]
    Source:
        Worked out here.
    """
    return times * share / 100 * load / width**2


@in_units(rise="delta_degC", returns="delta_degC")
def doubled(rise):
    """Twice a rise."""
    return 2 * rise


class Pair(NamedTuple):
    name: str
    mass: float


@in_units(mass="kg", returns=(None, "kg"))
def named(mass):
    """A name and a mass."""
    return Pair("brick", mass)


def test_units_come_off_on_the_way_in_and_on_on_the_way_out():
    stress = pressing(quantity("1 kN"), quantity("1 cm"))
    assert stress.m_as("Pa") == pytest.approx(1e7)
    half = pressing(load=quantity("1 kN"), width=quantity("1 cm"), share=quantity("50 %"), times=3)
    assert half.m_as("MPa") == pytest.approx(15.0)


def test_the_plain_function_takes_numbers_arrays_and_uncertain_numbers():
    assert pressing.plain(1000.0, 10.0) == 10.0
    loads = units.Quantity(np.array([1.0, 2.0]), "kN")
    assert pressing(loads, quantity("10 mm")).m == pytest.approx([10.0, 20.0])
    unsure = pressing(units.Quantity(ufloat(1000.0, 10.0), "N"), quantity("10 mm"))
    assert unsure.m.std_dev == pytest.approx(0.1)


@pytest.mark.parametrize(("load", "said"), [
    (1000.0, r"pressing: load has no unit; give it in N"),
    (quantity("3 kg"), r"pressing: load is in kilogram, and N is wanted"),
])  # fmt: skip
def test_an_argument_without_its_unit_is_named(load, said):
    with pytest.raises(WrongUse, match=said):
        pressing(load, quantity("10 mm"))


def test_a_temperature_is_no_rise():
    assert doubled(quantity("9 delta_degF")).m == pytest.approx(10.0)
    with pytest.raises(WrongUse, match="rise is in degree_Celsius, and delta_degC is wanted"):
        doubled(quantity("9 degC"))


def test_several_results_keep_their_names():
    result = named(quantity("2000 g"))
    assert isinstance(result, Pair)
    assert result.name == "brick"
    assert result.mass.m_as("g") == pytest.approx(2000.0)


def test_documentation_is_read_from_the_docstring():
    assert pressing.summary == "Stress under a square stamp of one width."
    assert pressing.formula == "p = n s P / b^2\n    with s a share"
    assert pressing.source == "Worked out here."
    assert pressing.arguments["width"] == "[mm] of the stamp, measured twice."
    assert pressing.units == {"load": "N", "width": "mm", "share": "%", "times": "1"}
    assert pressing.returns == "MPa"
    assert doubled.formula == ""


def test_a_unit_for_an_argument_that_is_not_there_is_a_slip():
    with pytest.raises(TypeError, match="doubled takes no raise"):
        in_units(**{"raise": "K"}, returns="K")(doubled.plain)


def test_an_argument_too_many_or_unknown_is_refused_as_by_any_function():
    with pytest.raises(TypeError, match="positional argument"):
        doubled(quantity("9 delta_degF"), quantity("9 delta_degF"))
    with pytest.raises(TypeError, match="unexpected keyword"):
        doubled(fall=quantity("9 delta_degF"))
