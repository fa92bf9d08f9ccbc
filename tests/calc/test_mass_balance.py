"""Mass from mould to kiln: what must be lost, and slips that are questioned or refused."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldbook.calc import mass_balance, moisture
from fieldbook.calc.uncertainty import rectangular
from fieldbook.errors import NotPossible, OutOfRange
from fieldbook.quantities import units

TABLE = {  # moisture as moulded, fraction of dry: loss for ignition losses of 4, 6, 8, 10, 12, 15 %
    20: (20.0, 21.7, 23.3, 25.0, 26.7, 29.2),
    25: (23.2, 24.8, 26.4, 28.0, 29.6, 32.0),
    30: (26.2, 27.7, 29.2, 30.8, 32.3, 34.6),
    35: (28.9, 30.4, 31.9, 33.3, 34.8, 37.0),
    40: (31.4, 32.9, 34.3, 35.7, 37.1, 39.3),
}


@pytest.mark.parametrize("water", TABLE)
def test_losses_from_wet_mould_to_fired_brick(water):
    # worked out here from (1 - LOI)/(1 + X)
    found = [mass_balance.expected_loss.plain(water, loss) for loss in (4, 6, 8, 10, 12, 15)]
    assert found == pytest.approx(TABLE[water], abs=0.051)


def test_a_brick_that_lost_two_thirds_is_not_possible():
    # 4.2 kg moulded and 1.4 kg fired: moisture and ignition explain a fifth to two fifths
    judged = mass_balance.judge_loss(4.2, 1.4)
    assert judged.loss == pytest.approx(66.7, abs=0.05)
    assert judged.verdict == "not possible"
    assert "67" in judged.reason or "66.7" in judged.reason
    known = mass_balance.judge_loss(4.2, 1.4, rectangular(28.0, 2.0), rectangular(7.0, 1.0))
    assert 23 < known.expected.low < known.expected.high < 32


@pytest.mark.parametrize(
    ("fired", "verdict"), [(2.94, "plausible"), (3.45, "questioned"), (2.30, "questioned")]
)
def test_verdicts_where_nothing_is_known_of_the_clay(fired, verdict):
    judged = mass_balance.judge_loss(4.0, fired)
    assert judged.verdict == verdict


def test_a_loss_that_this_clay_does_not_allow_is_pointed_out_even_inside_the_usual():
    # 38 % is usual somewhere, not for 20 % of water and 5 % of ignition loss (20.8 %)
    judged = mass_balance.judge_loss(4.0, 2.48, rectangular(20.0, 1.0), rectangular(5.0, 0.5))
    assert judged.verdict == "not possible"
    assert judged.expected.high < 25


def test_a_loss_too_near_to_tell_is_left_alone():
    bounds = mass_balance.loss_bounds(25.0, 8.0)
    fired = 4.0 * (1 - (bounds.high + 0.5) / 100)
    sharp = mass_balance.judge_loss(4.0, fired, 25.0, 8.0)
    rough = mass_balance.judge_loss(4.0, rectangular(fired, 0.05), 25.0, 8.0)
    assert (sharp.verdict, rough.verdict) == ("not possible", "plausible")


def test_sawdust_and_lime_widen_what_is_usual():
    plain = mass_balance.loss_bounds()
    rich = mass_balance.loss_bounds(burn_out=10.0, carbonate=(5.0, 10.0))
    assert rich.high > plain.high + 5
    assert mass_balance.judge_loss(4.0, 2.10).verdict == "questioned"
    assert mass_balance.judge_loss(4.0, 2.10, burn_out=10.0).verdict == "plausible"


@settings(max_examples=50)
@given(wet=st.floats(1, 10), water=st.floats(0, 60), loss=st.floats(0, 30))
def test_expected_mass_and_found_loss_are_inverses(wet, water, loss):
    fired = mass_balance.expected_fired_mass.plain(wet, water, loss)
    found = mass_balance.total_loss.plain(wet, fired)
    assert found == pytest.approx(mass_balance.expected_loss.plain(water, loss), abs=1e-9)
    dry = wet / (1 + water / 100)
    assert moisture.loss_on_ignition.plain(dry, fired) == pytest.approx(loss, abs=1e-9)
    assert mass_balance.judge_loss(wet, fired, water, loss).verdict in ("plausible", "questioned")


@settings(max_examples=30)
@given(water=st.floats(0, 50), loss=st.floats(0, 25), more=st.floats(0.1, 5))
def test_more_water_or_more_to_burn_loses_more(water, loss, more):
    here = mass_balance.expected_loss.plain(water, loss)
    assert mass_balance.expected_loss.plain(water + more, loss) > here
    assert mass_balance.expected_loss.plain(water, loss + more) > here


@pytest.mark.parametrize(
    ("call", "error"),
    [
        (lambda: mass_balance.total_loss.plain(4.0, 4.1), NotPossible),
        (lambda: mass_balance.total_loss.plain(4.0, 0.0), NotPossible),
        (lambda: mass_balance.judge_loss(2.5, 2.6), NotPossible),
        (lambda: mass_balance.expected_loss.plain(-1.0, 8.0), OutOfRange),
        (lambda: mass_balance.expected_loss.plain(25.0, 100.0), OutOfRange),
        (lambda: mass_balance.expected_fired_mass.plain(0.0, 25.0, 8.0), NotPossible),
        (lambda: mass_balance.loss_of_mineral("granite"), NotPossible),
        (lambda: mass_balance.loss_of_minerals({"kaolinite": 90, "calcite": 20}), NotPossible),
        (lambda: mass_balance.loss_of_minerals({"kaolinite": -1}), NotPossible),
        (lambda: mass_balance.loss_bounds(burn_out=-1.0), NotPossible),
    ],
)
def test_balances_that_cannot_be_are_refused(call, error):
    with pytest.raises(error):
        call()


def test_units_do_not_change_the_answer():
    found = mass_balance.total_loss(units.Quantity(4200.0, "g"), units.Quantity(1.4, "kg"))
    assert found.m_as("%") == pytest.approx(66.667, abs=0.001)


def test_atomic_masses_moved_by_one_per_cent_are_noticed(monkeypatch):
    for atom in ("Al", "Si", "Ca", "Mg", "K", "Fe", "S"):
        where = {"Al": "kaolinite", "Si": "kaolinite", "Ca": "calcite", "Mg": "dolomite",
                 "K": "muscovite", "Fe": "goethite", "S": "gypsum"}[atom]  # fmt: skip
        before = mass_balance.loss_of_mineral(where)
        masses = dict(mass_balance.ATOMIC_MASS)
        masses[atom] *= 1.01
        monkeypatch.setattr(mass_balance, "ATOMIC_MASS", masses)
        assert mass_balance.loss_of_mineral(where) != pytest.approx(before, abs=0.002)
        monkeypatch.undo()
