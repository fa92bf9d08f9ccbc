"""Rounding by the decimal digits a person sees, an exact half to the even digit."""

from decimal import ROUND_HALF_EVEN, Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldbook.calc.rounding import as_decimal, round_to, same_digits
from fieldbook.errors import NotPossible


@pytest.mark.parametrize(
    ("value", "step", "expected"),
    [(0.255, 0.01, 0.26), (0.245, 0.01, 0.24), (0.265, 0.01, 0.26), (2345, 10, 2340),
     (2355, 10, 2360), (15.35, 0.1, 15.4), (15.25, 0.1, 15.2), (0.785, "0.01", 0.78),
     (-0.25, 0.1, -0.2), (6.375, 0.01, 6.38), (2.5, 0.5, 2.5)],
)  # fmt: skip
def test_exact_halves_go_to_the_even_digit(value, step, expected):
    assert round_to(value, step) == expected


def test_a_half_made_by_binary_arithmetic_is_still_a_half():
    # a worked example: loads of 5000 and 5100 N on 200 x 100 mm; 0.255 is printed 0.26
    assert round_to(5100 / (200 * 100), 0.01) == 0.26
    assert round_to(0.1 + 0.2 + 0.005 - 0.05, 0.01) == 0.26  # 0.25500000000000006 in binary
    assert 1.1 * 1.1 * 100 - 121 != 0
    assert round_to(1.1 * 1.1 * 50, 1) == 60  # 60.50000000000001 in binary, an exact half


def test_school_rounding_where_it_is_asked_for():
    assert round_to(0.245, 0.01, half="up") == 0.25
    assert round_to(2.5, 1, half="up") == 3


def test_digits_follow_the_step():
    assert same_digits(8.0, 0.01) == "8.00"
    assert same_digits(3166.0, 10) == "3170"
    assert same_digits(0.7844, 0.01) == "0.78"


@pytest.mark.parametrize("value", [float("nan"), float("inf")])
def test_what_is_no_number_is_refused(value):
    with pytest.raises(NotPossible):
        round_to(value, 0.1)


def test_a_step_of_nothing_is_refused():
    with pytest.raises(NotPossible):
        round_to(1.0, 0)


@settings(max_examples=50)
@given(digits=st.integers(-(10**9), 10**9), places=st.integers(0, 4))
def test_agrees_with_decimal_arithmetic(digits, places):
    exact = Decimal(digits).scaleb(-places - 1)
    step = Decimal(1).scaleb(-places)
    expected = exact.quantize(step, rounding=ROUND_HALF_EVEN)
    assert round_to(float(exact), str(step)) == pytest.approx(float(expected), abs=1e-9)


@settings(max_examples=50)
@given(value=st.floats(-1e6, 1e6), step=st.sampled_from([0.01, 0.1, 1, 5, 10]))
def test_rounding_moves_by_at_most_half_a_step_and_only_once(value, step):
    once = round_to(value, step)
    assert abs(once - value) <= step / 2 + 1e-6
    assert round_to(once, step) == once
    assert as_decimal(once) % Decimal(str(step)) == 0
