"""Small samples against an independent library, printed tables, and traps."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from fieldbook.calc import quantiles, statistics
from fieldbook.errors import NotPossible, OutOfRange
from tests.data import measured

VALUES = st.lists(st.floats(-1e3, 1e3), min_size=3, max_size=12)


@pytest.mark.parametrize("n", [2, 3, 4, 5, 6, 8, 10, 15, 21, 43, 200])
@pytest.mark.parametrize(
    ("share", "confidence"),
    [(0.90, 0.95), (0.95, 0.95), (0.95, 0.75), (0.90, 0.99), (0.99, 0.99), (0.10, 0.90)],
)
def test_one_sided_factor_is_the_noncentral_t_of_scipy(n, share, confidence):
    shift = stats.norm.ppf(share) * math.sqrt(n)
    expected = stats.nct.ppf(confidence, n - 1, shift) / math.sqrt(n)
    assert statistics.k1(n, share, confidence) == pytest.approx(expected, rel=1e-7)


@pytest.mark.parametrize("freedom", [1, 2, 3, 4, 9, 20, 50, 194])
@pytest.mark.parametrize("probability", [0.005, 0.05, 0.5, 0.9, 0.95, 0.975, 0.999])
def test_quantiles_are_those_of_scipy(freedom, probability):
    t = quantiles.student_t(probability, freedom)
    assert t == pytest.approx(stats.t.ppf(probability, freedom), rel=1e-9, abs=1e-9)
    chi = quantiles.chi_square_quantile(probability, freedom)
    assert chi == pytest.approx(stats.chi2.ppf(probability, freedom), rel=1e-9, abs=1e-12)
    z = quantiles.normal_quantile(probability)
    assert z == pytest.approx(stats.norm.ppf(probability), abs=1e-9)


def test_natrella_is_refused_where_it_fails():
    # NIST 7.2.6.3: for six bricks it gives 5.2808 where 4.4111 is right; for three at 0.99 the
    # root is of a negative a: no promise at all
    for n, share, confidence in ((6, 0.90, 0.99), (3, 0.90, 0.99), (10, 0.90, 0.95)):
        with pytest.raises(OutOfRange, match="exact factor"):
            statistics.k1_natrella(n, share, confidence)
    assert statistics.k1(6, 0.90, 0.99) == pytest.approx(4.4111, abs=0.00005)


def test_natrella_comes_near_the_exact_factor_for_many():
    for n in (43, 100, 200):
        near = statistics.k1_natrella(n, 0.90, 0.95)
        assert near == pytest.approx(statistics.k1(n, 0.90, 0.95), rel=0.005)


@pytest.mark.parametrize(
    ("low", "high"), [(97.0106, 97.1294)]
)  # worked sheet citing NIST: mean 97.07, s 0.0268, two-sided 90 % at 99 %
def test_two_sided_limits_of_a_worked_sheet(low, high):
    half = statistics.k2_howe(43, 0.90, 0.99) * 0.0268
    assert (97.07 - half, 97.07 + half) == pytest.approx((low, high), abs=0.0001)
    assert 97.07 + statistics.k1(43, 0.90, 0.99) * 0.0268 == pytest.approx(97.1203, abs=0.0001)


def test_exact_two_sided_factor_holds_what_it_promises():
    # an independent check by drawing samples: 95 % of them must hold 90 % of the population
    random = np.random.default_rng(5)
    sample = random.standard_normal((20_000, 5))
    middle, sd = sample.mean(axis=1), sample.std(axis=1, ddof=1)
    half = statistics.k2(5, 0.90, 0.95) * sd
    held = stats.norm.cdf(middle + half) - stats.norm.cdf(middle - half)
    assert np.mean(held >= 0.90) == pytest.approx(0.95, abs=0.006)  # four standard errors
    assert statistics.k2(5, 0.95, 0.95) < statistics.k2_howe(5, 0.95, 0.95)


def test_interval_of_195_values_in_the_handbook():
    # NIST 1.3.5.2: n 195, mean 9.261460, s 0.022789: 9.258242 to 9.264679
    half = quantiles.student_t(0.975, 194) * 0.022789 / math.sqrt(195)
    assert (9.261460 - half, 9.261460 + half) == pytest.approx((9.258242, 9.264679), abs=1e-6)


def test_a_mean_of_five_is_known_to_a_quarter_more_than_its_scatter():
    # Statistics for Environmental Engineers, table 21.1: 1.24 for five values
    half = quantiles.student_t(0.975, 4) / math.sqrt(5)
    assert half == pytest.approx(1.24, abs=0.005)


def test_tolerance_of_ten_chinese_bricks():
    # exam answers on GB 5101: mean 16.9, s 2.94, delta 0.17
    loads = np.array([254, 270, 218, 183, 238, 259, 151, 280, 220, 254]) * 1e3
    found = list(loads / (120 * 115))
    assert statistics.mean(found) == pytest.approx(16.9, abs=0.05)
    assert statistics.standard_deviation(found) == pytest.approx(2.94, abs=0.005)
    assert statistics.variation(found) == pytest.approx(0.17, abs=0.005)


def test_loom_weights_before_and_after_a_day():
    # worked out by script: wet 244.00 s 11.93 +- 7.58; after a day 226.58 s 13.23 +- 8.40
    for field, middle, sd, half in (("wet_g", 244.0, 11.93, 7.58), ("day1_g", 226.58, 13.23, 8.40)):
        found = measured.column("drying_loom_weights_12", field)
        interval = statistics.interval_of_mean(found)
        assert statistics.mean(found) == pytest.approx(middle, abs=0.005)
        assert statistics.standard_deviation(found) == pytest.approx(sd, abs=0.005)
        assert (interval.high - interval.low) / 2 == pytest.approx(half, abs=0.01)


def test_upper_bound_for_nine_in_ten_arsenal_bricks():
    # chance check worked out by script: k(21) = 1.905, 13.6 %
    found = measured.column(
        "bricks_absorption_watertown_55_83", "absorption_24h_pct", kind="common or sewer"
    )
    assert statistics.k1(21) == pytest.approx(1.905, abs=0.0005)
    assert statistics.upper_limit(found) == pytest.approx(13.6, abs=0.05)


@pytest.mark.parametrize(
    "ask",
    [lambda: statistics.mean([]), lambda: statistics.standard_deviation([5.0]),
     lambda: statistics.interval_of_mean([5.0]), lambda: statistics.k1(1),
     lambda: statistics.k1(5, 1.0, 0.95), lambda: statistics.k2(5, 0.9, 0.0),
     lambda: quantiles.student_t(0.9, 0), lambda: quantiles.normal_quantile(1.0),
     lambda: quantiles.chi_square_quantile(0.0, 4), lambda: statistics.en1990_kn(2),
     lambda: statistics.variation([-1.0, 1.0])],
)  # fmt: skip
def test_too_few_or_senseless_is_refused(ask):
    with pytest.raises(NotPossible):
        ask()


@settings(max_examples=50)
@given(values=VALUES, shift=st.floats(-100, 100), scale=st.floats(0.1, 10))
def test_mean_and_scatter_move_with_the_values(values, shift, scale):
    moved = [shift + scale * value for value in values]
    assert statistics.mean(moved) == pytest.approx(
        shift + scale * statistics.mean(values), abs=1e-6
    )
    assert statistics.standard_deviation(moved) == pytest.approx(
        scale * statistics.standard_deviation(values), abs=1e-6
    )
    assert statistics.standard_deviation(values) == pytest.approx(np.std(values, ddof=1), abs=1e-9)


@settings(max_examples=50)
@given(n=st.integers(2, 60), share=st.floats(0.5, 0.99), confidence=st.floats(0.5, 0.99))
def test_more_bricks_promise_more_and_a_harder_promise_costs_more(n, share, confidence):
    factor = statistics.k1(n, share, confidence)
    assert statistics.k1(n, min(0.995, share + 0.005), confidence) >= factor
    if confidence > 0.55:
        assert statistics.k1(n + 1, share, confidence) <= factor + 1e-9


@settings(max_examples=30)
@given(values=st.lists(st.floats(1, 100), min_size=3, max_size=12, unique=True))
def test_promise_for_nine_in_ten_lies_below_the_interval_of_the_mean(values):
    assert statistics.lower_limit(values) < statistics.interval_of_mean(values).low
