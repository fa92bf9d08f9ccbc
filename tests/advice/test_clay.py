"""What follows from the field tests and trial bars of a clay."""

import pytest

NOW = "2026-05-01 12:00"

JAR = """
jar = { sand = "15 mm", silt = "20 mm", clay = "15 mm", silt_after = "2 h" }
liquid_limit = "48 %"
plastic_limit = "26 %"
field_moisture = "39 %"
fizz = "few bubbles"
coil = "90 mm"
[bars.a]
wet = "100.0 mm"
dry = "94.0 mm"
fired = "88.0 mm"
wet_mass = "420 g"
dry_mass = "336 g"
fired_mass = "309 g"
fired_at = "950 C"
went = "sound"
[bars.b]
wet = "100.0 mm"
dry = "94.0 mm"
fired = "86 mm"
fired_at = "1060 C"
went = "bent"
"""


def results(context_of, text: str):
    review = context_of(NOW, clays__c=text).review("clays/c")
    assert review is not None
    return review


def test_jar_and_limits_agree_with_print(context_of):
    """Texture: one public example (sand 30, clay 30, silt 40 is clay loam); limits: NPTEL module 3,
    PI 22 and LI 0.59. Exact to the digit printed."""
    found = results(context_of, JAR).results
    assert found["sand_fraction"].number == pytest.approx(30)
    assert found["clay_fraction"].unit == "%" and found["clay_fraction"].plus_minus > 0
    assert found["texture_class"].value == "clay loam"
    assert found["plasticity_index"].number == pytest.approx(22)
    assert found["liquidity_index"].number == pytest.approx(0.59, abs=0.005)
    assert (found["carbonate"].low, found["carbonate"].high) == (1.0, 5.0)
    assert found["clay_fraction"].extra["marked_after"]["silt"] == "2 h"


def test_bars_give_shrinkages_on_their_own_basis_and_a_spoilt_bar_sets_the_limit(context_of):
    """100, 94, 88 mm: 6.00, 6.38 and 12.00 % (a web note on shrinkage, printed)."""
    review = results(context_of, JAR)
    found = review.results
    assert found["linear_firing_shrinkage"].number == pytest.approx(6.38, abs=0.005)
    assert found["linear_firing_shrinkage"].extra["basis"] == "dry length"
    assert found["total_linear_shrinkage"].each == {"a": pytest.approx(12.0), "b": None}
    assert found["linear_drying_shrinkage"].number == pytest.approx(6.0)
    assert found["water_of_plasticity"].number == pytest.approx(25.0)
    assert found["peak_limit"].number == pytest.approx(1030)
    assert not review.problems


def test_a_bar_longer_fired_than_dry_is_pointed_out_and_nothing_is_derived_from_it(context_of):
    review = results(
        context_of, '[bars]\n"a" = { wet = "100 mm", dry = "94 mm", fired = "96 mm" }\n'
    )
    (problem,) = review.problems
    assert problem.where == "clays/c.toml:2"
    assert "longer fired than dry" in problem.what
    assert review.results["linear_firing_shrinkage"].value is None
    assert review.results["linear_drying_shrinkage"].known


def test_authorities_stand_side_by_side_with_what_to_do(context_of):
    found = results(context_of, JAR).results["suitability"]
    rows = {(row["name"], row["source"][:3]): row["agrees"] for row in found.value}
    assert rows["clay_and_silt", "FAO"] == "no"
    assert rows["clay_and_silt", "IS "] == "yes"
    assert "clay_and_silt" in found.extra["clashing"] and found.extra["do"]


def test_temper_brings_a_fat_clay_to_seven_per_cent(context_of):
    """9 % to 7 % by proportion: 100 (9/7 - 1) = 28.6 of sand for 100 of clay; worked by hand."""
    bars = '[bars]\n"a" = { wet = "100.0 mm", dry = "91.0 mm" }\n'
    found = results(context_of, bars).results["temper_for"]
    assert found.number == pytest.approx(28.57, abs=0.01)
    assert results(context_of, JAR).results["temper_for"].value == 0.0
