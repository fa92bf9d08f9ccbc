"""Walls and linings against textbook answers."""

import pytest

from fieldbook.calc import lining as li
from fieldbook.errors import NotPossible

FIREBRICK = li.Layer("firebrick", 0.20, 1.4)
INSULATING = li.Layer("insulating brick", 0.10, 0.21)
BUILDING = li.Layer("building brick", 0.20, 0.7)


def test_one_layer():
    # Coulson & Richardson vol. 1, ex. 9.2: 0.5 m, k 0.7, 400 to 300 K: 140 W/m2
    assert li.flat_wall([li.Layer("brick", 0.5, 0.7)], 400, 300).flux == pytest.approx(140)


def test_three_layers():
    # Coulson & Richardson vol. 1, ex. 9.3: 961 W/m2, interface 1063 K
    wall = li.flat_wall([FIREBRICK, INSULATING, BUILDING], 1200, 330)
    assert wall.flux == pytest.approx(961, abs=1)
    assert wall.faces[1] == pytest.approx(1063, abs=0.6)


def test_a_layer_whose_conductivity_grows_with_temperature():
    # Sachdeva ex. 3.12: fireclay and 0.5 m of red brick carry 1106.7 W/m2; half of the red brick
    # gives way to 93.2 mm of diatomite, k 0.113 + 0.00023 T
    fireclay = li.Layer("fireclay", 0.125, 0.533)
    red = li.Layer("red brick", 0.5, 0.7)
    assert li.flat_wall([fireclay, red], 1100, 50).flux == pytest.approx(1106.7, abs=0.06)
    diatomite = li.Layer("diatomite", 0.0932, lambda t: 0.113 + 0.00023 * t)
    changed = li.flat_wall([fireclay, diatomite, li.Layer("red brick", 0.25, 0.7)], 1100, 50)
    assert changed.flux == pytest.approx(1106.7, rel=2e-3)


def test_a_cylinder_of_two_layers():
    # Dutta ex. 2.3: 4097 W/m (printed 4095 by rounding), interface 183 degC
    layers = [li.Layer("inner", 0.27, 1.3), li.Layer("outer", 0.14, 0.92)]
    wall = li.cylinder_wall(layers, 0.5, 400, 65)
    assert wall.flux == pytest.approx(4097, abs=1)
    assert wall.faces[1] == pytest.approx(183, abs=0.6)
    assert (wall.faces[1] - 65) / 335 == pytest.approx(0.353, abs=1e-3)


def test_the_outer_face_gives_to_the_air_what_comes_through():
    wall = li.wall_in_air([FIREBRICK, INSULATING], 900, 20)
    face = wall.faces[-1]
    assert wall.flux == pytest.approx(li.outer_film(face, 20), rel=1e-6)
    assert 20 < face < 200


def test_outer_film_by_hand():
    # 8 * 80 + 0.9 s (373.15^4 - 293.15^4) = 640 + 612.6
    assert li.outer_film(100, 20) == pytest.approx(640 + 612.6, abs=0.5)


def test_a_cylinder_in_air_is_nearly_a_flat_wall_when_wide():
    flat = li.wall_in_air([FIREBRICK], 900, 20)
    wide = li.wall_in_air([FIREBRICK], 900, 20, inner_radius=100.0)
    assert wide.flux / (2 * 3.14159265 * 100.1) == pytest.approx(flat.flux, rel=1e-3)


def test_stored_heat_and_warm_up():
    # 0.1 m at a mean of 500 above the base: 0.1 * 1800 * 1000 * 500
    layer = li.Layer("brick", 0.1, 0.7)
    wall = li.flat_wall([layer], 1000, 0)
    assert wall.stored == pytest.approx(90e6)
    # ln 10 * 4 L^2 / (pi^2 alpha): alpha 0.7 / 1.8e6
    assert li.warm_up_time([layer]) == pytest.approx(6.665, abs=0.005)
    assert li.warm_up_time([layer, layer]) == pytest.approx(4 * 6.665, abs=0.02)


def test_aluminium_of_the_textbook():
    # P. K. Nag ex. 3.6: 15 to 700 degC, 1015 kJ/kg; 2.17 MW at 70 % melts 5.39 t/h
    heat = li.aluminium_heat(15, 700)
    assert heat == pytest.approx(1015, abs=0.5)
    assert 0.7 * 2.17e3 * 3600 / heat / 1000 == pytest.approx(5.39, abs=0.01)


def test_a_face_may_be_used_below_what_the_coldest_brick_has_seen():
    assert li.hot_face_limit(950, 15, 1050) == 885
    assert li.hot_face_limit(1100, 0, 1020) == 1020


def test_what_is_no_wall_is_refused():
    with pytest.raises(NotPossible):
        li.flat_wall([], 500, 20)
    with pytest.raises(NotPossible):
        li.wall_in_air([FIREBRICK], 10, 20)
    with pytest.raises(NotPossible):
        li.cylinder_wall([FIREBRICK], 0.0, 500, 20)
    with pytest.raises(NotPossible):
        li.aluminium_heat(700, 800)
    with pytest.raises(NotPossible):
        li.Layer("nothing", 0.1, 0.0).at(20)
