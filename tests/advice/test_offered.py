"""The lines that actions offer are read back as what they ask for."""

from datetime import UTC, datetime
from types import SimpleNamespace

import pytest

from fieldbook.advice.offered import in_liked_units, of_each, readings
from fieldbook.lines.reading import read_line

NOW = datetime(2026, 5, 3, 15, 0, tzinfo=UTC)


def seen(place=None, temperature=None, glow=None):
    return SimpleNamespace(place=place, temperature=temperature, glow=glow)


@pytest.mark.parametrize(
    ("log", "line"),
    [
        ([], "… C"),
        ([seen(None, "20 C")], "… C"),
        ([seen("top", "20 C"), seen("bottom", "30 C"), seen("top", "40 C")], "… C top, … C bottom"),
        ([seen("top", None, "dull red"), seen("bottom", None, "red")], "… top, … bottom"),
        ([seen(None, None, "dull red")], "… top"),
        ([seen(place, "20 C") for place in "abcd"], "… C a, … C b, … C c"),
    ],
)
def test_a_round_of_readings_asks_for_the_places_read_so_far(log, line):
    assert readings(log) == line


def test_what_is_offered_is_understood_once_its_blanks_are_filled():
    line = of_each(["1", "7"], "… kg").replace("…", "3.84")
    first = read_line(line, "batch", NOW)
    assert [part.fields["brick"] for part in (first, *first.more)] == ["1", "7"]
    line = readings([seen("top", "20 C"), seen("bottom", "30 C")]).replace("…", "540")
    first = read_line(line, "firing", NOW)
    assert [part.fields["place"] for part in (first, *first.more)] == ["top", "bottom"]


@pytest.mark.parametrize(
    ("liked", "line"),
    [
        ({}, "#1 … kg marks … mm; … C"),
        ({"temperature": "degC", "mass": "kg", "length": "mm"}, "#1 … kg marks … mm; … C"),
        ({"temperature": "degF", "mass": "lb", "length": "ft"}, "#1 … lb marks … in; … F"),
    ],
)
def test_blanks_are_in_the_units_the_maker_likes(liked, line):
    assert in_liked_units("#1 … kg marks … mm; … C", liked) == line
