"""What follows from a batch: water, drying, ready, mass balance, where its bricks are."""

import json
from datetime import datetime

import pytest

from fieldbook.advice import drying as forecast
from fieldbook.advice.weighings import moulded_at
from fieldbook.records import Batch

MIX = 'parts = [{ clay = "c", mass = "100 kg", moisture = "20 %" }]\n'
CLAY = 'loss_on_ignition = "8.0 %"\nfizz = "none"\n'
HEAD = """
mix = "m"
moulded = "2026-04-02 12:00"
count = 180
oven_dry = { wet_mass = "1000 g", dry_mass = "800 g" }
[marked]
"1" = { marks = "150.0 mm", mass = "3.25 kg" }
"2" = { mass = "3.25 kg" }
[log]
"""
DRYING = """
"2026-04-03 12:00" = { brick = "1", mass = "3.09 kg" }
"2026-04-03 12:01" = { brick = "2", mass = "3.11 kg" }
"2026-04-05 12:00" = { brick = "1", mass = "2.86 kg", marks = "141.0 mm" }
"2026-04-05 12:01" = { brick = "2", mass = "2.90 kg" }
"""


def review_of(context_of, log: str, now: str = "2026-04-05 18:00", head: str = HEAD, **more: str):
    files = {"mixes__m": MIX, "clays__c": CLAY, **more}
    review = context_of(now, batches__b=head + log, **files).review("batches/b")
    assert review is not None
    return review


def test_moisture_is_that_of_the_last_weighing_on_both_bases(context_of):
    """Dry mass 3.25 x 0.8 = 2.60 kg; 2.86 kg is 10.0 % dry and 9.09 % wet basis; by hand."""
    found = review_of(context_of, DRYING).results
    assert found["moisture"].each == pytest.approx({"1": 10.0, "2": 11.538}, abs=0.001)
    assert found["moisture"].number == pytest.approx(10.769, abs=0.001)
    assert found["moisture_wet_basis"].each["1"] == pytest.approx(9.091, abs=0.001)
    assert found["moisture"].extra["dry_mass_from"] == "oven piece"
    assert found["moisture"].age == pytest.approx(6, abs=0.02)
    assert found["free_water"].number == pytest.approx(180 * 2.6 * 0.10769, rel=1e-4)
    assert found["drying_rate"].each["1"] == pytest.approx(100 * 0.23 / 2.6 / 48, rel=1e-6)
    assert found["linear_drying_shrinkage"].number == pytest.approx(6.0)


def test_lines_later_than_now_do_not_exist_and_one_at_now_does(context_of):
    found = review_of(context_of, DRYING, now="2026-04-03 12:00").results
    assert found["moisture"].each["1"] == pytest.approx(100 * (3.09 / 2.6 - 1))


def test_ready_is_a_time_with_an_interval_of_two_times(context_of):
    review = review_of(context_of, DRYING)
    ready = json.loads(json.dumps(review.results["ready"].json()))
    low, high = (datetime.fromisoformat(end) for end in ready["interval"])
    assert low <= datetime.fromisoformat(ready["value"]) <= high
    assert ready["unit"] == "time" and low > datetime.fromisoformat("2026-04-05 12:00-05:00")
    assert review.model.fit.weighings == 6
    assert review.facts["phase"] == "drying" and review.facts["next_weighing"] is not None
    assert {"moisture_expected", "drying_stage", "mass_balance"} <= set(review.results)
    assert not review.problems


def test_below_its_dry_mass_moisture_is_negative_ready_is_null_and_both_lines_are_named(context_of):
    log = DRYING + '"2026-04-05 17:00" = { brick = "1", mass = "2.30 kg" }\n'
    review = review_of(context_of, log)
    assert review.results["moisture"].each["1"] == pytest.approx(100 * (2.30 / 2.6 - 1))
    assert review.results["ready"].value is None and review.results["ready"].because
    (problem,) = review.problems
    assert problem.where == "batches/b.toml:15" and "batches/b.toml:7" in problem.what
    assert review.facts["suspect_bricks"] == ("1",)


def test_a_gain_while_drying_is_pointed_out_unless_it_rained(context_of):
    gain = DRYING + '"2026-04-05 17:00" = { brick = "1", mass = "2.98 kg" }\n'
    review = review_of(context_of, gain)
    assert [p.where for p in review.problems] == ["batches/b.toml:15"]
    assert review.results["ready"].value is None
    rain = gain + '"2026-04-05 14:00" = { rain = true }\n'
    review = review_of(context_of, rain)
    assert not review.problems and review.results["ready"].known


def test_an_oven_piece_heavier_dry_than_wet_leaves_no_moisture(context_of):
    head = HEAD.replace('dry_mass = "800 g"', 'dry_mass = "1080 g"')
    review = review_of(context_of, DRYING, head=head)
    assert review.results["moisture"].value is None and review.results["ready"].value is None
    assert review.results["moisture"].because and [p.line for p in review.problems] == [5]


def test_without_a_dry_mass_the_answer_says_what_it_needs(context_of):
    head = HEAD.replace('oven_dry = { wet_mass = "1000 g", dry_mass = "800 g" }', "")
    found = review_of(context_of, DRYING, head=head).results
    assert found["moisture"].json()["needs"] == ["oven_dry"]
    assert found["ready"].json() == {**found["ready"].json(), "value": None, "needs": ["oven_dry"]}


PLATEAU = """
"2026-04-10 12:00" = { brick = "1", mass = "2.670 kg" }
"2026-04-12 12:00" = { brick = "1", mass = "2.668 kg" }
"2026-04-13 12:00" = { brick = "1", mass = "2.668 kg" }
"""


def test_a_plateau_is_not_dryness(context_of):
    """By the plateau the brick still holds 1 to 5 % (from memory): 3 % in the middle."""
    head = HEAD.replace('oven_dry = { wet_mass = "1000 g", dry_mass = "800 g" }', "")
    found = review_of(context_of, DRYING + PLATEAU, "2026-04-13 13:00", head).results
    assert found["moisture"].extra["dry_mass_from"] == "plateau"
    assert found["moisture"].each["1"] == pytest.approx(3.0)
    assert found["moisture"].plus_minus > 1.5


def test_a_target_below_what_the_air_leaves_is_left_to_the_kiln(context_of):
    head = HEAD.replace("count = 180", 'count = 180\ntarget_moisture = "1.0 %"')
    review = review_of(context_of, DRYING + PLATEAU, "2026-04-13 13:00", head)
    ready = review.results["ready"]
    assert ready.value is None and "below 100 °C in the kiln, in about" in ready.because
    assert ready.extra["as_dry_as_air"] is not None and review.facts["air_dry"]


FIRED = """
"2026-05-01 12:00" = { brick = "1", mass = "2.39 kg", firing = "f" }
"2026-05-01 12:01" = { brick = "2", mass = "2.40 kg", firing = "f" }
"""


def test_mass_balance_agrees_with_the_ignition_loss_of_the_mix(context_of):
    """3.25 kg wet, 25 % water, 8 % ignition loss: 2.392 kg fired, 26.4 % lost; algebra."""
    review = review_of(context_of, DRYING + FIRED, "2026-05-02 12:00")
    balance = review.results["mass_balance"]
    assert balance.number == pytest.approx(100 * (1 - 2.395 / 3.25), abs=1e-6)
    low, high = balance.extra["plausible_loss"]
    assert low < 26.4 < high and not review.problems


def test_a_loss_that_cannot_be_is_left_alone_and_the_plausible_one_is_told(context_of):
    """4.2 kg moulded and 1.4 kg fired: two thirds lost, where a fifth to two fifths is usual."""
    head = HEAD.replace('"2" = { mass = "3.25 kg" }', '"2" = { mass = "4.2 kg" }').replace(
        'oven_dry = { wet_mass = "1000 g", dry_mass = "800 g" }', ""
    )
    log = '"2026-05-01 12:00" = { brick = "2", mass = "1.4 kg", firing = "f" }\n'
    review = review_of(context_of, log, "2026-05-02 12:00", head)
    assert review.results["mass_balance"].value is None
    assert review.results["moisture"].value is None
    (problem,) = review.problems
    assert problem.where == "batches/b.toml:10" and "plausible for this clay" in problem.what
    low, high = review.results["mass_balance"].extra["plausible_loss"]
    assert 15 < low < high < 45


def test_dry_mass_from_the_fired_brick_where_there_is_no_oven_piece(context_of):
    """2.39 kg / 0.92 = 2.598 kg; algebra."""
    head = HEAD.replace('oven_dry = { wet_mass = "1000 g", dry_mass = "800 g" }', "")
    review = review_of(context_of, DRYING + FIRED, "2026-05-02 12:00", head)
    assert review.facts["dry_mass_route"]["1"] == "fired"
    assert review.facts["dry_masses"]["1"] == pytest.approx(2.39 / 0.92)


def test_marks_farther_apart_than_before_are_a_negative_shrinkage(context_of):
    log = '"2026-04-04 12:00" = { brick = "1", marks = "153.0 mm" }\n'
    review = review_of(context_of, log)
    assert [p.line for p in review.problems] == [10]
    assert review.results["linear_drying_shrinkage"].value is None


def test_an_earlier_batch_of_the_mix_teaches_the_next(context_of):
    earlier = (HEAD + DRYING).replace("2026-04-", "2026-03-")
    review = review_of(context_of, DRYING, batches__a=earlier)
    assert review.results["ready"].extra["taught_by"] == ["batches/a"]


def many_batches(context_of, count: int):
    """Batches of three mixes, some moulded at one moment."""
    texts = {}
    for i in range(count):
        when = f"moulded = 2026-04-{1 + i * 7 % 25:02d}\n"
        texts[f"batches__b{i:03d}"] = f'mix = "m{i % 3}"\ncount = 10\n{when}'
    return context_of("2026-05-20 12:00", **texts)


def test_who_teaches_is_who_a_look_at_every_batch_finds(context_of):
    context = many_batches(context_of, 60)
    batches = list(context.notebook.of(Batch))
    taught = 0
    for batch in batches:
        start = moulded_at(batch)
        pairs = [(moulded_at(o), o) for o in batches if o.mix == batch.mix and o.name != batch.name]
        earlier = [(began, other) for began, other in pairs if start and began and began < start]
        earlier.sort(key=lambda pair: pair[0], reverse=True)
        found = forecast._earlier(batch, context)
        assert found == [other for _, other in earlier[: forecast.EARLIER]]
        taught += bool(found)
    assert taught > 30


def test_who_teaches_is_found_without_looking_at_every_batch_anew(context_of, monkeypatch):
    looks = []
    monkeypatch.setattr(forecast, "moulded_at", lambda b: looks.append(b.name) or moulded_at(b))
    context = many_batches(context_of, 60)
    for batch in context.notebook.of(Batch):
        forecast._earlier(batch, context)
    assert len(looks) <= 2 * 60


def test_bricks_are_counted_through_the_kiln_to_where_they_lie(context_of):
    firing = """
    kiln = "k"
    load = [{ batch = "b", count = 150 }]
    unloaded = [{ batch = "b", sound = 130, cracked = 12, soft = 8 }]
    [log]
    "2026-04-20 06:00" = { event = "lit" }
    "2026-04-21 06:00" = { event = "sealed" }
    "2026-04-23 06:00" = { event = "unloaded" }
    """
    log = DRYING + '"2026-04-24 09:00" = { sold = 40, broken = 2 }\n'
    build = 'form = "wall"\n[log]\n"2026-04-25 09:00" = { laid = 20, of = "f" }\n'

    def facts(now: str):
        return review_of(context_of, log, now, firings__f=firing, builds__w=build).facts

    assert facts("2026-04-20 12:00")["counts"]["in the kiln"] == 150
    assert facts("2026-04-20 12:00")["phase"] == "in kiln"
    assert facts("2026-04-22 12:00")["counts"]["cooling"] == 150
    after = facts("2026-04-26 12:00")
    assert after["phase"] == "fired" and after["counts"]["green"] == 28
    assert after["counts"]["left"] == 130 - 40 - 20 and after["counts"]["laid"] == 20
