"""What makers write in a field, read to a value, a half-width and a unit.

Expected values are exact by the definitions of NIST SP 811 (2008), appendix B: pound 0.45359237 kg,
inch 25.4 mm, Fahrenheit degree 5/9 K; half-widths follow the page on the format.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldbook.errors import Unreadable
from fieldbook.quantities import read_amount

LB = 0.45359237

READ = [
    ("212 degF", "temperature", 100.0, 5 / 9, "degF", "digit"),
    ("572 F", "temperature", 300.0, 5 / 9, "degF", "digit"),
    ("572°F", "temperature", 300.0, 5 / 9, "degF", "digit"),
    ("572 deg F", "temperature", 300.0, 5 / 9, "degF", "digit"),
    ("300 C", "temperature", 300.0, 1.0, "degC", "digit"),
    ("300 degrees Celsius", "temperature", 300.0, 1.0, "degC", "digit"),
    ("300 ℃", "temperature", 300.0, 1.0, "degC", "digit"),
    ("573.15 K", "temperature", 300.0, 0.01, "K", "digit"),
    ("-5 C", "temperature", -5.0, 1.0, "degC", "digit"),
    ("−5 to 3 C", "temperature", -1.0, 4.0, "degC", "range"),
    ("9 F", "difference", 5.0, 5 / 9, "delta_degF", "digit"),
    ("9 C", "difference", 9.0, 1.0, "delta_degC", "digit"),
    ("60 F/h", "rate", 100 / 3, 5 / 9, "delta_degF/h", "digit"),
    ("60 °F per hour", "rate", 100 / 3, 5 / 9, "delta_degF/h", "digit"),
    ("50 K/h", "rate", 50.0, 1.0, "K/h", "digit"),
    ("2 C/min", "rate", 120.0, 60.0, "delta_degC/min", "digit"),
    ("9 1/2 in", "length", 0.2413, 0.0127, "in", "digit"),
    ("9½ in", "length", 0.2413, 0.0127, "in", "digit"),
    ("1/4 in", "length", 0.00635, 0.00635, "in", "digit"),
    ('2 1/4"', "length", 0.05715, 0.00635, "in", "digit"),
    ("3 ft 2 in", "length", 0.9652, 0.0254, "ft", "digit"),
    ("3'2\"", "length", 0.9652, 0.0254, "ft", "digit"),
    ("90 to 96 mm", "length", 0.093, 0.003, "mm", "range"),
    ("90-96 mm", "length", 0.093, 0.003, "mm", "range"),
    ("90 – 96 mm", "length", 0.093, 0.003, "mm", "range"),
    ("90 mm to 9.6 cm", "length", 0.093, 0.003, "cm", "range"),
    ("150.0 mm", "length", 0.15, 0.0001, "mm", "digit"),
    ("1.20 m", "length", 1.2, 0.01, "m", "digit"),
    ("-86 m", "elevation", -86.0, 1.0, "m", "digit"),
    ("5 lb 2 oz", "mass", 5.125 * LB, LB / 16, "lb", "digit"),
    ("5lb2oz", "mass", 5.125 * LB, LB / 16, "lb", "digit"),
    ("4.10lb", "mass", 4.1 * LB, 0.01 * LB, "lb", "digit"),
    ("~4 lb", "mass", 4 * LB, 0.4 * LB, "lb", "rough"),
    ("4.1 ± 0.1 kg", "mass", 4.1, 0.1, "kg", "stated"),
    ("4.1 kg +/- 100 g", "mass", 4.1, 0.1, "kg", "stated"),
    ("4.0 kg ± 2 %", "mass", 4.0, 0.08, "kg", "stated"),
    ("5,5 kg", "mass", 5.5, 0.1, "kg", "digit"),
    ("0,250 kg", "mass", 0.25, 0.001, "kg", "digit"),
    ("1.250 kg", "mass", 1.25, 0.001, "kg", "digit"),
    ("3250 g", "mass", 3.25, 0.001, "g", "digit"),
    ("1 h 20 min", "time", 4 / 3, 1 / 60, "h", "digit"),
    ("1h20m", "time", 4 / 3, 1 / 60, "h", "digit"),
    ("2 days", "time", 48.0, 24.0, "d", "digit"),
    ("8 %", "percent", 8.0, 1.0, "%", "digit"),
    ("8 ± 1 %", "percent", 8.0, 1.0, "%", "stated"),
    ("< 5 %", "percent", 5.0, 1.0, "%", "below"),
    ("> 1000 C", "temperature", 1000.0, 1.0, "degC", "above"),
    ("41 kg", "force", 41 * 9.80665, 9.80665, "kg", "digit"),
    ("200 N", "force", 200.0, 1.0, "N", "digit"),
    ("1.5 kN", "force", 1500.0, 100.0, "kN", "digit"),
    ("30 lbf", "force", 30 * LB * 9.80665, LB * 9.80665, "lbf", "digit"),
    ("1.2 g/cm³", "density", 1200.0, 100.0, "g/cm3", "digit"),
    ("1.6 kg/l", "density", 1600.0, 100.0, "kg/l", "digit"),
    ("30 lb/ft3", "density", 30 * LB / 0.3048**3, LB / 0.3048**3, "lb/ft3", "digit"),
    ("120 cm2", "area", 0.012, 0.0001, "cm2", "digit"),
    ("50 cfm", "flow", 3000 * 0.3048**3, 60 * 0.3048**3, "cfm", "digit"),
    ("2 l/s", "flow", 7.2, 3.6, "l/s", "digit"),
    ("10 mm water", "pressure", 98.0665, 9.80665, "mm water", "digit"),
    ("10 mmH2O", "pressure", 98.0665, 9.80665, "mm water", "digit"),
    ("1.5 kWh", "energy", 1500.0, 100.0, "kWh", "digit"),
    ("3.6 MJ", "energy", 1000.0, 100 / 3.6, "MJ", "digit"),
    ("100 Ah", "charge", 100.0, 1.0, "Ah", "digit"),
    ("5 kWh/kg", "calorific", 18.0, 3.6, "kWh/kg", "digit"),
    ("0.8 W/mK", "conductivity", 0.8, 0.1, "W/(m K)", "digit"),
    ("36 km/h", "speed", 10.0, 1 / 3.6, "km/h", "digit"),
    ("180", "count", 180.0, 0.0, "", "digit"),
    ("12.50 EUR", "cost", 12.5, 0.0, "EUR", "digit"),
    ("~12 usd", "cost", 12.0, 1.2, "USD", "rough"),
]


@pytest.mark.parametrize("case", READ, ids=lambda case: f"{case[0]} {case[1]}")
def test_a_text_is_read_as_its_writer_means_it(case):
    text, kind, value, half, unit, how = case
    amount = read_amount(text, kind)
    assert amount.value == pytest.approx(value, rel=1e-12, abs=1e-12)
    assert amount.half == pytest.approx(half, rel=1e-9, abs=1e-12)
    assert (amount.unit, amount.how, amount.text) == (unit, how, text)


@pytest.mark.parametrize(("kind", "half"), [("temperature", 25.0), ("air_temperature", 3.0)])
def test_rough_is_25_degrees_in_a_kiln_and_3_of_air(kind, half):
    amount = read_amount("~68 F", kind)
    assert (amount.dimension, amount.half) == ("temperature", half)


REFUSED = [
    ("1,250 kg", "mass", "thousands", '"1250 kg", or else "1.250 kg"'),
    ("1 250 kg", "mass", "thousands", '"1250 kg"'),
    ("1\u202f250 kg", "mass", "thousands", '"1250 kg"'),
    ("1'250", "mass", "thousands", '"1250"'),
    ("1.250,5 kg", "mass", "thousands", '"1250.5 kg"'),
    ("1,250,000 kg", "mass", "thousands", '"1250000 kg"'),
    ("~1,250 to 1,300 C", "temperature", "thousands", '"~1250 to 1300 C"'),
    ("1,250", "count", "thousands", '"1250"'),
    ("1,250 EUR", "cost", "thousands", '"1250 EUR"'),
    ("92.5", "length", "no unit", '"92.5 mm"'),
    ("9 1/2", "length", "no unit", '"9 1/2 in"'),
    ("1040", "temperature", "no unit", '"1040 C" or "1040 F"'),
    ("8", "percent", "no unit", '"8 %"'),
    (5.5, "mass", "no unit", '"5.5 kg"'),
    ("high", "temperature", '"high" is no amount', "kept and not used"),
    ("?", "mass", '"?" is no amount', "kept and not used"),
    ("not known", "mass", '"not known" is no amount', "kept and not used"),
    ("", "mass", "nothing written", "2.50 kg"),
    ("about 4 lb", "mass", "begins with a word", '"~4 lb"'),
    ("5 kg", "length", '"5 kg" is a mass, and a length is wanted', "240 mm"),
    ("5 mm", "mass", '"5 mm" is a length, and a mass is wanted', "2.50 kg"),
    ("60 F", "rate", "is a temperature", "50 C/h"),
    ("5 firkin", "volume", '"firkin" is not a unit', "[measures]"),
    ("5 millimetrs", "length", '"millimetrs" is not a unit', '"mm"'),
    ("5 ton", "mass", '"ton" is not a unit', "short ton"),
    ("500 deg", "temperature", "not a unit", '"C" or "F"'),
    ("5 kg, dry", "mass", "not a unit", "makes a note"),
    ("5 Ml", "volume", "not a unit", '"ml"'),
    ("5 M", "length", "not a unit", '"m"'),
    ("5 5 kg", "mass", "cannot be read", "2.50 kg"),
    ("5 lb 20 oz", "mass", "as many oz as make one lb", "fewer oz"),
    ("2 oz 5 lb", "mass", "as many lb as make one oz", "fewer lb"),
    ("5.5 lb 2 oz", "mass", "cannot be read", "2.50 kg"),
    ("5 C 2 F", "temperature", "cannot be read", "560 C"),
    ("9-1/2 in", "length", "may be one amount or a range", '"9 1/2 in" or "9 to 1/2 in"'),
    ("3'-2\"", "length", "may be one amount or a range", "3' 2\""),
    ("9 3/2 in", "length", "a fraction of one or more", "9 1/2"),
    ("1/0 in", "length", "divides by zero", "fraction"),
    ("~90 to 96 mm", "length", "cannot be read", "240 mm"),
    ("2026-05-03", "mass", "cannot be read", "2.50 kg"),
    ("4 ± -1 kg", "mass", "cannot be read", "2.50 kg"),
    ("-300 C", "temperature", "below absolute zero", "sign"),
    ("-1 K", "temperature", "below absolute zero", "sign"),
    ("-3 kg", "mass", "below zero", "sign"),
    ("nan kg", "mass", "is no amount", "2.50 kg"),
    ("inf kg", "mass", "is no amount", "2.50 kg"),
    ("1e999 kg", "mass", "plain number", "in full"),
    ("1e-3 kg", "mass", "plain number", "in full"),
    ("9**9**9", "mass", "cannot be read", "2.50 kg"),
    ("9" * 40 + " kg", "mass", "more than 15 digits", "digits"),
    ("1" * 100_000, "mass", "too long", "2.50 kg"),
    ("5 " + "m" * 60, "length", "not a unit", "240 mm"),
    ("5\x1b[31m kg", "mass", "does not print", "2.50 kg"),
    ("5 kg\u202e", "mass", "does not print", "2.50 kg"),
    ("5\nkg", "mass", "does not print", "2.50 kg"),
    (None, "mass", "this is none", "2.50 kg"),
    (True, "mass", "this is none", "2.50 kg"),
    (float("nan"), "mass", "this is none", "2.50 kg"),
    (True, "count", "whole number is wanted", "180"),
    ("12.0", "count", "not a plain whole number", "180"),
    ("-4", "count", "not a plain whole number", "180"),
    ("$12.50", "cost", "not a cost", '"12.50 USD"'),
    ("12 €", "cost", "not a cost", '"12 EUR"'),
    ("12.50", "cost", "not a cost", '"12.50 EUR"'),
]


@pytest.mark.parametrize(
    ("text", "kind", "what", "remedy"), REFUSED, ids=[repr(case[0])[:30] for case in REFUSED]
)
def test_a_text_that_is_not_clear_is_refused_with_the_way_out(text, kind, what, remedy):
    with pytest.raises(Unreadable) as refusal:
        read_amount(text, kind)
    assert what in refusal.value.what
    assert remedy in refusal.value.remedy
    assert str(refusal.value).replace("\n", "").isprintable()


@pytest.mark.parametrize("kind", ["mass", "count", "cost"])
def test_a_whole_number_of_thousands_of_digits_is_refused(kind):
    with pytest.raises(Unreadable, match=r"wanted here|whole number"):
        read_amount(16**5000, kind)


def test_a_bound_is_marked_as_no_value():
    assert read_amount("> 1000 C", "temperature").is_bound
    assert read_amount("≤ 5 %", "percent").is_bound
    assert not read_amount("1000 C", "temperature").is_bound


MEASURES = {
    "armload": read_amount("~6 kg", "mass"),
    "barrow": read_amount("65 l", "volume"),
    "cup": read_amount("200 ml", "volume"),
    "lb": read_amount("1 kg", "mass"),
}


def test_local_measures_are_used_like_any_unit():
    wood = read_amount("2 armloads", "fuel", MEASURES)
    assert (wood.value, wood.half, wood.dimension, wood.unit) == (12.0, 6.0, "mass", "armload")
    clay = read_amount("3 Barrow", "volume", MEASURES)
    assert (clay.value, clay.dimension, clay.unit) == (pytest.approx(0.195), "volume", "barrow")
    load = read_amount("1 armload", "force", MEASURES)
    assert load.value == pytest.approx(6 * 9.80665)
    filled = read_amount("26 kg/barrow", "density", MEASURES)
    assert filled.value == pytest.approx(400.0)


def test_a_fuel_field_takes_a_mass_or_a_volume():
    assert read_amount("8 kg", "fuel").dimension == "mass"
    assert read_amount("10 l", "fuel").dimension == "volume"
    with pytest.raises(Unreadable, match="a mass, a volume or a local measure is wanted"):
        read_amount("8 m", "fuel")


def test_a_notebook_may_define_its_own_cup_but_no_pound():
    assert read_amount("1 cup", "volume", MEASURES).value == pytest.approx(200e-6)
    assert read_amount("1 lb", "mass", MEASURES).value == LB


def test_a_field_may_take_one_of_several_dimensions():
    kinds = ("length", "mass", "difference")
    assert read_amount("1 g", kinds).dimension == "mass"
    assert read_amount("1 F", kinds).dimension == "difference"
    with pytest.raises(Unreadable, match=r"a length or a mass or a difference of temperature is"):
        read_amount("1 V", kinds)


def test_the_place_is_filled_in_without_changing_the_rest():
    amount = read_amount("5 kg", "mass")
    placed = amount.at("batches/a.toml:3")
    assert placed.where == "batches/a.toml:3"
    assert placed.at("") == amount


UNITS_OF = {
    "mass": ("kg", "g", "lb", "oz"),
    "length": ("mm", "cm", "m", "in", "ft"),
    "temperature": ("C", "F", "K", "degC", "°F"),
    "volume": ("l", "ml", "gal", "ft3", "m3"),
    "rate": ("F/h", "C/h", "K/h"),
}


@st.composite
def written(draw):
    kind = draw(st.sampled_from(sorted(UNITS_OF)))
    unit = draw(st.sampled_from(UNITS_OF[kind]))
    places = draw(st.integers(0, 3))
    number = draw(st.integers(1, 10**6)) / 10**places
    return kind, unit, places, f"{number:.{places}f}"


@given(written())
def test_a_number_comes_back_from_its_own_unit(case):
    kind, unit, places, figures = case
    amount = read_amount(f"{figures} {unit}", kind)
    one, two = read_amount(f"1 {unit}", kind), read_amount(f"2 {unit}", kind)
    size = two.value - one.value
    back = (amount.value - one.value) / size + 1
    # the sizes carry about 1e-16 each, worse by the distance of 0 K from 0 C
    assert back == pytest.approx(float(figures), rel=1e-12, abs=1e-10)
    assert amount.half == pytest.approx(size * 10.0**-places, rel=1e-9)


@given(written())
def test_spelling_with_a_comma_or_without_the_space_changes_nothing(case):
    kind, unit, places, figures = case
    plain = read_amount(f"{figures} {unit}", kind)
    assert read_amount(f"{figures}{unit}", kind).value == plain.value
    if places and places != 3:
        assert read_amount(f"{figures.replace('.', ',')} {unit}", kind).value == plain.value


@given(st.integers(0, 500), st.integers(0, 500), st.sampled_from([" to ", "-", "–", " - "]))
def test_a_range_is_its_middle_and_half_its_width(low, width, between):
    amount = read_amount(f"{low}{between}{low + width} mm", "length")
    assert amount.value == pytest.approx((low + width / 2) / 1000, abs=1e-12)
    assert amount.half == pytest.approx(width / 2000, abs=1e-12)


@given(
    st.one_of(
        st.text(max_size=100),
        st.text(alphabet="0123456789 ,.'/-–±~<>toeE+kgmlbft°CF%½()*^\"", max_size=60),
    ),
    st.sampled_from(["mass", "temperature", "rate", "fuel", "density", "count", "cost"]),
)
def test_any_text_is_read_or_refused_with_a_reason(text, kind):
    try:
        amount = read_amount(text, kind)
    except Unreadable as refusal:
        assert refusal.what and refusal.remedy
        assert refusal.what.isprintable() and refusal.remedy.isprintable()
    else:
        assert abs(amount.value) < 1e24
        assert 0 <= amount.half < 1e24
