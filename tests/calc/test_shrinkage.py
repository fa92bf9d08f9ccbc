"""Shrinkages compose, keep their basis, and refuse what cannot be."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldbook.calc import shrinkage
from fieldbook.calc.uncertainty import expanded, rectangular
from fieldbook.errors import NotPossible, OutOfRange, WrongUse
from fieldbook.quantities import units
from tests.data import measured

SHARE = st.floats(0.0, 60.0)
LENGTH = st.floats(1.0, 1000.0)


def test_adding_drying_and_firing_shrinkage_would_be_wrong():
    # T. Hittle's derivation: 6.25 % of the wet and 6.66 % of the dry length make 12.494, not 12.91
    assert shrinkage.combined_shrinkage.plain(6.25, 6.66) == pytest.approx(12.494, abs=0.0005)
    assert shrinkage.combined_shrinkage.plain(6.25, 6.66) < 6.25 + 6.66 - 0.4


@pytest.mark.parametrize(
    ("clay", "cone", "product"),
    [  # worked out by hand from the same table
        ("st-cloud", "2", 12.58), ("moorhead", "5", 11.65), ("verna", "2", 14.64),
        ("shakopee", "3", 8.80),
    ],
)  # fmt: skip
def test_total_of_measured_clays_by_the_product(clay, cone, product):
    row = next(r for r in measured.rows("minnesota_1919") if (r["clay"], r["cone"]) == (clay, cone))
    drying, firing = float(row["drying_shrinkage_pct"]), float(row["fire_shrinkage_pct"])
    assert shrinkage.combined_shrinkage.plain(drying, firing) == pytest.approx(product, abs=0.005)


@pytest.mark.parametrize(
    ("clay", "from_linear"), [("state-hospital", 18.0), ("key-plantation", 16.1), ("lyle", 31.4)]
)
def test_volume_shrinkage_of_measured_clays_from_the_linear_one(clay, from_linear):
    (linear,) = measured.column("florida_1924_green", "linear_air_shrinkage_pct", clay=clay)
    assert shrinkage.volume_shrinkage.plain(linear) == pytest.approx(from_linear, abs=0.05)


def test_soil_bar_of_300_mm_that_shortens_by_20_is_inside_seven_per_cent():
    found = shrinkage.drying_shrinkage.plain(300.0, 280.0)
    assert 6.6 < found < 7.0  # the same source also says "less than 20 mm": on that edge


@pytest.mark.parametrize(
    ("name", "lengths"),
    [("drying_shrinkage", (94.0, 100.0)), ("firing_shrinkage", (94.0, 94.1)),
     ("total_shrinkage", (100.0, 101.0)), ("drying_shrinkage", (0.0, 0.0)),
     ("firing_shrinkage", (94.0, -1.0)), ("curled_bar_length", (0.0, 5.0))],
)  # fmt: skip
def test_lengths_in_the_wrong_order_are_refused(name, lengths):
    with pytest.raises(NotPossible):
        getattr(shrinkage, name).plain(*lengths)


@pytest.mark.parametrize("name", ["volume_shrinkage", "linear_from_volume", "on_dry_length"])
@pytest.mark.parametrize("value", [-0.1, 100.0, 120.0])
def test_a_shrinkage_outside_its_range_is_refused(name, value):
    with pytest.raises(OutOfRange):
        getattr(shrinkage, name).plain(value)


def test_a_total_below_its_drying_part_is_refused():
    with pytest.raises(NotPossible, match="less than its drying part"):
        shrinkage.firing_part_of.plain(5.0, 6.0)


def test_shrinking_cannot_stop_wetter_than_it_began():
    with pytest.raises(NotPossible):
        shrinkage.shrinkage_by_water_lost.plain(12.0, 25.0)


def test_one_wrong_pair_in_an_array_is_refused():
    with pytest.raises(NotPossible):
        shrinkage.drying_shrinkage.plain(np.array([100.0, 100.0]), np.array([94.0, 101.0]))


def test_arrays_give_arrays():
    found = shrinkage.drying_shrinkage.plain(np.array([100.0, 150.0]), np.array([94.0, 141.0]))
    assert found == pytest.approx([6.0, 6.0])


@settings(max_examples=50)
@given(drying=SHARE, firing=SHARE)
def test_taking_the_drying_part_out_again_gives_the_firing_part(drying, firing):
    total = shrinkage.combined_shrinkage.plain(drying, firing)
    assert shrinkage.firing_part_of.plain(total, drying) == pytest.approx(firing, abs=1e-9)


@settings(max_examples=50)
@given(wet=LENGTH, first=st.floats(0.5, 1.0), second=st.floats(0.5, 1.0))
def test_shrinkages_compose_along_one_bar(wet, first, second):
    dry, fired = wet * first, wet * first * second
    parts = shrinkage.combined_shrinkage.plain(
        shrinkage.drying_shrinkage.plain(wet, dry), shrinkage.firing_shrinkage.plain(dry, fired)
    )
    assert parts == pytest.approx(shrinkage.total_shrinkage.plain(wet, fired), abs=1e-9)


@settings(max_examples=50)
@given(linear=SHARE)
def test_volume_and_bases_convert_back(linear):
    volume = shrinkage.volume_shrinkage.plain(linear)
    assert shrinkage.linear_from_volume.plain(volume) == pytest.approx(linear, abs=1e-9)
    on_dry = shrinkage.on_dry_length.plain(linear)
    assert shrinkage.on_wet_length.plain(on_dry) == pytest.approx(linear, abs=1e-9)
    dry_volume = 100 * volume / (100 - volume)
    assert shrinkage.linear_from_dry_volume.plain(dry_volume) == pytest.approx(on_dry, abs=1e-7)


@settings(max_examples=30)
@given(wet=LENGTH, less=st.floats(0.01, 0.4))
def test_units_do_not_change_the_answer(wet, less):
    in_mm = shrinkage.drying_shrinkage.plain(wet, wet * (1 - less))
    mixed = shrinkage.drying_shrinkage(
        units.Quantity(wet / 25.4, "inch"), units.Quantity(wet * (1 - less) / 1000, "m")
    )
    assert mixed.m_as("%") == pytest.approx(in_mm, rel=1e-9)


@settings(max_examples=30)
@given(dry=st.floats(50, 99), step=st.floats(0.1, 1.0))
def test_the_shorter_the_dry_bar_the_greater_the_shrinkage(dry, step):
    longer = shrinkage.drying_shrinkage.plain(100.0, dry)
    assert shrinkage.drying_shrinkage.plain(100.0, dry - step) > longer


@settings(max_examples=30)
@given(half_wet=st.floats(0.05, 2.0), half_dry=st.floats(0.05, 2.0))
def test_doubt_is_never_less_than_that_of_any_one_reading(half_wet, half_dry):
    both = shrinkage.drying_shrinkage.plain(rectangular(100, half_wet), rectangular(92, half_dry))
    wet_only = shrinkage.drying_shrinkage.plain(rectangular(100, half_wet), 92.0)
    dry_only = shrinkage.drying_shrinkage.plain(100.0, rectangular(92, half_dry))
    assert expanded(both) >= max(expanded(wet_only), expanded(dry_only)) - 1e-12


def test_a_length_without_unit_is_named():
    with pytest.raises(WrongUse, match="wet_length"):
        shrinkage.drying_shrinkage(100.0, units.Quantity(94.0, "mm"))
