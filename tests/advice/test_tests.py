"""What follows from a test of bricks."""

import json

import pytest

from fieldbook.advice.review import Review

BATCH = 'mix = "reach"\nmoulded = 2026-04-02\ncount = 180\n'


def review_of(context_of, text: str, settings: str = "", now: str = "2026-06-01 12:00") -> Review:
    context = context_of(now, settings, tests__t=text, batches__b=BATCH)
    review = context.review("tests/t")
    assert review is not None
    return review


FIVE = """
batch = "b"
soaked_for = "24 h"
[specimens]
"1" = { dry_mass = "2000 g", soaked_mass = "2230 g", boiled_mass = "2300 g" }
"2" = { dry_mass = "2450 g", boiled_mass = "2830 g", suspended_mass = "1495 g" }
"""


def test_absorption_saturation_and_pores_agree_with_worked_values(context_of):
    """ASTM C67 and C20 arithmetic worked out apart from the program, to the last digit shown."""
    results = review_of(context_of, FIVE).results
    assert results["cold_absorption"].number == pytest.approx(11.5, abs=1e-9)
    assert results["boiling_absorption"].each == pytest.approx({"1": 15.0, "2": 15.51}, abs=0.005)
    assert results["saturation_coefficient"].number == pytest.approx(0.7667, abs=5e-5)
    assert results["apparent_porosity"].number == pytest.approx(28.46, abs=0.005)
    assert results["bulk_density"].number == pytest.approx(1.835, abs=0.0005)
    assert results["apparent_specific_gravity"].number == pytest.approx(2.565, abs=0.0005)
    assert results["apparent_porosity"].extra["saturated_by"] == "boil"


def test_the_shape_of_a_result_is_that_of_the_page_on_commands(context_of):
    review = review_of(context_of, FIVE)
    shown = json.loads(json.dumps(review.results["boiling_absorption"].json()))
    assert shown["unit"] == "%" and shown["n"] == 2 and len(shown["interval"]) == 2
    assert {"value", "plus_minus", "sd", "each", "method", "source", "from", "hours"} <= set(shown)
    assert shown["from"][0] == "tests/t.toml:5"
    missing = review.results["true_porosity"].json()
    assert missing["value"] is None and missing["needs"] == ["true_density"]
