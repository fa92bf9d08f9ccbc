"""A kiln fired by what the notebook says, and one fed at one rate.

Two of what `python -m tests.bench.obeyed_advice` runs in full.
"""

from tests.bench.obeyed_advice import LIMIT, constant, obedient


def test_a_maker_who_obeys_brings_the_coldest_place_to_the_work_wanted():
    for seed in (1, 4):
        obeyed = obedient(seed)
        assert obeyed.finished
        assert abs(obeyed.miss) <= 15, obeyed
        assert obeyed.hottest < LIMIT
        assert obeyed.worst_climb <= 1.25, obeyed


def test_a_maker_who_feeds_at_one_rate_does_not():
    obeyed = obedient(1)
    fed = constant(1, obeyed.wood / obeyed.hours)
    assert not fed.good
    assert fed.worst_climb > 1.25
