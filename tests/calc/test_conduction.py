"""Lags, series and the box factor against coefficient tables and textbook answers."""

import numpy as np
import pytest

from fieldbook.calc.conduction import (
    box_factor,
    film_coefficient,
    gas_lag,
    modes,
    plane_wall,
    plane_wall_roots,
    ramp_lag,
    steady_lag,
)
from fieldbook.errors import NotPossible, OutOfRange

# First root and coefficient of the plane wall, as every heat transfer text tabulates them.
PLANE_WALL = [
    (0.1, 0.3111, 1.0161),
    (0.5, 0.6533, 1.0701),
    (1.0, 0.8603, 1.1191),
    (2.0, 1.0769, 1.1785),
    (10.0, 1.4289, 1.2620),
]


@pytest.mark.parametrize(("biot", "root", "coefficient"), PLANE_WALL)
def test_roots_and_coefficients_are_those_of_the_tables(biot, root, coefficient):
    z = plane_wall_roots(biot, 1)[0]
    assert z == pytest.approx(root, abs=6e-5)
    late = plane_wall(biot, 2.0)  # one term is left
    assert late / np.exp(-(z**2) * 2) == pytest.approx(coefficient, abs=6e-5)


@pytest.mark.parametrize(
    ("fourier", "theta"),
    [(0.1, 0.9493), (0.2, 0.7723), (0.5, 0.3708), (1.0, 0.1080), (1.5, 0.0314)],
)
def test_core_of_a_slab_with_held_faces(fourier, theta):
    assert plane_wall(np.inf, fourier) == pytest.approx(theta, abs=6e-5)


@pytest.mark.parametrize(
    ("fourier", "share"), [(0.1, 0.1977), (0.3, 0.5078), (0.5, 0.6995), (1.0, 0.9125), (2, 0.9926)]
)
def test_lag_grows_to_its_steady_value(fourier, share):
    # worked out from the series of Carslaw & Jaeger, and by finite differences
    half, alpha, rate = 0.035, 5e-7, 50 / 3600
    time = fourier * half**2 / alpha
    lag = ramp_lag.plain(rate, half, alpha, time)
    assert lag / steady_lag.plain(rate, half, alpha) == pytest.approx(share, abs=6e-5)


def test_lag_of_a_brick_at_fifty_kelvin_an_hour():
    # 70 mm, alpha 5e-7 m2/s, two hours after the climb began; finite differences gave 17.0014 K
    assert ramp_lag.plain(50 / 3600, 0.035, 5e-7, 7200) == pytest.approx(17.001, abs=0.005)
    assert steady_lag.plain(50 / 3600, 0.035, 5e-7) == pytest.approx(17.01, abs=0.005)


@pytest.mark.parametrize(
    ("sides", "factor"),
    [
        ((0.230, 0.110, 0.070), 0.822),
        ((0.215, 0.1025, 0.065), 0.824),
        ((0.220, 0.105, 0.060), 0.866),
        ((0.240, 0.115, 0.052), 0.935),
    ],
)
def test_a_loose_brick_lags_less_than_a_slab(sides, factor):
    # triple Poisson series, worked out apart; three digits
    assert box_factor(*sides) == pytest.approx(factor, abs=6e-4)
    assert box_factor(*sides[::-1]) == box_factor(*sides)


def test_a_sheet_is_a_slab_and_a_cube_lags_least():
    assert box_factor(1.0, 1.0, 0.05) == pytest.approx(1.0, abs=2e-4)
    # centre of a cube: 0.056 a^2 q / k against a^2/8 q / k of the slab (Carslaw & Jaeger)
    assert box_factor(0.1, 0.1, 0.1) == pytest.approx(0.0562 * 8, abs=1e-3)
    with pytest.raises(NotPossible):
        box_factor(0.2, 0.1, 0.0)


def test_brick_cooling_in_air_is_the_product_of_three_slabs():
    # Sukhatme, A Textbook on Heat Transfer, ex. 2.12: 24x10x8 cm, 400 to 25 degC, h 10, k 1,
    # alpha 3.33e-3 m2/h, 100 min; series 64.7 degC (charts in the book 62.8)
    theta = 1.0
    for side in (0.24, 0.10, 0.08):
        half = side / 2
        theta *= plane_wall(10 * half / 1.0, 3.33e-3 * (100 / 60) / half**2)
    assert 25 + (400 - 25) * theta == pytest.approx(64.7, abs=0.06)


def test_far_face_of_a_furnace_wall():
    # Coulson & Richardson vol. 1, ex. 9.5: 0.45 m, far face insulated, 295 K, near face put to
    # 900 K, D 4.2e-7: the far face is at 375 K after 19.8 h (exact 19.83)
    fourier = 4.2e-7 * 19.83 * 3600 / 0.45**2
    far = 900 + (295 - 900) * plane_wall(np.inf, fourier)
    assert far == pytest.approx(375, abs=0.3)


def test_gas_that_climbs_is_trailed_by_the_face():
    # by hand: 50/3600 K/s * 1800 * 1100 * 0.0018 m3 / (30 * 0.098)
    lag = gas_lag.plain(50 / 3600, 1800, 1100, volume=0.0018, film=30, area=0.098)
    assert lag == pytest.approx(16.837, abs=0.01)


def test_film_of_gas_and_glow():
    # by hand at 800 and 780 degC, e 0.6: 27 + 0.6 s (1073.15^2 + 1053.15^2)(2126.3) = 190.6
    assert film_coefficient.plain(800, 780, 27, 0.6) == pytest.approx(190.55, abs=0.2)


def test_modes_turn_into_nodes_and_back():
    m = modes(16)
    nodes = np.linspace(3.0, 0.0, 17)[:-1]
    assert (nodes @ m.weights) @ m.shapes == pytest.approx(nodes, abs=1e-12)
    assert m.decay[0] == pytest.approx((np.pi / 2) ** 2, rel=1e-3)


def test_no_film_has_no_series():
    with pytest.raises(OutOfRange):
        plane_wall_roots(0.0)
