"""Weighings that cannot be right, and those that only seem so."""

import pytest

from fieldbook.calc.dry_mass import contradictions
from tests.advice.test_batch import DRYING, review_of

AIR_DRY = DRYING + (
    '"2026-04-20 12:00" = { brick = "1", mass = "2.650 kg" }\n'
    '"2026-04-20 12:01" = { brick = "2", mass = "2.670 kg" }\n'
)
LATE = "2026-04-24 18:00"
GAINED = '"2026-04-22 12:00" = { brick = "1", mass = "2.660 kg" }\n'
"""From 1.9 % of the dry mass of 2.60 kg to 2.3 % in two days."""


def test_an_air_dry_brick_that_gains_in_damp_air_contradicts_nothing(context_of):
    review = review_of(context_of, AIR_DRY + GAINED, now=LATE)
    assert not review.problems
    assert review.facts["suspect_bricks"] == ()
    assert review.results["moisture"].each["1"] == pytest.approx(100 * (2.660 / 2.6 - 1))


def test_the_drying_curve_does_not_begin_anew_with_every_damp_day(context_of):
    review = review_of(context_of, AIR_DRY + GAINED, now=LATE)
    assert review.model.fit.weighings == 9


@pytest.mark.parametrize(
    ("line", "why"),
    [
        ('"2026-04-22 12:00" = { brick = "1", mass = "2.80 kg" }\n', "7.7 % is not air-dry"),
        ('"2026-04-20 15:00" = { brick = "1", mass = "2.70 kg" }\n', "1.9 % within 3 h"),
    ],
)
def test_more_or_faster_than_damp_air_can_give_is_pointed_out(context_of, line, why):
    review = review_of(context_of, AIR_DRY + line, now=LATE)
    assert len(review.problems) == 1, why
    assert "gained mass while drying" in review.problems[0].what


def test_the_physics_alone_knows_the_same():
    # 2.60 kg dry: up to 2.73 kg the weather gives and takes
    assert contradictions(2.6, [3.2, 2.66, 2.70]) == []
    assert [found.weighing for found in contradictions(2.6, [3.2, 2.66, 2.80])] == [2]


def test_a_number_that_no_marked_brick_has_is_pointed_out_and_spoils_nothing(context_of):
    slip = DRYING + '"2026-04-05 12:02" = { brick = "7", mass = "3.20 kg" }\n'
    with_slip, without = review_of(context_of, slip), review_of(context_of, DRYING)
    (problem,) = with_slip.problems
    assert problem.where == "batches/b.toml:15"
    assert "brick 7 is not among the marked ones (1, 2); it is left out" in problem.what
    for name in ("moisture", "drying_rate", "ready"):
        assert with_slip.results[name].value == without.results[name].value, name


def test_where_no_brick_is_marked_whatever_was_weighed_is_told(context_of):
    head = 'mix = "m"\nmoulded = "2026-04-02 12:00"\ncount = 180\n'
    head += (
        'oven_dry = { wet_mass = "1000 g", dry_mass = "800 g", at = "2026-04-03 12:00" }\n[log]\n'
    )
    review = review_of(context_of, DRYING, head=head)
    assert set(review.results["moisture"].each) == {"1", "2"}
    assert {p.what.split(" (")[0] for p in review.problems} == {
        "brick 1 is not among the marked ones",
        "brick 2 is not among the marked ones",
    }
