"""A kiln fired by what `next` says of a notebook, and one fed at one rate.

One of what `python -m tests.bench.obeyed_advice` runs in full, with bricks dried over a fire, which
spares the long hours below boiling.
"""

import pytest

from tests.bench.obeyed_advice import LIMIT, constant, obedient


@pytest.fixture(scope="module", name="obeyed")
def _obeyed():
    return obedient(SEED, water=DRY)


SEED, DRY = 2, 0.004


def test_a_maker_who_obeys_brings_the_coldest_place_to_the_work_wanted(obeyed):
    assert obeyed.finished
    assert abs(obeyed.miss) <= 15, obeyed
    assert obeyed.hottest < LIMIT


def test_a_maker_who_obeys_climbs_hardly_faster_than_is_allowed(obeyed):
    assert obeyed.worst_climb <= 1.25, obeyed


def test_a_maker_who_feeds_at_one_rate_does_not(obeyed):
    fed = constant(SEED, obeyed.wood / obeyed.hours, water=DRY, longest=12)
    assert not fed.good
    assert fed.worst_climb > 1.25
