"""Blends by dry mass, temper, mould sizes."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldbook.calc import mix
from fieldbook.calc.moisture import moisture_dry_basis
from fieldbook.calc.shrinkage import total_shrinkage
from fieldbook.calc.uncertainty import expanded, nominal, rectangular
from fieldbook.errors import NotPossible, OutOfRange
from fieldbook.quantities import units
from tests.data import measured


@pytest.mark.parametrize(
    ("fired", "share", "mould"),
    [  # worked out here: fired / (1 - s/100)
        ((215, 102.5, 65), 5, (226.3, 107.9, 68.4)), ((220, 105, 70), 8, (239.1, 114.1, 76.1)),
        ((240, 115, 71), 11, (269.7, 129.2, 79.8)), ((230, 110, 70), 10.8, (257.8, 123.3, 78.5)),
    ],
)  # fmt: skip
def test_moulds_side_by_side(fired, share, mould):
    assert [mix.mould_size.plain(side, share) for side in fired] == pytest.approx(mould, abs=0.06)


def test_adding_the_shrinkage_to_the_fired_size_falls_short():
    # 240 mm at 7 %: the sum is 1.3 mm short
    assert mix.mould_size.plain(240.0, 7.0) - 240 * 1.07 == pytest.approx(1.26, abs=0.01)


@pytest.mark.parametrize(("part", "inches"), [(1 / 10, 9.00), (1 / 12, 9.17)])
def test_contraction_of_a_ten_inch_mould(part, inches):
    # Rivington, Notes on Building Construction, part 3: 1/10 to 1/12
    share = 100 * part
    assert mix.mould_size.plain(inches * 25.4, share) == pytest.approx(254.0, abs=0.15)


def test_moulds_for_measured_clays():
    # worked out by hand: 108.61 mm of mould for 100 mm fired at 7 and 1 %
    row = measured.rows("minnesota_1919")[0]
    share = 100 - (100 - float(row["drying_shrinkage_pct"])) * (
        1 - float(row["fire_shrinkage_pct"]) / 100
    )
    assert mix.mould_size.plain(100.0, share) == pytest.approx(108.61, abs=0.005)


@settings(max_examples=50)
@given(fired=st.floats(10, 400), share=st.floats(0, 40))
def test_a_brick_from_that_mould_comes_out_as_wanted(fired, share):
    mould = mix.mould_size.plain(fired, share)
    assert total_shrinkage.plain(mould, fired) == pytest.approx(share, abs=1e-9)
    assert mix.oversize_factor.plain(share) * fired == pytest.approx(mould)


@pytest.mark.parametrize(
    ("name", "values", "error"),
    [("mould_size", (0.0, 8.0), NotPossible), ("mould_size", (240.0, 100.0), OutOfRange),
     ("oversize_factor", (-1.0,), OutOfRange), ("temper_for_clay", (30.0, 45.0), NotPossible),
     ("temper_for_clay", (45.0, 10.0, 10.0), NotPossible),
     ("temper_for_clay", (45.0, 30.0, -1.0), NotPossible),
     ("temper_for_shrinkage", (6.0, 9.0), NotPossible),
     ("temper_for_shrinkage", (6.0, 0.0), NotPossible),
     ("dry_mass_of_volume", (-0.1, 1500.0), NotPossible),
     ("dry_mass_of_volume", (0.1, 1500.0, -5.0), NotPossible),
     ("dry_mass_of_moist", (-1.0,), NotPossible), ("water_to_add", (100.0, 25.0, 8.0), NotPossible),
     ("water_to_add", (-100.0, 5.0, 8.0), NotPossible)],
)  # fmt: skip
def test_what_cannot_be_mixed_is_refused(name, values, error):
    with pytest.raises(error):
        getattr(mix, name).plain(*values)


@settings(max_examples=50)
@given(now=st.floats(20, 60), part=st.floats(0.2, 1.0), temper=st.floats(0, 3))
def test_the_temper_found_brings_the_clay_where_it_is_wanted(now, part, temper):
    wanted = max(temper + 0.5, now * part)
    sand = mix.temper_for_clay.plain(now, wanted, temper)
    fractions = mix.dry_parts([100.0, sand])
    assert mix.blended(fractions, [now, temper]) == pytest.approx(wanted)


def test_a_measured_blend_is_explained_by_proportion():
    # Chaska clays: 7.5 % drying shrinkage, 4.5 % with the sandy layers mixed in
    temper = mix.temper_for_shrinkage.plain(7.5, 4.5)
    assert temper == pytest.approx(66.7, abs=0.1)
    assert mix.blended(mix.dry_parts([100.0, temper]), [7.5, 0.0]) == pytest.approx(4.5)


@pytest.mark.parametrize("masses", [[], [0.0, 0.0], [1.0, -0.1]])
def test_parts_that_weigh_nothing_are_refused(masses):
    with pytest.raises(NotPossible):
        mix.dry_parts(masses)


def test_fractions_that_make_no_whole_are_refused():
    with pytest.raises(NotPossible, match="add up to 1"):
        mix.blended([0.5, 0.4], [40.0, 0.0])
    with pytest.raises(NotPossible, match="its own value"):
        mix.blended([0.5, 0.5], [40.0])


def test_volumes_densities_and_moistures_make_dry_parts():
    # worked out here: 4 barrows of 0.06 m3 at 1300 kg/m3 and 18 %, 1 of sand at 1600 and 4 %
    dry = [
        mix.dry_mass_of_volume.plain(0.24, 1300.0, 18.0),
        mix.dry_mass_of_volume.plain(0.06, 1600.0, 4.0),
    ]
    assert mix.dry_parts(dry) == pytest.approx([0.7412, 0.2588], abs=0.0001)


def test_a_shared_bucket_cancels_from_the_parts():
    bucket = rectangular(0.010, 0.001, "bucket")
    parts = mix.dry_parts([3 * bucket * 1300, 1 * bucket * 1300])
    assert [nominal(part) for part in parts] == pytest.approx([0.75, 0.25])
    assert expanded(parts[0]) == pytest.approx(0, abs=1e-12)


@settings(max_examples=30)
@given(dry=st.floats(10, 500), now=st.floats(0, 20), more=st.floats(0, 20))
def test_the_water_added_brings_the_clay_where_it_is_wanted(dry, now, more):
    water = mix.water_to_add.plain(dry, now, now + more)
    wet = dry * (1 + now / 100) + water
    assert moisture_dry_basis.plain(wet, dry) == pytest.approx(now + more, abs=1e-6)


def test_units_do_not_change_the_answer():
    found = mix.mould_size(units.Quantity(9.0, "inch"), units.Quantity(10.0, "%"))
    assert found.m_as("inch") == pytest.approx(10.0)


def test_trial_blends_grow_leaner():
    shares = [blend.clay_share for blend in mix.trial_blends(1200.0, 1600.0)]
    assert shares[0] == 100
    assert shares == sorted(shares, reverse=True)
    with pytest.raises(NotPossible):
        mix.trial_blends(0.0, 1600.0)
