"""Every size in the fixed table is proved against pint, with our definitions and with its own."""

import warnings

import pint
import pytest

from fieldbook.errors import FieldbookError
from fieldbook.quantities import CANONICAL, convert, read_amount, units
from fieldbook.quantities.finding import find_unit, spellings_of
from fieldbook.quantities.registry import pint_name
from fieldbook.quantities.table import OFFSET_UNITS, QUOTIENTS, SIZES

SIMPLE = [(dimension, unit) for dimension, sizes in SIZES.items() for unit in sizes]

PINT_CALLS = {
    "short ton": "short_ton", "long ton": "long_ton", "imp gal": "imperial_gallon",
    "imp qt": "imperial_quart", "imp pt": "imperial_pint", "fl oz": "fluid_ounce",
    "mm water": "0.1 * cm_H2O", "cm water": "cm_H2O", "in water": "inch_H2O",
    "st": "stone", "t": "tonne", "BTU": "Btu_it", "kcal": "1000 * cal_it", "cfm": "ft**3/min",
    "cfh": "ft**3/h", "fpm": "ft/min", "kn": "knot", "kgf": "kgf", "stere": "m**3",
    "BTU in/(h ft2 F)": "Btu_it*in/(h*ft**2*delta_degF)",
    "BTU/(h ft F)": "Btu_it/(h*ft*delta_degF)", "W/(m K)": "W/(m*K)", "%": "percent",
    "month": "year/12", "pt": "pint", "qt": "quart", "bu": "bushel", "cord": "128 * ft**3",
}  # fmt: skip
"""Units that pint's own list spells in another way."""


@pytest.fixture(scope="module")
def pint_alone():
    return pint.UnitRegistry(cache_folder=None)


@pytest.mark.parametrize(("dimension", "unit"), SIMPLE)
def test_each_size_agrees_with_our_definitions(dimension, unit):
    canonical = pint_name(CANONICAL[dimension])
    by_pint = units.Quantity(1.0, units.parse_units(pint_name(unit))).m_as(canonical)
    # both are products of a few exact factors: rounding alone
    assert SIZES[dimension][unit][0] == pytest.approx(by_pint, rel=1e-14)


@pytest.mark.parametrize(("dimension", "unit"), SIMPLE)
def test_each_size_agrees_with_the_list_that_comes_with_pint(dimension, unit, pint_alone):
    canonical = pint_name(CANONICAL[dimension])
    spelled = PINT_CALLS.get(unit, pint_name(unit))
    by_pint = pint_alone.parse_expression(spelled).to(canonical).m
    assert SIZES[dimension][unit][0] == pytest.approx(by_pint, rel=1e-12)


@pytest.mark.parametrize("unit", OFFSET_UNITS)
@pytest.mark.parametrize("degrees", [-200.0, -40.0, 0.0, 32.0, 1000.0])
def test_temperatures_agree(unit, degrees, pint_alone):
    ours = convert(degrees, unit, "degC")
    for registry in (units, pint_alone):
        # pint goes by way of kelvins: a rounding of 1e-16 of 1500
        assert ours == pytest.approx(registry.Quantity(degrees, unit).m_as("degC"), abs=1e-11)


@pytest.mark.parametrize("dimension", QUOTIENTS)
def test_quotients_agree(dimension):
    above, below = QUOTIENTS[dimension]
    canonical = pint_name(CANONICAL[dimension])
    for upper in SIZES[above]:
        for lower in SIZES[below]:
            unit = find_unit(f"{upper}/{lower}", dimension)
            by_pint = units.Quantity(1.0, f"{pint_name(upper)}/{pint_name(lower)}")
            assert unit is not None, f"{upper}/{lower}"
            assert unit.factor == pytest.approx(by_pint.m_as(canonical), rel=1e-13)


@pytest.mark.parametrize("unit", ["kg", "g", "lb", "oz", "t"])
def test_a_mass_in_a_field_of_force_is_its_weight(unit):
    by_pint = (units.Quantity(1.0, unit) * units.Quantity(1.0, "g_0")).m_as("N")
    assert read_amount(f"1 {unit}", "force").value == pytest.approx(by_pint, rel=1e-14)


@pytest.mark.parametrize("dimension", CANONICAL)
def test_each_dimension_is_held_in_a_unit_of_size_one(dimension):
    unit = find_unit(CANONICAL[dimension], dimension)
    assert unit is not None
    assert (unit.factor, unit.offset) == (pytest.approx(1.0, rel=1e-15), 0.0)


@pytest.mark.parametrize("dimension", CANONICAL)
def test_each_spelling_is_found_as_written(dimension):
    for spelling, unit in spellings_of(dimension).items():
        assert find_unit(spelling, dimension) == unit, spelling


@pytest.mark.parametrize(("value", "source", "target", "expected"), [
    (212.0, "degF", "degC", 100.0),
    (-40.0, "degC", "degF", -40.0),
    (5.0, "K", "delta_degF", 9.0),
    (300.0, "K", "degC", 26.85),
    (100.0, "K/h", "delta_degF/h", 180.0),
    (1.0, "kg/m**3", "g/cm3", 0.001),
    (1.0, "ft", "in", 12.0),
    (1.0, "kW", "BTU/h", 3412.141633),
])  # fmt: skip
def test_conversions_by_the_table(value, source, target, expected):
    # BTU/h: NIST SP 811, 1 BTU/h = 0.2930711 W, its inverse to seven digits
    assert convert(value, source, target) == pytest.approx(expected, rel=1e-7)


def test_what_the_table_lacks_is_left_to_pint():
    assert convert(1.0, "kJ/(kg*K)", "J/(g*K)") == pytest.approx(1.0)
    assert convert(1.0, "mm**2/s", "m**2/h") == pytest.approx(0.0036)


@pytest.mark.parametrize("unit", ["9**9**9", "m**99999999", "__import__('os')", "x" * 100_000, ""])
def test_nothing_but_units_reaches_the_parser_of_pint(unit):
    with pytest.raises(FieldbookError):
        convert(1.0, unit, "m**2/s")


def test_units_of_different_things_do_not_convert():
    with pytest.raises(FieldbookError, match="kg cannot be converted to m"):
        convert(1.0, "kg", "m")


def test_a_degree_is_never_taken_for_an_electrical_unit():
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        for name in ("coulomb", "farad", "C", "F", "M"):
            assert name not in list(units)
            with pytest.raises(pint.UndefinedUnitError):
                units.parse_units(name)


def test_no_ramp_is_made_a_temperature():
    ramp = units.Quantity(50.0, "delta_degF/hour")
    assert ramp.m_as("K/h") == pytest.approx(50 * 5 / 9)
    with pytest.raises(pint.OffsetUnitCalculusError):
        units.Quantity(50.0, "degF") / units.Quantity(1.0, "hour")
