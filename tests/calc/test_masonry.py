"""Counts of bricks against printed counts, with the slips of some of them."""

from math import pi

import pytest

from fieldbook.calc import masonry as m
from fieldbook.errors import NotPossible


def test_bricks_and_mortar_of_a_cubic_metre():
    # civil engineering note: 190 x 90 x 90 mm, 10 mm joint: 500 bricks, 0.2305 m3 of mortar
    assert m.bricks_per_volume.plain(0.19, 0.09, 0.09, 0.01) == pytest.approx(500)
    assert m.mortar_share(0.19, 0.09, 0.09, 0.01) == pytest.approx(0.2305, abs=1e-6)


@pytest.mark.parametrize(("leaves", "count"), [(1, 50.0), (2, 100.0)])
def test_bricks_of_a_square_metre(leaves, count):
    # 190 x 90 mm with 10 mm joints shows 0.2 x 0.1 m
    assert m.bricks_per_area.plain(0.19, 0.09, 0.01, leaves) == pytest.approx(count)


@pytest.mark.parametrize(("leaves", "count"), [(1, 59.3), (2, 118.5)])
def test_british_brick(leaves, count):
    # 215 x 102.5 x 65 mm, 10 mm joint; the trade rounds to 60 and 120
    assert m.bricks_per_area.plain(0.215, 0.065, 0.01, leaves) == pytest.approx(count, abs=0.06)


def test_a_nominal_size_holds_its_joint_already():
    # 225 x 112.5 x 75 nominal: 526.7 by volume (printed 529.1)
    assert m.bricks_per_volume.plain(0.225, 0.1125, 0.075, 0.0) == pytest.approx(526.7, abs=0.06)


def test_wall_of_a_cylinder():
    # one circulating page prints half of it, 4.04
    assert m.cylinder_volume.plain(1.1, 1.56, 2.1) == pytest.approx(8.07, abs=0.006)
    with pytest.raises(NotPossible):
        m.cylinder_volume.plain(1.5, 1.2, 1.0)


def test_a_small_ring_needs_tapered_bricks():
    # inside 300 mm, 65 mm face, 2 mm joint, 102.5 mm deep: 14 bricks, outer joint 48 mm
    ring = m.full_ring(0.300, 0.1025, 0.065, 0.002)
    assert ring.bricks == 14
    assert ring.outer_joint == pytest.approx(0.048, abs=5e-4)
    assert ring.tapered


def test_half_a_circle_of_arch():
    # span 600, 65 mm brick, 5 mm joint: 942.5 / 70 = 13.46
    ring = m.arch(0.6, 0.3, 0.1025, 0.065, 0.005)
    assert ring.bricks == 13
    assert ring.inner_joint == pytest.approx(0.9425 / 13 - 0.065, abs=1e-4)
    with pytest.raises(NotPossible):
        m.arch(0.6, 0.4, 0.1, 0.065, 0.005)


def test_a_flat_arch_is_shorter_than_half_a_circle():
    assert m.arch(0.6, 0.1, 0.1, 0.065, 0.005).bricks < 13


def test_dome_of_an_oven():
    # owner-built oven: inside 46, 46, 38 cm is 11 781 cm2, face 11 x 6: 179 half bricks; outside
    # 18 533 cm2, 280 tapered halves
    assert m.half_ellipsoid_area(0.46, 0.46, 0.38) == pytest.approx(1.1781, rel=1e-3)
    assert m.dome_bricks((0.46, 0.46), 0.38, 0.11, 0.11 * 0.06, tapered=False) == 179
    tapered = m.dome_bricks((0.46, 0.46), 0.38, 0.11, 0.11 * 0.06, tapered=True)
    assert tapered == pytest.approx(280, abs=1)


def test_hearth_of_an_oven():
    assert m.hearth_bricks(0.57, 0.22, 0.11) == pytest.approx(42.2, abs=0.05)


def test_a_half_ball_is_half_a_ball():
    assert m.half_ellipsoid_area(1, 1, 1) == pytest.approx(2 * pi)


def test_courses_of_a_cylinder():
    # 0.60 m inside, headers of 105 mm with 5 mm joints: 17 a course; 0.7 m high in 75 mm: 10
    assert m.cylinder_bricks(0.60, 0.70, (0.22, 0.105, 0.07), 0.005) == 170


def test_losses_of_each_stage():
    assert m.with_losses(100, (0.95, 0.95, 0.85)) == 131
    with pytest.raises(NotPossible):
        m.with_losses(100, (0.0,))


@pytest.mark.parametrize(
    ("bricks", "side", "faces", "ratio"),
    [(10_000, 2.62, 27.46, 1.53), (80_000, 5.24, 109.83, 0.76)],
)
def test_larger_cubes_have_less_face(bricks, side, faces, ratio):
    # Practical Action, Ten rules: 18 m3 for 10 000 bricks
    side_found, faces_found, ratio_found = m.cube_kiln(bricks, 18 / 10_000)
    assert side_found == pytest.approx(side, abs=0.006)
    # the page squares the side it has rounded
    assert faces_found == pytest.approx(faces, rel=1e-3)
    assert ratio_found == pytest.approx(ratio, abs=0.006)


def test_a_square_corner():
    assert m.diagonal(3, 4) == 5
