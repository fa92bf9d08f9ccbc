"""Which mix suits a build: best first, no order within the bounds, and what would settle it."""

import math
import re
from dataclasses import replace

import pytest

from fieldbook.advice import mix_choice
from fieldbook.advice.mix_choice import Candidate, mixes_for
from fieldbook.report.plan import build_lines
from fieldbook.report.units import Units
from fieldbook.report.values import say
from tests.advice.test_daylight import context

NOW = "2026-11-25T12:00"
ORDER = ["yes", "unknown", "no"]


def served(*bears: tuple[float, float]) -> list[Candidate]:
    return [Candidate(f"m{n}", "yes", "it bears it", "", *one) for n, one in enumerate(bears)]


@pytest.mark.parametrize(
    ("bears", "leads"),
    [
        ([(900, 10), (890, 10)], ["serves", "serves"]),  # 10 K apart, bounds 14 K
        ([(900, 10), (880, 10)], ["serves best", "serves, with less to spare"]),
        (
            [(900, 10), (890, 10), (880, 10)],
            ["serves best", "serves best", "serves, with less to spare"],
        ),
        ([(900, 10)], ["serves"]),
        (
            [(900, 1), (881, 12), (873, 12), (800, 1)],
            [
                "serves best",
                "serves, with less to spare",
                "serves, with less to spare",
                "serves, with still less to spare",
            ],
        ),
    ],
)
def test_mixes_within_each_others_bounds_are_the_same(bears, leads):
    assert [lead for _, lead in mix_choice._ranked(served(*bears), 450.0)] == leads


def test_the_same_within_the_bounds_stand_by_their_names():
    made = {"reach-bank": (881, 12), "bank-grog": (873, 12)}
    found = [Candidate(name, "yes", "it bears it", "", *one) for name, one in made.items()]
    ranked = mix_choice._ranked([served((900, 1))[0], *found], 450.0)
    assert [one.mix for one, _ in ranked] == ["m0", "bank-grog", "reach-bank"]
    assert ranked[1][1] == ranked[2][1]


def test_a_build_without_heat_ranks_by_no_heat():
    ranked = mix_choice._ranked(served((900, 1), (700, 1)), None)
    assert [lead for _, lead in ranked] == ["serves", "serves"]


@pytest.mark.parametrize("build", ["bread-oven", "lime-kiln-lining", "garden-wall"])
def test_every_mix_is_told_of_those_that_serve_first_and_each_with_its_reason(build):
    here = context(NOW)
    rows = here.review(f"builds/{build}").results["mixes"].value
    assert {row["name"] for row in rows} == {"bank-3-1", "bank-grog", "bank-sawdust", "reach-bank"}
    assert [row["fit"] for row in rows] == sorted((r["fit"] for r in rows), key=ORDER.index)
    assert all(row["because"] for row in rows)
    assert all(row["settle"] for row in rows if row["fit"] == "unknown")
    best = [row["bears"] for row in rows if row["fit"] == "yes"]
    lower = [row["bears"] for row in rows if "less to spare" in row["order"]]
    for bears in lower:
        bounds = math.hypot(best[0]["plus_minus"], bears["plus_minus"])
        assert best[0]["value"] - bears["value"] > bounds


def test_no_fire_is_asked_for_above_what_a_mix_bears():
    here = context(NOW)
    for build in ("bread-oven", "lime-kiln-lining"):
        for row in here.review(f"builds/{build}").results["mixes"].value:
            asked = re.search(r"a firing of it to (\d+)", row.get("settle", ""))
            limit = here.review(f"mixes/{row['name']}").number("peak_limit")
            assert asked is None or float(asked[1]) <= limit + 0.5


def test_a_mix_that_bears_no_such_fire_is_not_fit():
    rows = context(NOW).review("builds/lime-kiln-lining").results["mixes"].value
    (reach,) = [row for row in rows if row["name"] == "reach-bank"]  # its maker: 1000 °C at most
    assert reach["fit"] == "no" and "no fire above 1000 °C" in reach["because"]


def test_no_mix_of_common_clay_is_for_molten_metal():
    here = context(NOW)
    oven = replace(here.notebook.entry("builds/bread-oven"), molten_metal=True)
    result = mixes_for(oven, here)
    assert result.value == []
    assert say(result, Units({})).startswith("none: common brick never stands molten metal")


def test_the_plan_of_a_build_shows_them_with_the_test_that_would_settle_it():
    here = context(NOW)
    page = build_lines(here.review("builds/bread-oven"), Units({}), here.present, 78)
    text = " ".join("\n".join(page).split())
    assert "which mix, best first" in text
    assert "bank-sawdust: not known, none of it is fired yet, would settle it:" in text
    assert "would tell them apart: heat a brick of each to 450 °C" in text
