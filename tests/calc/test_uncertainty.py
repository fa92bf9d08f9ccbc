"""From readings to numbers with uncertainty.

Expected values are worked out by hand from JCGM 100:2008: a half-width a of a rectangular
distribution has the standard uncertainty a / sqrt(3) (4.3.7), independent parts add in squares
(5.1.2), coverage factor 2 (6.2).
"""

import math
from types import SimpleNamespace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldbook.calc.uncertainty import (
    Instruments,
    budget,
    exact,
    exp,
    expanded,
    log,
    nominal,
    power,
    rectangular,
    side,
    sqrt,
)
from fieldbook.errors import NotPossible, OutOfRange
from fieldbook.quantities import read_amount

SQRT3 = math.sqrt(3)
G = 9.80665


def settings(**instruments):
    return {
        name: {
            "step": read_amount(step, kind) if step else None,
            "error": [read_amount(error, (kind, "percent")) for error in errors],
        }
        for name, (kind, step, *errors) in instruments.items()
    }


def test_a_weighing_has_its_step_and_half_a_per_cent_of_the_scale():
    mass = Instruments().variable(read_amount("2.50 kg", "mass").at("tests/a.toml:4"))
    assert nominal(mass) == 2.5
    shares = dict(budget(mass))
    assert shares["tests/a.toml:4"] == pytest.approx(2 * 0.01 / SQRT3)
    assert shares["scale"] == pytest.approx(2 * 0.0125 / SQRT3)
    assert expanded(mass) == pytest.approx(2 * math.hypot(0.01, 0.0125) / SQRT3)


@pytest.mark.parametrize(("text", "half"), [("200 C", 2.5), ("1040 C", 7.8), ("1904 F", 7.8)])
def test_a_thermometer_is_out_by_the_greater_of_2_5_degrees_and_0_75_per_cent(text, half):
    reading = Instruments().variable(read_amount(text, "temperature"))
    assert dict(budget(reading))["thermometer"] == pytest.approx(2 * half / SQRT3)


def test_a_ruler_of_which_nothing_is_written_counts_its_last_digit_once():
    # Worked by hand after JCGM 100:2008, 4.3.7 and 4.3.8: known to lie within 240 ± 1 mm, so
    # u = 1 mm / sqrt(3) = 0.57735 mm, and U = 2 u = 1.1547 mm (6.2), from that reading alone.
    length = Instruments().variable(read_amount("240 mm", "length").at("here"))
    assert expanded(length) == pytest.approx(1.1547e-3, abs=5e-8)
    assert dict(budget(length)) == {"here": pytest.approx(1.1547e-3, abs=5e-8)}


def test_the_budget_of_a_shrinkage_is_that_worked_by_hand():
    # 150.0 and 141.0 mm between the marks, each ± 0.1 mm: s = 1 - 141/150 = 6.000 %.
    # u(d)/w = 0.057735/150, u(w) d/w2 = 0.057735 * 141/22500 (GUM 5.1.2); with coverage 2:
    # 2 * sqrt(0.038490^2 + 0.036181^2) = 0.10565 percentage points.
    instruments = Instruments()
    wet, dry = (
        instruments.variable(read_amount(text, "length").at(text))
        for text in ("150.0 mm", "141.0 mm")
    )
    shrinkage = 100 * (1 - dry / wet)
    assert expanded(shrinkage) == pytest.approx(0.10565, abs=5e-6)
    assert dict(budget(shrinkage)) == {
        "141.0 mm": pytest.approx(0.076980, abs=5e-7),
        "150.0 mm": pytest.approx(0.072361, abs=5e-7),
    }


def test_a_ruler_is_out_by_the_step_written_of_it():
    finer = Instruments(settings(ruler=("length", "2 mm")))
    both = dict(budget(finer.variable(read_amount("240.0 mm", "length").at("here"))))
    assert both == {
        "here": pytest.approx(0.004 / SQRT3),
        "ruler": pytest.approx(0.004 / SQRT3),
    }


def test_the_greater_of_step_and_last_digit_holds():
    instruments = Instruments(settings(scale=("mass", "5 g", "0 %")))
    fine, coarse = (instruments.variable(read_amount(t, "mass")) for t in ("2.500 kg", "2.5 kg"))
    assert expanded(fine) == pytest.approx(2 * 0.005 / SQRT3)
    assert expanded(coarse) == pytest.approx(2 * 0.1 / SQRT3)


def test_of_several_errors_the_greater_holds():
    instruments = Instruments(settings(scale=("mass", "1 g", "20 g", "1 %")))
    light, heavy = (instruments.variable(read_amount(t, "mass")) for t in ("500 g", "5000 g"))
    assert dict(budget(light))["scale"] == pytest.approx(2 * 0.020 / SQRT3)
    assert dict(budget(heavy))["scale"] == pytest.approx(2 * 0.050 / SQRT3)


def test_a_thermometer_may_be_set_in_fahrenheit_degrees():
    table = {"step": read_amount("9 F", "difference"), "error": read_amount("18 F", "difference")}
    reading = Instruments({"thermometer": table}).variable(read_amount("500 C", "temperature"))
    assert expanded(reading) == pytest.approx(2 * math.hypot(5, 10) / SQRT3)


def test_settings_may_be_a_record():
    scale = SimpleNamespace(step=None, error=(read_amount("2 %", "percent"),))
    record = SimpleNamespace(scale=scale, ruler=None, thermometer=None)
    mass = Instruments.of(record).variable(read_amount("100.0 kg", "mass"))
    assert dict(budget(mass))["scale"] == pytest.approx(2 * 2 / SQRT3)
    assert Instruments.of(None).instrument("scale") == Instruments().instrument("scale")


def test_a_setting_of_the_wrong_kind_is_named_and_not_used():
    wrong = {"scale": {"step": read_amount("1 mm", "length"), "error": None}}
    instruments = Instruments(wrong)
    assert instruments.unusable == [("scale.step", wrong["scale"]["step"])]
    assert instruments.instrument("scale") == Instruments().instrument("scale")


@pytest.mark.parametrize(("text", "half"), [
    ("4.1 ± 0.1 kg", 0.1), ("~4 kg", 0.4), ("4 to 5 kg", 0.5),
])  # fmt: skip
def test_what_a_maker_says_of_a_reading_stands_alone(text, half):
    mass = Instruments().variable(read_amount(text, "mass").at("here"))
    assert budget(mass) == [("here", pytest.approx(2 * half / SQRT3))]


def test_a_load_read_as_a_weight_is_read_on_the_scale():
    instruments = Instruments(settings(scale=("mass", "2 kg", "5 kg")))
    load = instruments.variable(read_amount("41 kg", "force"))
    assert nominal(load) == pytest.approx(41 * G)
    assert expanded(load) == pytest.approx(2 * math.hypot(2, 5) * G / SQRT3)


def test_other_dimensions_have_their_last_digit_alone():
    volume = Instruments().variable(read_amount("10 l", "volume").at("here"))
    assert budget(volume) == [("here", pytest.approx(0.002 / SQRT3))]


def test_a_count_is_exact():
    count = Instruments().variable(read_amount("180", "count"))
    assert (nominal(count), expanded(count), budget(count)) == (180.0, 0.0, [])


def test_a_bound_is_refused():
    with pytest.raises(NotPossible, match='"> 1000 C" is a bound'):
        Instruments().variable(read_amount("> 1000 C", "temperature"))


def test_one_reading_used_twice_is_one_and_two_alike_are_two():
    instruments = Instruments(settings(ruler=("length", "1 mm", "0 %")))
    one, other = (read_amount("100 mm", "length").at("a.toml:1") for _ in range(2))
    assert one == other
    assert expanded(instruments.variable(one) - instruments.variable(one)) == 0.0
    apart = instruments.variable(one) - instruments.variable(other)
    assert expanded(apart) == pytest.approx(2 * math.sqrt(2) * 0.001 / SQRT3)


masses = st.floats(0.05, 60.0).map(lambda kg: f"{kg:.3f} kg")


@given(masses, masses, st.integers(1, 20))
def test_an_error_of_the_scale_in_per_cent_cancels_in_ratios(one, other, percent):
    instruments = Instruments(settings(scale=("mass", "1 g", f"{percent} %")))
    dry, soaked = (instruments.variable(read_amount(t, "mass").at(t)) for t in (one, other))
    ratio = (soaked - dry) / dry
    assert "scale" not in dict(budget(ratio))
    assert "scale" in dict(budget(soaked + dry))


@given(masses, masses)
def test_an_error_of_the_scale_in_grams_cancels_in_differences(one, other):
    instruments = Instruments(settings(scale=("mass", "1 g", "30 g")))
    lighter, heavier = (instruments.variable(read_amount(t, "mass")) for t in (one, other))
    gain = heavier - lighter
    assert "scale" not in dict(budget(gain))
    assert expanded(gain) == pytest.approx(2 * math.sqrt(2) * 0.001 / SQRT3)


@given(masses, masses)
def test_the_budget_adds_up_in_squares(one, other):
    instruments = Instruments()
    product = instruments.variable(read_amount(one, "mass").at("a")) * instruments.variable(
        read_amount(other, "mass").at("b")
    )
    shares = budget(product)
    assert math.hypot(*(share for _, share in shares)) == pytest.approx(expanded(product))
    assert [share for _, share in shares] == sorted((s for _, s in shares), reverse=True)
    assert {label for label, _ in shares} == {"a", "b", "scale"}


def test_what_a_local_measure_holds_is_shared_by_all_that_is_filled_with_it():
    barrow = read_amount("60 ± 6 l", "volume").at("notebook.toml:9")
    instruments = Instruments(measures={"barrow": barrow})
    clay, sand = (
        instruments.variable(read_amount(t, "volume", {"barrow": barrow}).at(t))
        for t in ("3 barrow", "1 barrow")
    )
    assert nominal(clay) == pytest.approx(0.180)
    assert dict(budget(clay))["notebook.toml:9"] == pytest.approx(2 * 0.018 / SQRT3)
    assert "notebook.toml:9" not in dict(budget(clay / sand))


def test_a_density_by_the_barrow_falls_as_the_barrow_grows():
    barrow = read_amount("50 ± 5 l", "volume")
    measures = {"barrow": barrow}
    instruments = Instruments(measures=measures)
    filled = instruments.variable(read_amount("40 kg/barrow", "density", measures).at("here"))
    assert nominal(filled) == pytest.approx(800.0)
    heap = filled * instruments.variable(read_amount("1 barrow", "volume", measures).at("heap"))
    assert nominal(heap) == pytest.approx(40.0)
    assert set(dict(budget(heap))) == {"here", "heap"}


@pytest.mark.parametrize(("limit", "where"), [
    (10.0, "above"), (10.84, "above"), (10.85, "near"), (12.0, "near"), (13.15, "near"),
    (13.16, "below"), (14.0, "below"),
])  # fmt: skip
def test_a_limit_within_the_plus_minus_decides_nothing(limit, where):
    value = rectangular(12.0, 1.0)  # plus-minus 2 / sqrt(3) = 1.1547
    assert side(value, limit) == where


def test_a_plain_number_is_near_its_own_limit_alone():
    assert [side(3.0, limit) for limit in (2.9, 3.0, 3.1)] == ["above", "near", "below"]
    assert side(exact(3.0), 3.0) == "near"
    assert side(float("nan"), 3.0) == "near"


FUNCTIONS = [
    (exp, math.exp, math.exp),
    (log, math.log, lambda x: 1 / x),
    (sqrt, math.sqrt, lambda x: 0.5 / math.sqrt(x)),
    (lambda x: power(x, 0.25), lambda x: x**0.25, lambda x: 0.25 * x**-0.75),
    (lambda x: power(x, 4), lambda x: x**4, lambda x: 4 * x**3),
]


@pytest.mark.parametrize(("function", "reference", "slope"), FUNCTIONS)
def test_functions_take_numbers_arrays_and_uncertain_numbers(function, reference, slope):
    assert function(2.0) == pytest.approx(reference(2.0))
    values = np.array([[1.0, 2.0], [3.0, 4.0]])
    assert function(values) == pytest.approx(np.vectorize(reference)(values))
    unsure = rectangular(2.0, 0.1)
    assert nominal(function(unsure)) == pytest.approx(reference(2.0))
    assert expanded(function(unsure)) == pytest.approx(abs(slope(2.0)) * 0.2 / SQRT3)
    mixed = function(np.array([unsure, exact(3.0)], dtype=object))
    assert nominal(mixed) == pytest.approx([reference(2.0), reference(3.0)])
    assert expanded(mixed[0]) == pytest.approx(expanded(function(unsure)))


@pytest.mark.parametrize("base", [-2.0, np.array([1.0, -2.0]), rectangular(-2.0, 0.1)])
def test_a_fraction_of_a_power_of_a_negative_number_is_refused(base):
    with pytest.raises(OutOfRange, match="no power"):
        power(base, 0.5)


def test_an_exact_number_computes_like_the_others():
    unsure = rectangular(2.0, 0.1)
    assert expanded(exact(3.0) * unsure) == pytest.approx(3 * expanded(unsure))
    assert expanded(2.0) == 0.0
    assert budget(2.0) == []
    assert nominal(2.0) == 2.0
