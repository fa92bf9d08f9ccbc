"""Values as people read them."""

import pytest

from fieldbook.errors import Unreadable
from fieldbook.quantities import preferred, read_amount, show, show_amount, unit_sign


@pytest.mark.parametrize(("value", "unit", "half", "to", "text"), [
    (100.0, "degC", 0.3, "degF", "212.0 °F"),
    (100.0, "degC", 5 / 9, "degF", "212 °F"),
    (1.9213, "kg", 0.01, None, "1.92 kg"),
    (1.9213, "kg", 0.0096, None, "1.92 kg"),
    (1.9213, "kg", 0.002, None, "1.921 kg"),
    (1037.4, "degC", 25.0, None, "1037 °C"),
    (0.0762, "m", 0.001, "mm", "76 mm"),
    (100 / 3, "K/h", 5 / 9, "delta_degF/h", "60 °F/h"),
    (5.0, "K", None, "delta_degF", "9 °F"),
    (1.0, "m3", None, "l", "1000 l"),
    (0.0049, "m3", None, None, "0.0049 m³"),
    (1234567.0, "Pa", None, None, "1234567 Pa"),
    (480.5, "kg/m3", 20.0, "lb/ft3", "30 lb/ft³"),
    (11.53, "%", 0.4, None, "11.5 %"),
    (-0.001, "%", 0.1, None, "0.0 %"),
    (2.5, "", None, None, "2.5"),
    (float("nan"), "kg", None, None, "unknown"),
])  # fmt: skip
def test_digits_follow_the_half_width(value, unit, half, to, text):
    assert show(value, unit, half, to) == text


def test_a_half_width_is_shown_where_asked():
    assert show(1.9213, "kg", 0.0123, with_half=True) == "1.92 ± 0.01 kg"
    assert show(1.9213, "kg", 0.0123, with_half=True, ascii_only=True) == "1.92 +/- 0.01 kg"


@pytest.mark.parametrize("unit", ["degF", "degC", "K/h", "delta_degF/h", "m3", "W/(m K)", "kg/m3",
                                  "BTU in/(h ft2 F)", "in water", "%"])  # fmt: skip
def test_the_plain_form_of_a_unit_is_ascii_and_reads_back(unit):
    plain = unit_sign(unit, ascii_only=True)
    assert plain.isascii()
    kinds = ("temperature", "rate", "volume", "conductivity", "density", "pressure", "percent")
    assert read_amount(f"5 {plain}", kinds).unit == unit


@pytest.mark.parametrize("unit", ["degF", "K/h", "m3", "W/(m K)", "kg/m3", "BTU in/(h ft2 F)"])
def test_the_sign_of_a_unit_reads_back_as_well(unit):
    kinds = ("temperature", "rate", "volume", "conductivity", "density")
    assert read_amount(f"5 {unit_sign(unit)}", kinds).unit == unit


@pytest.mark.parametrize(("text", "kind", "system", "shown"), [
    ("212 degF", "temperature", "metric", "100.0 °C"),
    ("> 1000 C", "temperature", "us", "> 1832 °F"),
    ("~4 lb", "mass", "metric", "~1.8 kg"),
    ("90 to 96 mm", "length", "us", "3.7 ± 0.1 in"),
    ("9 1/2 in", "length", "us", "9 1/2 in"),
    ("9 1/2 in", "length", "as-written", "9 1/2 in"),
    ("12.50 EUR", "cost", "us", "12.50 EUR"),
])  # fmt: skip
def test_an_amount_is_shown_in_the_units_of_the_reader(text, kind, system, shown):
    assert show_amount(read_amount(text, kind), preferred(system)) == shown


def test_units_of_the_notebook_go_before_those_of_the_system():
    units = preferred("metric", {"temperature": "F", "mass": "pounds"})
    assert (units["temperature"], units["mass"], units["length"]) == ("degF", "lb", "mm")
    assert (units["difference"], units["rate"]) == ("delta_degF", "delta_degF/h")


@pytest.mark.parametrize("unit", ["kg", "9**9**9", 5, None])
def test_a_unit_of_another_kind_is_refused_in_the_settings(unit):
    with pytest.raises(Unreadable, match=r"\[show\] length names no unit"):
        preferred("metric", {"length": unit})
