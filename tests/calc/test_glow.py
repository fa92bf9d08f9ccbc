"""Glow colour: wide bands, by the list that is named."""

import pytest

from fieldbook.calc.glow import colour_of, glow, lists, words
from fieldbook.errors import NotPossible, Unreadable
from fieldbook.tables import load


def test_cherry_runs_over_all_lists_where_none_is_named():
    # lists of Chapman, Stirling, White & Taylor, a shop chart and a refractories page
    band = glow("cherry red")
    assert (band.low, band.high) == (690, 900)


def test_a_named_list_gives_its_own_band():
    band = glow("bright cherry", "chapman-1972")
    assert (band.low, band.high) == (851, 1001)  # 871 to 981 printed, never narrower than ± 75
    assert glow("dull red", "stirling-1905").low == 699 - 75


BANDS = [(row["name"], colour) for row in load("glow")["list"] for colour in row["bands"]]


@pytest.mark.parametrize(("name", "word"), BANDS)
def test_no_band_is_narrower_than_seventy_five_either_way(name, word):
    band = glow(word, name)
    assert band.high - band.low >= 150
    assert band.source


def test_every_colour_of_a_list_is_a_colour_of_the_table():
    assert {colour for _, colour in BANDS} <= set(words().values())
    assert set(lists()) == {name for name, _ in BANDS}


def test_red_seen_in_the_sun_is_a_bound_only():
    band = glow("cherry red", "chapman-1972", "sun")
    assert (band.low, band.high) == (581, None)
    assert band.evidence().side == "above"


def test_first_red_shows_at_less_in_the_dark():
    assert glow("first red", light="dark").low < glow("first red", light="shade").low
    assert glow("first red", light="dark").low <= 400


def test_words_are_read_as_people_write_them():
    assert colour_of("Dark  Red") == "dull red"
    assert colour_of("cherry") == "cherry red"
    with pytest.raises(Unreadable):
        colour_of("mauve")
    with pytest.raises(NotPossible):
        glow("orange", "no such list")
    with pytest.raises(NotPossible):
        glow("orange", light="moon")
