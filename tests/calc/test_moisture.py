"""Moisture and ignition loss: bases convert back, contradictions are refused."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldbook.calc import moisture
from fieldbook.calc.statistics import mean
from fieldbook.calc.uncertainty import expanded, nominal, rectangular
from fieldbook.errors import NotPossible, OutOfRange
from fieldbook.quantities import units
from tests.data import measured

SHARE = st.floats(0.0, 95.0)


def test_mean_of_three_cans():
    # geotechnical laboratory sheet: 16.2, 16.0, 16.5 %, mean 16.2
    cans = [(43.52, 39.86, 17.31), (52.19, 47.61, 18.92), (39.43, 36.13, 16.07)]
    found = mean([moisture.moisture_dry_basis.plain(*can) for can in cans])
    assert found == pytest.approx(16.2, abs=0.05)


def test_wet_brick_to_fired_brick_by_way_of_the_dry_one():
    # worked out here: 4000 g at 20 % wet basis, 8 % ignition loss: 3200 g dry, 2944 g fired
    dry = 4000 * (1 - 20 / 100)
    assert moisture.moisture_wet_basis.plain(4000.0, dry) == pytest.approx(20.0)
    assert moisture.moisture_dry_basis.plain(4000.0, dry) == pytest.approx(25.0)
    assert moisture.loss_on_ignition.plain(dry, 2944.0) == pytest.approx(8.0)


def test_losses_of_measured_pots():
    # worked out by hand from the same table: A 5.56, B 5.51, C 11.86 %; D was not weighed again
    losses = {
        row["pot"]: moisture.loss_on_ignition.plain(float(row["before_g"]), float(row["after_g"]))
        for row in measured.rows("pots_before_after_firing_group_c")
        if row["after_g"]
    }
    assert losses == pytest.approx({"A": 5.56, "B": 5.51, "C": 11.86}, abs=0.005)


def test_water_of_plasticity_is_pore_water_and_shrinkage_water():
    for row in measured.rows("florida_1924_green"):
        if row["pore_water_pct"]:
            whole, shrinking = float(row["water_of_plasticity_pct"]), row["shrinkage_water_pct"]
            found = moisture.pore_water.plain(whole, float(shrinking))
            assert found == pytest.approx(float(row["pore_water_pct"]), abs=0.005)


@pytest.mark.parametrize(
    ("name", "values"),
    [("moisture_dry_basis", (300.0, 310.0, 0.0)), ("moisture_dry_basis", (320.0, 250.0, 260.0)),
     ("moisture_wet_basis", (300.0, 310.0, 0.0)), ("moisture_dry_basis", (3.0, 2.0, -1.0)),
     ("loss_on_ignition", (3200.0, 3300.0)), ("loss_on_ignition", (24.0, 23.0, 24.85)),
     ("loss_on_ignition", (24.85, 24.85, 24.85)), ("water_of_plasticity", (300.0, 336.0)),
     ("shrinkage_water", (180.0, 220.0, 336.0)), ("pore_water", (11.9, 25.0)),
     ("loss_on_dry_mass", (85.0, 20.0)), ("loss_on_dry_mass", (-1.0, 20.0))],
)  # fmt: skip
def test_weighings_that_contradict_each_other_are_refused(name, values):
    with pytest.raises(NotPossible):
        getattr(moisture, name).plain(*values)


@pytest.mark.parametrize("value", [-1.0, 100.0])
def test_moisture_on_the_wet_mass_stays_below_a_hundred(value):
    with pytest.raises(OutOfRange):
        moisture.dry_basis_from_wet.plain(value)


def test_moisture_on_the_dry_mass_may_pass_a_hundred_but_not_fall_below_nothing():
    assert moisture.wet_basis_from_dry.plain(150.0) == pytest.approx(60.0)
    with pytest.raises(OutOfRange):
        moisture.wet_basis_from_dry.plain(-1.0)


@settings(max_examples=50)
@given(wet=SHARE)
def test_bases_convert_back(wet):
    dry = moisture.dry_basis_from_wet.plain(wet)
    assert moisture.wet_basis_from_dry.plain(dry) == pytest.approx(wet, abs=1e-9)


@settings(max_examples=50)
@given(dry=st.floats(1.0, 5000.0), water=st.floats(0.0, 1.0), can=st.floats(0.0, 500.0))
def test_the_can_takes_itself_out(dry, water, can):
    bare = moisture.moisture_dry_basis.plain(dry * (1 + water), dry)
    in_can = moisture.moisture_dry_basis.plain(dry * (1 + water) + can, dry + can, can)
    assert in_can == pytest.approx(bare, abs=1e-6)


@settings(max_examples=30)
@given(dry=st.floats(1.0, 5.0), water=st.floats(0.0, 0.5))
def test_units_do_not_change_the_answer(dry, water):
    wet = dry * (1 + water)
    mixed = moisture.moisture_dry_basis(
        units.Quantity(wet, "kg"), units.Quantity(dry / 0.45359237, "lb"), units.Quantity(0.0, "g")
    )
    assert mixed.m_as("%") == pytest.approx(100 * water, abs=1e-6)


def test_equal_masses_in_two_units_are_no_contradiction():
    # 4.851... kg in pounds comes back a little heavier than it went
    dry = 4.8510902068735025
    found = moisture.moisture_dry_basis(
        units.Quantity(dry, "kg"), units.Quantity(dry / 0.45359237, "lb"), units.Quantity(0.0, "g")
    )
    assert found.m_as("%") == pytest.approx(0.0, abs=1e-9)


@settings(max_examples=30)
@given(error=st.floats(-0.05, 0.05), wet=st.floats(2.6, 4.0))
def test_a_scale_that_reads_so_many_per_cent_off_leaves_moisture_as_it_is(error, wet):
    true = moisture.moisture_dry_basis.plain(wet, 2.5)
    off = moisture.moisture_dry_basis.plain(wet * (1 + error), 2.5 * (1 + error))
    assert off == pytest.approx(true, abs=1e-9)


def test_shared_scale_error_cancels_and_steps_do_not():
    scale = rectangular(1.0, 0.005, "scale")
    wet, dry = 3.25 * scale, 2.60 * scale
    assert expanded(moisture.moisture_dry_basis.plain(wet, dry)) == pytest.approx(0, abs=1e-9)
    stepped = moisture.moisture_dry_basis.plain(rectangular(3.25, 0.01), rectangular(2.60, 0.01))
    assert nominal(stepped) == pytest.approx(25.0)
    # by hand: 100/2.6 x 0.01/sqrt(3) x sqrt(1 + 1.25^2) x 2
    assert expanded(stepped) == pytest.approx(0.711, abs=0.001)
