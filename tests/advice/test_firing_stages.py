"""Stages: published and the maker's own, over only when their condition at the core is met."""

import pytest

BATCH = """
mix = "m"
moulded = 2026-04-02
count = 20
[green]
length = "246 mm"
width = "118 mm"
height = "75 mm"
"""
OWN = """
[practice.stages]
evaporation = { from = "60 F", to = "300 F" }
dehydration = { from = "300 F", to = "1200 F" }
oxidation = { from = "570 F", to = "1600 to 1700 F" }
vitrification = { from = "1200 F", to = "2300 F" }
flashing = { from = "2100 F", to = "2300 F" }
"""
"""Common practice with no source, as one group fires by it."""


def review_at(context_of, fahrenheit: float, settings: str = "", flash: str = "true"):
    log = "".join(
        f'"2026-05-03 {6 + i:02d}:00" = {{ temperature = "{value:.0f} F", probe = "face" }}\n'
        for i, value in enumerate(60 + (fahrenheit - 60) * k / 8 for k in range(9))
    )
    context = context_of(
        "2026-05-03 14:00",
        settings,
        firings__f='kiln = "k"\nload = [{ batch = "b", count = 20, moisture = "1 %" }]\n'
        f'plan = {{ peak = "950 C", flash = {flash} }}\n[log]\n{log}',
        batches__b=BATCH,
        mixes__m='parts = [{ clay = "c", mass = "10 kg" }]\n',
        clays__c='fizz = "none"\n',
        kilns__k='form = "updraught"\n',
    )
    return context.review("firings/f")


def in_range(review) -> list[str]:
    return [row["name"] for row in review.results["stages"].value if row["in_range"]]


@pytest.mark.parametrize(
    "fahrenheit, names",
    [
        (250, ["evaporation"]),
        (600, ["dehydration", "oxidation"]),
        (1000, ["dehydration", "oxidation"]),
        (1500, ["oxidation", "vitrification"]),
        (1650, ["oxidation", "vitrification"]),
        (1900, ["vitrification"]),
        (2200, ["vitrification", "flashing"]),
    ],
)
def test_the_makers_own_table_says_where_a_fire_is(context_of, fahrenheit, names):
    assert in_range(review_at(context_of, fahrenheit, OWN)) == names


def test_oxidation_is_ending_where_its_end_is_a_range(context_of):
    rows = review_at(context_of, 1650, OWN).results["stages"].value
    assert [row["name"] for row in rows if row["ending"]] == ["oxidation"]


def test_own_and_published_stages_stand_side_by_side(context_of):
    extra = review_at(context_of, 600, OWN).results["stages"].extra
    assert [row["name"] for row in extra["published"]][:2] == ["water smoking", "dehydration"]
    assert "published" not in review_at(context_of, 600).results["stages"].extra


def test_rows_far_from_print_are_pointed_out(context_of):
    said = [problem.what for problem in review_at(context_of, 600, OWN).problems]
    assert any("vitrification begins at 649 °C" in what for what in said)
    assert any("flashing reaches 1260 °C" in what and "1050" in what for what in said)


def test_a_stage_is_over_by_its_condition_and_not_by_the_thermometer(context_of):
    rows = {row["name"]: row for row in review_at(context_of, 1300, "").results["stages"].value}
    assert rows["water smoking"]["over"] is True
    assert rows["oxidation"]["over"] is not True, "the carbon may still be in the core"
    assert rows["vitrification"]["state"] == "to come"


def test_flashing_is_shown_only_where_it_is_wanted(context_of):
    assert "flashing" not in str(review_at(context_of, 1300, "", "false").results["stages"].value)
