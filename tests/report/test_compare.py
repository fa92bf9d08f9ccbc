"""Entries side by side: by meaning, and with the bounds of both."""

import shutil
from pathlib import Path

import pytest

from fieldbook.advice.context import Context
from fieldbook.advice.results import Result
from fieldbook.lines.toml_text import read_key
from fieldbook.report.compare import (
    DIFFERS,
    DONE,
    SAME,
    UNKNOWN,
    WITHIN,
    Side,
    compare,
    compare_lines,
    verdict,
)
from fieldbook.report.outcomes import share_bounds
from fieldbook.report.units import Units
from fieldbook.store.folder import Store

SAMPLE = Path(__file__).parents[2] / "sample_notebook"


def number(value, **bounds):
    return Result(name="x", value=value, unit="%", **bounds)


@pytest.mark.parametrize(
    ("one", "other", "expected"),
    [
        (number(10.0), number(10.0), SAME),
        (number(10.0, plus_minus=3.0), number(14.9, plus_minus=4.0), WITHIN),
        (number(10.0, plus_minus=3.0), number(15.1, plus_minus=4.0), DIFFERS),
        # The sides that face each other count: 4 up and 3 down, so 5 apart is the limit.
        (number(10.0, low=9.9, high=14.0), number(14.9, low=11.9, high=99.0), WITHIN),
        (number(10.0, low=0.0, high=10.1), number(14.9, low=14.8, high=99.0), DIFFERS),
        (number(10.0, interval=(7.0, 13.0)), number(14.9, interval=(10.9, 18.9)), WITHIN),
        (number("good"), number("good"), SAME),
        (number("good"), number("doubtful"), DIFFERS),
        (number(10.0), None, UNKNOWN),
        (number(10.0), number(None), UNKNOWN),
    ],
)
def test_a_difference_counts_only_beyond_the_bounds_of_both(one, other, expected):
    assert verdict([one, other]) == expected
    assert verdict([other, one]) == expected


def test_of_many_any_two_count():
    loose = number(2.1, plus_minus=5.0)  # the highest, and so wide that it agrees with both
    assert verdict([number(1.0, plus_minus=0.1), number(2.0, plus_minus=0.1), loose]) == DIFFERS
    assert verdict([number(1.0, plus_minus=0.8), number(2.0, plus_minus=0.8), loose]) == WITHIN
    middle = number(10.5, plus_minus=0.1)
    assert verdict([number(10.0, plus_minus=0.1), middle, number(11.0, plus_minus=0.1)]) == DIFFERS


@pytest.mark.parametrize(
    ("part", "total", "low", "high"),
    [
        # Newcombe 1998, Stat. Med. 17, 857-872, table I, method 3 (Wilson), to its four digits.
        (81, 263, 0.2553, 0.3662),
        (15, 148, 0.0624, 0.1605),
        (0, 20, 0.0000, 0.1611),
        (1, 29, 0.0061, 0.1718),
    ],
)
def test_bounds_of_a_share_agree_with_print(part, total, low, high):
    assert share_bounds(part, total) == pytest.approx((low, high), abs=5e-5)


@pytest.fixture(scope="module")
def yard(tmp_path_factory):
    """A copy of the sample yard with two kilns more; nothing is written to it afterwards."""
    folder = tmp_path_factory.mktemp("compared") / "yard"
    shutil.copytree(SAMPLE, folder)
    for address, text in MORE.items():
        (folder / f"{address}.toml").write_text(text, encoding="utf-8")
    store = Store(folder)
    now = read_key("2026-10-01 12:00", store.zone)
    return Context.of(store.notebook(now), now)


ASH = '{ name = "ash", moisture = "18 %" }'
OAK = '{ name = "oak", moisture = "25 %" }'
WET = '{ name = "oak", moisture = "30 %" }'
MORE = {
    "firings/ash-oak": f'kiln = "one"\nload = []\nfuel = [{ASH}, {OAK}]\n',
    "firings/oak-ash": f'kiln = "one"\nload = []\nfuel = [{WET}, {ASH}]\n',
    "kilns/one": 'length = "10 in"\nwidth = "36 in"\nchimney = "2 m"\n',
    "kilns/two": 'length = "254 mm"\nwidth = "1.2 m"\n',
}


def compared(yard, *addresses):
    sides = [Side(a, yard.review(a), yard) for a in addresses]
    return compare(sides, Units.for_notebook(yard.notebook.settings))


def rows(found):
    return {row.name: row for row in found}


def test_a_firing_is_told_by_what_stands_behind_its_batch(yard):
    found = rows(compared(yard, "firings/2026-06-06", "firings/2026-08-22").done)
    assert found["mix"].said[0].startswith("75 % bank-red, 25 % ")
    assert found["mix"].verdict == DONE
    assert found["peak"].verdict == DONE
    assert found["moisture when set"].results[0].unit == "%"
    assert "load" not in " ".join(found)


def test_what_differs_by_less_than_it_was_measured_to_is_the_same(yard):
    found = rows(compared(yard, "firings/2026-06-06", "firings/2026-08-22").done)
    assert found["setting gap"].said == ("12 to 15 mm", "~15 mm")
    assert found["setting gap"].verdict == WITHIN
    assert found["setting courses"].verdict == DONE


def test_the_same_length_in_two_units_is_the_same(yard):
    found = rows(compared(yard, "kilns/one", "kilns/two").done)
    assert found["length"].verdict in (SAME, WITHIN)
    assert found["width"].verdict == DONE


def test_what_one_did_not_write_is_not_called_a_difference(yard):
    found = compared(yard, "kilns/one", "kilns/two")
    assert [row.name for row in found.done_differently] == ["width"]
    assert [row.name for row in found.done_by_one] == ["chimney"]


def test_a_part_that_is_not_in_a_mix_is_none_of_it(yard):
    found = rows(compared(yard, "mixes/bank-3-1", "mixes/reach-bank").done)
    assert found["share of reach-blue"].said[0] == "0 %"
    assert found["share of reach-blue"].verdict == DONE


def test_sound_bricks_have_the_bounds_of_a_share(yard):
    found = rows(compared(yard, "firings/2026-05-09", "firings/2026-06-06").out)
    assert found["yield"].verdict == DIFFERS
    assert "(28 % to 38 %)" in found["yield"].said[0]
    near = rows(compared(yard, "firings/2026-06-06", "firings/2026-08-22").out)
    assert near["yield"].verdict == WITHIN


def test_tests_are_told_with_the_fire_their_bricks_came_from(yard):
    found = rows(compared(yard, "tests/june-hard", "tests/july-black").done)
    assert found["firing: peak"].said == ("954 ± 8 °C", "939 ± 8 °C")
    out = rows(compared(yard, "tests/june-hard", "tests/july-black").out)
    assert out["cold_absorption"].verdict == DIFFERS
    assert out["modulus_of_rupture"].verdict == WITHIN


def test_fuels_are_told_by_their_names_whatever_their_order(yard):
    found = rows(compared(yard, "firings/ash-oak", "firings/oak-ash").done)
    assert found["fuel name"].said == ("ash, oak", "ash, oak")
    assert found["fuel ash moisture"].verdict == SAME
    assert found["fuel oak moisture"].said == ("25 %", "30 %")
    assert found["fuel oak moisture"].verdict == DONE


def test_a_clay_is_told_by_what_was_found(yard):
    found = compared(yard, "clays/bank-red", "clays/reach-blue")
    assert {row.name for row in found.done} == {"place", "depth"}
    out = rows(found.out)
    assert out["liquid limit"].verdict == DIFFERS
    assert len([name for name in out if name.replace("_", " ") == "loss on ignition"]) == 1


def test_a_fire_under_way_is_held_against_one_that_is_out_by_what_both_have(yard):
    names = ("firings/2026-06-27", "firings/2026-09-12")
    found = compared(yard.as_of(read_key("2026-09-12 14:30", yard.now.tzinfo)), *names)
    text = "\n".join(compare_lines(names, found, 0))
    assert text.startswith("firings/2026-09-12 is under way")
    assert "unknown" not in text
    assert not {"next_feed", "face_temperature", "fan_power"} & {row.name for row in found.out}
    assert "known of firings/2026-06-27 alone: kiln efficiency" in text
    told = [row.name for row in (*found.done, *found.out)]
    assert len(told) == len(set(told))
