"""Seasons played through by makers who do only what the advice says; the long ones are by hand.

`python -m tests.bench.season` plays them with a kiln that answers to wood alone.
"""

import pytest

from fieldbook.advice.context import Context
from tests.advice.build_records import at, notebook_of
from tests.advice.test_way_through import DRIED, PLANNED
from tests.bench.season.play import season

FALLING = "".join(
    f'"2026-04-25 {hour:02d}:{minute:02d}" = {{ temperature = "{130 - 3 * n} C", place = "top" }}\n'
    for n, (hour, minute) in enumerate((h, m) for h in (7, 8, 9, 10) for m in (0, 20, 40))
)
LIT = '[log]\n"2026-04-25 06:00" = { event = "lit" }\n"2026-04-25 06:30" = { fuel = "2 kg" }\n'


def test_a_fire_that_was_told_to_burn_no_more_wood_is_told_when_to_burn_some_again():
    """Four hours without a line of wood, and it falls: nothing was burnt that is not noted."""
    files = {**DRIED, "firings/may": PLANNED + LIT + FALLING}
    context = Context.of(notebook_of(files, "2026-04-25 10:42"), at("2026-04-25 10:42"))
    assert context.review("firings/may").number("next_feed") is not None


def first_lot_is_fit(context):
    """A first kiln of bricks is out, tested, and fit for the wall."""
    review = context.review("builds/wall") if "builds/wall" in context.notebook.addresses else None
    return bool(review and review.number("bricks_fit"))


@pytest.fixture(scope="module", name="proven")
def _proven():
    """To the first tested bricks, in a kiln that does at once what its maker wants."""
    every = {"practice.reading_every": "3 h"}
    return season(3, tame=True, settings=every, until=first_lot_is_fit)


def test_who_obeys_gets_from_the_first_shovel_to_tested_bricks_without_a_dead_end(proven):
    maker, figures = proven
    rules = [entry.rule for entry in maker.diary]
    for rule in ("first-clay", "mould-trial-bars", "prove-with-fifty", "light-at", "unload"):
        assert rules.count(rule) == 1, rule
    assert rules[-1] in ("end-soak", "break-five")
    assert figures.out["sound"] >= 45


def test_no_more_is_asked_than_a_maker_can_write(proven):
    _, figures = proven
    assert figures.outside <= 32, "half of the sixty of a season"
    (fire,) = figures.fires
    assert fire.busiest <= 3
    assert fire.cooling <= 1


def test_every_line_an_action_offers_was_typed_and_left_no_problem_behind(proven):
    maker, _ = proven
    wrote = [line for entry in maker.diary for line in entry.wrote]
    assert len(wrote) > 30
    assert not [line for line in wrote if "…" in line]
