"""The climb to aim at and the wood for it, as a review works them out of a log."""

import math
from datetime import datetime, timedelta

import pytest

from fieldbook.advice.context import Context
from fieldbook.advice.firing_feeding import wood_put_on
from fieldbook.advice.firing_heat import heat_of
from fieldbook.calc import stoking
from tests.advice.build_records import at, notebook_of

BATCH = """
mix = "plain"
moulded = "2026-04-02 09:00"
count = 200
oven_dry = { wet_mass = "1000 g", dry_mass = "800 g" }
[green]
length = "246 mm"
width = "118 mm"
height = "75 mm"
[marked]
"1" = { mass = "3.0 kg" }
"""
KILN = 'form = "updraught"\nlength = "1 m"\nwidth = "1 m"\nheight = "1 m"\nwall_mass = "500 kg"\n'
HEAD = """
kiln = "small"
load = [{ batch = "april", count = 200, moisture = "0.4 %" }]
fuel = [{ name = "split ash", moisture = "18 %" }, { name = "charcoal", moisture = "5 %" }]
plan = { peak = "950 C", hold = "1 h" }
[log]
"2026-05-03 06:00" = { event = "lit", air = "15 C" }
"""
START = datetime(2026, 5, 3, 6)


def line(hours: float, inside: str) -> str:
    return f'"{START + timedelta(hours=hours):%Y-%m-%d %H:%M:%S}" = {{ {inside} }}\n'


def read(hours: float, shown: float) -> str:
    return line(hours, f'temperature = "{shown:.0f} C", probe = "face"')


def fed(hours: float, amount: str, what: str = "split ash") -> str:
    return line(hours, f'fuel = "{amount}", of = "{what}"')


def climbing(until: float, rate: float = 60.0, feed: str = "6 kg") -> str:
    """A fire read every half hour that climbs steadily, with a feed noted just after."""
    count = int(until * 2)
    return "".join(
        read(i / 2, 15 + rate * i / 2) + fed(i / 2 + 0.02, feed) for i in range(1, count + 1)
    )


def review_of(log: str, hours: float, head: str = HEAD, settings: str = ""):
    now = f"{START + timedelta(hours=hours):%Y-%m-%d %H:%M:%S}"
    files = {
        "clays/pit": 'fizz = "none"\n',
        "mixes/plain": 'parts = [{ clay = "pit", mass = "4 kg" }]\n',
        "batches/april": BATCH,
        "kilns/small": KILN,
        "firings/may": head + log,
    }
    context = Context.of(notebook_of(files, now, settings), at(now))
    return context.review("firings/may")


def test_the_wood_rests_on_how_this_kiln_answered_so_far():
    few, many = (review_of(climbing(6.0, feed=f"{mass} kg"), 6.0) for mass in (4, 8))
    a, b = (x.results["next_feed"] for x in (few, many))
    assert a.extra["gain"] > b.extra["gain"]
    assert a.number < b.number
    assert a.low < a.number < a.high
    assert a.n == 11


def test_without_wood_in_the_log_no_amount_is_made_up():
    bare = "".join(read(i / 2, 15 + 30 * i) for i in range(1, 13))
    found = review_of(bare, 6.05).results["next_feed"]
    assert found.value is None
    assert found.needs == ("log: fuel",)
    early = review_of("".join(read(h, 15 + 40 * h) for h in (0.3, 0.6)), 0.65)
    assert early.results["next_feed"].known


def test_wood_noted_hours_ago_tells_nothing_of_what_burns_now():
    log = climbing(3.0) + "".join(read(3 + i / 2, 195 + 30 * i) for i in range(1, 8))
    assert review_of(log, 6.55).results["next_feed"].needs == ("log: fuel",)


def test_a_measure_of_unknown_weight_is_asked_about():
    log = climbing(4.0, feed="1 barrow")
    settings = '[measures]\nbarrow = "90 l"\n'
    head = HEAD.replace('name = "split ash"', 'name = "slab"').replace("split ash", "slab")
    found = review_of(log.replace("split ash", "slab"), 4.1, head, settings)
    assert found.results["next_feed"].needs == ("fuel.1.bulk_density",)


def test_the_amount_is_told_in_the_measure_that_is_counted_in():
    log = climbing(4.0, feed="2 armload")
    found = review_of(log, 4.1, settings='[measures]\narmload = "3 kg"\n').results["next_feed"]
    assert found.extra["measure_name"] == "armload"
    assert found.extra["measure"] == pytest.approx(found.number / 3)


def test_another_fuel_counts_by_the_heat_it_gives():
    review = review_of(read(0.5, 40) + fed(0.6, "2 kg") + fed(0.7, "2 kg", "charcoal"), 0.8)
    case = review.model.case
    heat = heat_of(case, 10.0)
    wood = wood_put_on(case, heat)
    ash, charcoal = heat.kinds
    # 18.75 MJ/kg at 18 % and 29 MJ/kg at 5 %: about 14.9 and 27.4 MJ/kg as fired
    assert wood.mass[0] == pytest.approx(2)
    assert wood.mass[1] == pytest.approx(2 * 27.4 / 14.9, rel=0.02)
    assert charcoal.value.n > ash.value.n


def test_the_climb_aimed_at_is_below_the_one_allowed_and_says_what_sets_it():
    review = review_of(climbing(6.0), 6.1)
    aimed, allowed = review.results["aimed_climb"], review.results["allowed_climb"]
    assert 0 < aimed.number <= 0.75 * allowed.number
    assert aimed.extra["limited_by"]
    assert aimed.extra["finished"] is False


def at_the_peak(held: float) -> str:
    log = climbing(15.0, 62.0)
    steps = int(held * 6)
    return log + "".join(
        read(15 + i / 6, 948) + fed(15.01 + i / 6, "2 kg") for i in range(1, steps + 1)
    )


def test_a_hold_that_ends_before_the_next_reading_is_read_when_it_ends():
    before = review_of(at_the_peak(0.17), 15.2)
    due = datetime.fromisoformat(before.results["next_reading"].value)
    usual = before.model.case.timeline.due
    assert due <= usual
    done = review_of(at_the_peak(2.0), 17.05)
    assert done.results["aimed_climb"].extra["finished"] is True
    assert done.results["aimed_climb"].value is None
    assert "embers" in done.results["aimed_climb"].because
    assert done.results["next_feed"].number == 0


def test_after_the_peak_is_noted_nothing_more_is_fed():
    review = review_of(at_the_peak(1.0) + line(16.1, 'event = "peak"'), 16.2)
    assert "next_feed" not in review.results
    assert "aimed_climb" not in review.results


def ordered(log: str, hours: float) -> float:
    return review_of(log, hours).results["next_feed"].number


@pytest.mark.parametrize("at", [5.98, 6.001, 6.02])
@pytest.mark.parametrize("asked", [6.03, 6.1, 6.17, 6.25])
def test_wood_that_no_reading_shows_yet_is_not_asked_for_again(at, asked):
    log = climbing(5.5) + read(6.0, 375)
    wanted = ordered(log, 6.0)
    assert wanted > 1
    assert ordered(log + fed(at, f"{1.2 * wanted:.2f} kg"), asked) < 0.1 * wanted


def test_half_of_the_wood_put_on_leaves_the_other_half():
    log = climbing(5.5) + read(6.0, 375)
    wanted = ordered(log, 6.0)
    left = ordered(log + fed(6.01, f"{wanted / 2:.2f} kg"), 6.1)
    assert 0.2 * wanted < left < 0.7 * wanted


def test_the_boldest_order_is_by_wood_whose_answer_was_read():
    # 4 kg/h at the fastest: 3 times that over 0.5 h is 6 kg, less the 5 kg put on since
    assert stoking.boldest([1.0, 2.0, 3.0], [4, 4, 5], 2.5, 3.0, 0.3) == pytest.approx(1.0)
    assert stoking.boldest([2.5], [5], 2.5, 3.0, 0.5) == math.inf
