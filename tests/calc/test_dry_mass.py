"""The dry mass by its routes, in their order, and weighings that cannot be right beside it."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldbook.calc import dry_mass
from fieldbook.calc.uncertainty import budget, expanded, nominal, rectangular
from fieldbook.errors import NotPossible, OutOfRange
from fieldbook.quantities import units
from tests.data import measured


def test_routes_are_taken_in_their_order_and_named():
    assert dry_mass.find_dry_mass(2.59, 2.61, 2.60).route == "oven piece"
    assert dry_mass.find_dry_mass(None, 2.61, 2.60).route == "fired"
    assert dry_mass.find_dry_mass(None, None, 2.60).route == "plateau"
    assert dry_mass.find_dry_mass() is None
    assert "plateau" in dry_mass.find_dry_mass(None, None, 2.60).method


def test_air_dry_water_is_one_to_five_per_cent_and_says_it_is_from_memory():
    held = dry_mass.air_dry_water()
    assert nominal(held) == 3.0
    assert expanded(held) == pytest.approx(2 * 2.0 / 3**0.5)
    assert "from memory" in budget(held)[0][0]


def test_a_plateau_leaves_a_doubt_of_two_per_cent():
    found = dry_mass.dry_mass_from_plateau.plain(2.65, dry_mass.air_dry_water())
    assert nominal(found) == pytest.approx(2.65 / 1.03)
    assert expanded(found) / nominal(found) == pytest.approx(0.0224, abs=0.0005)


@pytest.mark.parametrize(
    ("hours", "masses", "plateau"),
    [
        ([0, 24, 48, 72], [3.25, 2.80, 2.652, 2.650], 2.650),
        ([0, 24, 48, 72], [3.25, 2.80, 2.70, 2.65], None),  # still losing 50 g a day
        ([0, 1], [2.650, 2.650], None),  # an hour shows nothing
        ([0, 24, 47.9, 48], [3.25, 2.80, 2.650, 2.650], None),  # two weighings, six minutes apart
        ([0], [3.25], None),
    ],
)
def test_plateau_rule(hours, masses, plateau):
    assert dry_mass.plateau(hours, masses) == plateau


def test_a_tray_that_loses_a_tenth_an_hour_is_on_no_plateau():
    hours = [minute / 60 for minute in measured.column("drying_tray_sand", "minute")]
    assert dry_mass.plateau(hours, measured.column("drying_tray_sand", "mass_g")) is None


def test_weighings_that_cannot_be_right_are_pointed_out_and_not_mended():
    found = dry_mass.contradictions(2.6, [3.2, 2.9, 3.0, 2.5])
    assert [(one.weighing, "gained" in one.what) for one in found] == [(2, True), (3, False)]
    assert dry_mass.contradictions(2.6, [3.2, 2.9, 2.7]) == []


def test_a_weighing_within_its_doubt_is_no_contradiction():
    masses = [rectangular(2.605, 0.01), rectangular(2.607, 0.01)]
    assert dry_mass.contradictions(2.61, masses) == []
    assert dry_mass.contradictions(2.65, masses)[0].weighing == 0


def test_a_loom_weight_below_its_own_dry_mass_is_found():
    # Carleton College: J1 weighs 205 g after a day, nominal dry 215 g
    light = [
        row["piece"]
        for row in measured.rows("drying_loom_weights_12")
        if dry_mass.contradictions(215.0, [float(row["wet_g"]), float(row["day1_g"])])
    ]
    assert light == ["J1"]


@pytest.mark.parametrize(
    ("name", "values", "error"),
    [("dry_mass_by_piece", (3.25, 745.0, 936.0), NotPossible),
     ("dry_mass_by_piece", (0.0, 936.0, 745.0), NotPossible),
     ("dry_mass_from_fired", (2.9, 100.0), OutOfRange),
     ("dry_mass_from_fired", (0.0, 8.0), NotPossible),
     ("dry_mass_from_plateau", (2.6, -1.0), OutOfRange),
     ("dry_mass_from_plateau", (0.0, 2.0), NotPossible)],
)  # fmt: skip
def test_what_gives_no_dry_mass_is_refused(name, values, error):
    with pytest.raises(error):
        getattr(dry_mass, name).plain(*values)


@settings(max_examples=30)
@given(dry=st.floats(1.0, 5.0), water=st.floats(0.0, 0.4), part=st.floats(0.05, 0.5))
def test_the_routes_agree_on_one_brick(dry, water, part):
    wet = dry * (1 + water)
    piece = dry_mass.dry_mass_by_piece.plain(wet, wet * part, dry * part)
    fired = dry_mass.dry_mass_from_fired.plain(dry * 0.92, 8.0)
    still = dry_mass.dry_mass_from_plateau.plain(dry * 1.02, 2.0)
    assert (piece, fired, still) == pytest.approx((dry, dry, dry))


def test_units_do_not_change_the_answer():
    found = dry_mass.dry_mass_by_piece(
        units.Quantity(7.165, "lb"), units.Quantity(0.936, "kg"), units.Quantity(745.0, "g")
    )
    assert found.m_as("kg") == pytest.approx(2.5868, abs=0.0002)
