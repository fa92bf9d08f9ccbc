"""Firings as no one would write them, and what a review may cost."""

import json
import subprocess
import sys

import pytest

from fieldbook.advice.wording import figures
from tests.advice.firings import GREEN_BATCH, METRE_KILN

BATCH = GREEN_BATCH.replace('"3.25 kg"', '"3.25 kg", marks = "150 mm"')
LOAD = 'load = [{ batch = "b", count = 150, place = "top", moisture = "2 %" }]\n'
PLAN = 'plan = { peak = "950 C" }\n'
LOG = """[log]
"2026-05-03 06:00" = { event = "lit" }
"2026-05-03 07:00" = { temperature = "60 C", place = "top" }
"2026-05-03 08:00" = { temperature = "85 C", place = "top" }
"""
KILN = METRE_KILN


def review_of(context_of, firing: str, kiln: str = KILN, settings: str = "", batch: str = BATCH):
    context = context_of(
        "2026-05-04 09:00",
        settings,
        firings__f=firing,
        batches__b=batch,
        mixes__m='parts = [{ clay = "c", mass = "10 kg" }]\n',
        clays__c='fizz = "none"\n',
        kilns__k=kiln,
    )
    return context.review("firings/f")


ODD = {
    "nothing but a kiln": 'kiln = "k"\nload = []\n',
    "an empty kiln": f'kiln = "k"\nload = []\n{PLAN}{LOG}',
    "a kiln nobody wrote": f'kiln = "elsewhere"\n{LOAD}{PLAN}{LOG}',
    "a batch nobody wrote": f'kiln = "k"\nload = [{{ batch = "z", count = 5 }}]\n{PLAN}{LOG}',
    "no bricks": f'kiln = "k"\nload = [{{ batch = "b", count = 0 }}]\n{PLAN}{LOG}',
    "refired bricks of itself": f'kiln = "k"\nload = [{{ refired = "f", count = 5 }}]\n{PLAN}{LOG}',
    "a peak in the cold": f'kiln = "k"\n{LOAD}plan = {{ peak = "5 C" }}\n{LOG}',
    "a peak in the clouds": f'kiln = "k"\n{LOAD}plan = {{ peak = "2000 C" }}\n{LOG}',
    "a hold of a week": f'kiln = "k"\n{LOAD}plan = {{ peak = "900 C", hold = "170 h" }}\n{LOG}',
    "two readings of one moment": f'kiln = "k"\n{LOAD}{PLAN}{LOG}'
    '"2026-05-03 08:00:00.001" = { temperature = "400 C", place = "top" }\n',
    "one reading": f'kiln = "k"\n{LOAD}{PLAN}[log]\n'
    '"2026-05-03 08:00" = { temperature = "400 C" }\n',
    "only bounds": f'kiln = "k"\n{LOAD}{PLAN}[log]\n'
    '"2026-05-03 08:00" = { temperature = "> 1000 C" }\n',
    "only a wall probe": f'kiln = "k"\n{LOAD}{PLAN}[log]\n'
    '"2026-05-03 08:00" = { temperature = "90 C", probe = "wall" }\n',
    "a probe inside the brick": f'kiln = "k"\n{LOAD}{PLAN}{LOG}'.replace(
        'place = "top" }\n"', 'place = "top", probe = "inside" }\n"'
    ),
    "air as hot as the kiln": f'kiln = "k"\n{LOAD}{PLAN}{LOG}'
    '"2026-05-03 09:00" = { event = "sealed", air = "90 C" }\n'
    '"2026-05-03 19:00" = { temperature = "60 C", place = "top" }\n',
    "unloaded and never lit": f'kiln = "k"\n{LOAD}unloaded = [{{ batch = "b", sound = 9 }}]\n',
    "fuel of water": f'kiln = "k"\n{LOAD}{PLAN}fuel = [{{ moisture = "95 %" }}]\n{LOG}'
    '"2026-05-03 09:00" = { fuel = "10 kg", oxygen = "20.9 %" }\n',
}  # fmt: skip


@pytest.mark.parametrize("what", ODD)
def test_no_record_however_odd_breaks_the_review(context_of, what):
    review = review_of(context_of, ODD[what])
    for result in review.results.values():
        shown = json.loads(json.dumps(result.json()))
        told = shown.get("needs") or shown.get("because")
        assert shown["value"] is not None or told, result.name


def test_wood_of_water_and_drowned_bricks_are_pointed_out(context_of):
    said = review_of(context_of, ODD["fuel of water"]).problems
    assert any("does not burn" in problem.what for problem in said)
    wet = LOAD.replace("2 %", "90 %")
    said = review_of(context_of, f'kiln = "k"\n{wet}{PLAN}{LOG}').problems
    assert any("fresh from the mould" in problem.what for problem in said)


def test_a_bench_of_tight_bricks_lags_far_more_than_a_loose_brick(context_of):
    loose = review_of(context_of, f'kiln = "k"\n{LOAD}{PLAN}{LOG}')
    bench = 'setting = { bench = "236 mm" }\n'
    tight = review_of(context_of, f'kiln = "k"\n{LOAD}{bench}{PLAN}{LOG}')
    assert tight.number("lag") > 2 * loose.number("lag")
    assert tight.number("allowed_climb") < loose.number("allowed_climb")


def test_cautions_are_said_at_their_step(context_of):
    lit = review_of(context_of, f'kiln = "k"\n{LOAD}{PLAN}{LOG}').cautions
    assert any("Carbon monoxide" in text for text in lit)
    planned = review_of(
        context_of,
        f'kiln = "k"\n{LOAD}{PLAN}',
        KILN + 'base = "concrete"\n[log]\n"2026-05-01 09:00" = { rain = true }\n',
    ).cautions
    assert any("concrete" in text for text in planned) and any("burst" in text for text in planned)
    assert any("burn rules" in text for text in planned)


def test_a_bound_of_the_maker_is_never_exceeded(context_of):
    review = review_of(
        context_of,
        f'kiln = "k"\n{LOAD}{PLAN}{LOG}'.replace('"60 C"', '"260 C"').replace('"85 C"', '"300 C"'),
        settings='[practice]\ngreatest_climb = "54 F/h"\n',
    )
    assert review.number("allowed_climb") <= 30.001
    rules = review.results["allowed_climb"].extra["rules"]
    assert rules["the maker"] == pytest.approx(30), "54 F/h is 30 K/h: by 5/9 alone"
    assert figures(rules["the maker"], 1) == "30"


def test_a_review_of_a_firing_loads_neither_pint_nor_scipy():
    code = (
        "import sys, fieldbook.advice.reviews.firing, fieldbook.advice.reviews.kiln; "
        "print(sorted({'pint', 'scipy', 'tomlkit', 'textual'} & set(sys.modules)))"
    )
    answer = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True
    )
    assert answer.stdout.strip() == "[]"
