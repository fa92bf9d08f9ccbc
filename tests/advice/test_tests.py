"""What follows from a test of bricks."""

import csv
import json
from pathlib import Path

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


def test_one_brick_may_be_lighter_soaked_and_only_that_one_is_left_out(context_of):
    text = FIVE.replace('boiled_mass = "2830 g"', 'soaked_mass = "2400 g"')
    review = review_of(context_of, text)
    found = review.results["cold_absorption"]
    assert found.each == {"1": pytest.approx(11.5), "2": None} and found.n == 1
    assert review.facts["contradicting"] == ("2",)
    (problem,) = review.problems
    assert problem.where == "tests/t.toml:6" and "soaked lighter than dry" in problem.what


@pytest.mark.parametrize(
    ("row", "words", "gone"),
    [
        ('dry_mass = "2 kg", soaked_mass = "2.3 kg", boiled_mass = "2.2 kg"',
         "boiled lighter than soaked", "saturation_coefficient"),
        ('dry_mass = "2 kg", boiled_mass = "2.2 kg", suspended_mass = "2.4 kg"',
         "heavier hung in water than saturated", "apparent_porosity"),
        ('dry_mass = "10 kg", soaked_mass = "14 kg", suspended_mass = "12 kg"',
         "heavier hung in water than dry", "bulk_density"),
        ('length = "200 mm", width = "100 mm", cores = "250 cm2", dry_mass = "2 kg", '
         'minute_mass = "2.02 kg"', "holes cover more than the 200 cm²",
         "initial_rate_of_absorption"),
        ('length = "200 mm", width = "100 mm", crushed_length = "230 mm", '
         'crushing_load = "200 kN"', "more length under load", "compressive_strength"),
    ],
)  # fmt: skip
def test_readings_in_the_wrong_order_give_a_problem_and_no_value(context_of, row, words, gone):
    text = f'batch = "b"\n[specimens]\n"1" = {{ {row} }}\n'
    review = review_of(context_of, text)
    (problem,) = review.problems
    assert words in problem.what and problem.where == "tests/t.toml:3" and problem.remedy
    assert review.results[gone].value is None and review.results[gone].because


def test_a_soak_of_thirteen_days_is_named_and_no_grade_rests_on_it(context_of):
    """Twenty-nine bricks soaked 13 days at Watertown Arsenal must not be graded as 24 h."""
    rows = "".join(
        f'"{i}" = {{ dry_mass = "2000 g", soaked_mass = "2200 g", efflorescence = "nil" }}\n'
        for i in range(1, 6)
    )
    text = f'batch = "b"\nstandard = "IS 1077"\nsoaked_for = "13 d"\n[specimens]\n{rows}'
    review = review_of(context_of, text)
    assert review.results["cold_absorption"].extra["hours"] == 312
    assert review.results["cold_absorption"].number == pytest.approx(10.0)
    assert [p.line for p in review.problems] == [3]
    assert review.verdicts[0].grade is None and review.verdicts[0].settle


C62_ROWS = "".join(
    f'"{i}" = {{ dry_mass = "2000.0 g", soaked_mass = "{2000 + 20 * cold:.1f} g", '
    f'boiled_mass = "{2000 + 20 * boil:.1f} g", length = "100.0 mm", width = "100.0 mm", '
    f'crushing_load = "{psi * 0.00689476 * 10:.2f} kN" }}\n'
    for i, psi, boil, cold in (
        ("1", 3400, 15.2, 11.0), ("2", 3150, 16.0, 11.5), ("3", 3300, 14.8, 10.5),
        ("4", 3600, 16.5, 12.0), ("5", 3250, 15.5, 11.0),
    )
)  # fmt: skip


def test_a_grade_under_a_standard_with_edition_and_reasons(context_of):
    """Five bricks well inside the limits of ASTM C62 SW as printed in Masonry Construction."""
    text = f'batch = "b"\nstandard = "ASTM C62"\nsoaked_for = "24 h"\n[specimens]\n{C62_ROWS}'
    review = review_of(context_of, text)
    (verdict,) = review.verdicts
    assert verdict.grade == "SW" and verdict.edition and verdict.source
    assert not review.problems
    strength = review.results["compressive_strength"]
    assert strength.number == pytest.approx(3340 * 0.00689476, rel=1e-4)
    assert strength.extra["lower_limit"] < strength.number < strength.interval[1]


def test_three_bricks_are_not_five(context_of):
    rows = "".join(C62_ROWS.splitlines(keepends=True)[:3])
    text = f'batch = "b"\nstandard = "ASTM C62"\n[specimens]\n{rows}'
    review = review_of(context_of, text)
    (verdict,) = review.verdicts
    assert verdict.grade is None and any("3 of the 5" in why for why in verdict.because)
    assert [p.what for p in review.problems] == ["3 of the 5 bricks that ASTM C62 asks for"]


def test_a_standard_nobody_knows_is_pointed_out(context_of):
    review = review_of(context_of, f'batch = "b"\nstandard = "ASTM C26"\n[specimens]\n{C62_ROWS}')
    assert [p.line for p in review.problems] == [2] and not review.verdicts


def test_strength_by_machine_by_lever_and_by_a_weight(context_of):
    """Lever: F 2765 N, MOR 1.683 MPa; a 75 kg person at midspan: 0.613 MPa (worked out apart).
    8 x 4 x 2 1/4 in on 6 in, 1620 lb: 720 psi (Construction Superintendence, sec. 232)."""
    text = """
    batch = "b"
    [specimens.lever]
    width = "105.0 mm"
    height = "65.0 mm"
    span = "180.0 mm"
    [specimens.lever.lever]
    load = "25.00 kg"
    load_at = "1.500 m"
    beam = "6.00 kg"
    beam_at = "0.800 m"
    nose_at = "0.150 m"
    [specimens.weight]
    width = "100.0 mm"
    height = "60.0 mm"
    span = "200.0 mm"
    bending_load = "75.0 kg"
    [specimens.machine]
    width = "4.00 in"
    height = "2 1/4 in"
    span = "6.00 in"
    bending_load = "1620 lbf"
    """
    found = review_of(context_of, text).results["modulus_of_rupture"]
    assert found.each["lever"] == pytest.approx(1.683, abs=0.001)
    assert found.each["weight"] == pytest.approx(0.613, abs=0.001)
    assert found.each["machine"] == pytest.approx(720 * 0.00689476, abs=0.005)
    assert found.extra["loaded_by"] == "lever/load" and found.extra["laid_given"] == "assumed"


def test_suction_in_both_manners(context_of):
    """8.0 x 3.5 in, 22 g: 23.6 g/min per 30 in2 and 1.218 kg/(m2 min); worked out apart."""
    row = (
        '"1" = { dry_mass = "2000 g", minute_mass = "2022 g", length = "8.0 in", width = "3.5 in" }'
    )
    found = review_of(context_of, f'batch = "b"\n[specimens]\n{row}\n').results
    suction = found["initial_rate_of_absorption"]
    assert suction.unit == "g/min per 30 in²" and suction.number == pytest.approx(23.6, abs=0.05)
    assert suction.extra["by_area"]["value"] == pytest.approx(1.218, abs=0.001)


def test_the_soak_is_taken_from_the_log_where_it_was_timed(context_of):
    text = FIVE.replace('soaked_for = "24 h"\n', "") + (
        '[log]\n"2026-05-01 08:00" = { soak = "began" }\n"2026-05-03 08:00" = { soak = "ended" }\n'
    )
    found = review_of(context_of, text).results["cold_absorption"]
    assert (found.extra["hours"], found.extra["hours_given"]) == (48, "logged")


def test_a_shared_error_of_the_scale_leaves_absorption_and_coefficient_alone(context_of):
    exact = '[instruments]\nscale = { step = "1 g", error = "0 %" }\n'
    crude = '[instruments]\nscale = { step = "1 g", error = "5 %" }\n'
    for name in ("cold_absorption", "saturation_coefficient"):
        one = review_of(context_of, FIVE, exact).results[name]
        other = review_of(context_of, FIVE, crude).results[name]
        assert one.plus_minus == pytest.approx(other.plus_minus, rel=1e-9), name


def test_a_bucket_is_enough_for_a_field_verdict(context_of):
    text = """
    batch = "b"
    [specimens]
    "1" = { ring = "clear", scratch = "none", core = "even" }
    "2" = { ring = "dull", scratch = "deep" }
    """
    found = review_of(context_of, text).results["field_verdict"]
    assert found.each == {"1": "good", "2": "soft"} and found.value == "soft"


WATERTOWN = Path(__file__).parent.parent / "data" / "bricks_absorption_watertown_55_83.csv"


def watertown(*leave_out: str) -> str:
    """Bricks 55 to 83 of Tests of Metals, Watertown Arsenal, about 1900, pp. 469-470."""
    rows = csv.DictReader(WATERTOWN.read_text().splitlines())
    lines = "".join(
        f'"{row["no"]}" = {{ dry_mass = "1000.00 g", '
        f'soaked_mass = "{1000 + 10 * float(row["absorption_24h_pct"]):.2f} g" }}\n'
        for row in rows
        if row["kind"] not in leave_out
    )
    return f'batch = "b"\nsoaked_for = "24 h"\n[specimens]\n{lines}'


def test_twenty_nine_bricks_of_watertown_arsenal(context_of):
    """n 29, mean 8.33 %, sd 4.09, 95 % interval of the mean +- 1.56; worked out apart. Six
    vitrified bricks (up to 2.4 %) and the rest (from 6.5 %): a mean of all describes neither."""
    found = review_of(context_of, watertown()).results["cold_absorption"]
    assert found.n == 29 and found.number == pytest.approx(8.33, abs=0.005)
    assert found.sd == pytest.approx(4.09, abs=0.005)
    assert found.interval[1] - found.number == pytest.approx(1.56, abs=0.005)
    assert [group["n"] for group in found.extra["two_groups"]] == [6, 23]


def test_an_upper_limit_for_single_bricks_agrees_with_a_table_of_factors(context_of):
    """The 21 common bricks: 10.05 + 1.905 x 1.87 = 13.6 %, k(21) for 90/95 from a normal table."""
    text = watertown("sewer", "vitrified sewer")
    found = review_of(context_of, text).results["cold_absorption"]
    assert found.n == 21 and found.extra["upper_limit"] == pytest.approx(13.6, abs=0.05)
    assert "two_groups" not in found.extra


def test_units_may_be_mixed_in_one_table(context_of):
    """2000 g is 4 lb 6.548 oz, 2230 g is 78.661 oz; the same 11.5 % within the ounces written."""
    row = '"1" = { dry_mass = "2000 g", soaked_mass = "78.661 oz" }\n'
    found = review_of(context_of, f'batch = "b"\n[specimens]\n{row}').results["cold_absorption"]
    assert found.number == pytest.approx(11.5, abs=0.002)


def test_what_is_blank_or_only_a_bound_is_not_a_value(context_of):
    row = '"1" = { dry_mass = "2000 g", soaked_mass = "> 2200 g" }\n'
    found = review_of(context_of, f'batch = "b"\n[specimens]\n{row}').results["cold_absorption"]
    assert found.value is None and found.needs == ("soaked_mass",)


def test_fifty_freezings_waive_water_but_not_with_a_loss_above_the_limit(context_of):
    wet = C62_ROWS.replace("}", ', freeze_cycles = 50, freeze_loss = "0.2 %" }')
    wet = wet.replace('boiled_mass = "23', 'boiled_mass = "24')
    head = 'batch = "b"\nstandard = "ASTM C62"\nsoaked_for = "24 h"\n[specimens]\n'
    (verdict,) = review_of(context_of, head + wet).verdicts
    assert verdict.grade == "SW" and any("waived" in why for why in verdict.because)
    (verdict,) = review_of(context_of, head + wet.replace('"0.2 %"', '"2.0 %"')).verdicts
    assert verdict.grade != "SW"


def test_holes_leave_less_bed_and_more_strength_beside_the_gross_one(context_of):
    """12.0 MPa gross on 200 cm2 with 40 cm2 of holes is 15.0 MPa net; worked out apart."""
    row = (
        '"1" = { length = "200.0 mm", width = "100.0 mm", cores = "40 cm2", '
        'crushing_load = "240 kN" }\n'
    )
    found = review_of(context_of, f'batch = "b"\n[specimens]\n{row}').results
    assert found["compressive_strength"].number == pytest.approx(12.0)
    assert found["compressive_strength"].extra["net_area"]["value"] == pytest.approx(15.0)


def test_a_half_brick_without_its_length_under_load_has_no_strength(context_of):
    row = (
        '"1" = { length = "200 mm", width = "100 mm", crushed = "half", crushing_load = "90 kN" }\n'
    )
    found = review_of(context_of, f'batch = "b"\n[specimens]\n{row}').results
    assert found["compressive_strength"].needs == ("crushed_length",)
