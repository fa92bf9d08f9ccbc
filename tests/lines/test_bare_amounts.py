"""An amount without the sign or the word that says what it is of: understood, or asked about."""

from datetime import UTC, datetime

import pytest

from fieldbook.lines.reading import read_line
from fieldbook.text import many

NOW = datetime(2026, 5, 3, 14, 30, tzinfo=UTC)
BURNT = (
    {"fuel": [{"name": "split ash"}, "nothing", {"moisture": "17 %"}]},
    b'\n"2026-05-03 13:00" = { fuel = "1 armload", of = "oak" }\n',
)


def typed(text, kind="firing"):
    return read_line(text, kind, NOW, measures=("armload", "barrow"), record=lambda: BURNT)


FUEL = [
    ("2 armloads split ash", {"fuel": "2 armloads", "of": "split ash"}),
    ("2 armload of Split Ash", {"fuel": "2 armload", "of": "Split Ash"}),
    ("8 kg oak", {"fuel": "8 kg", "of": "oak"}),
    ("5 lb 2 oz oak", {"fuel": "5 lb 2 oz", "of": "oak"}),
    ("2 armloads", {"fuel": "2 armloads"}),
    ("14:10 2 armloads", {"fuel": "2 armloads"}),
    ("2 armloads at 14:10", {"fuel": "2 armloads"}),
    ("2 armloads, steam", {"fuel": "2 armloads", "steam": True}),
    ("640F top 2 armloads oak", {"temperature": "640 F", "place": "top"}),
    ("2 armloads oak 640F", {"fuel": "2 armloads", "of": "oak", "temperature": "640 F"}),
    ("added 3 barrows pine", {"fuel": "3 barrows", "of": "pine"}),
    ("put on 8 kg", {"fuel": "8 kg"}),
]


@pytest.mark.parametrize(("text", "fields"), FUEL)
def test_fuel_is_understood_without_its_sign(text, fields):
    observation = typed(text)
    assert fields.items() <= observation.fields.items()
    assert "fuel" in observation.fields
    assert (observation.note, observation.questions) == (None, ())


@pytest.mark.parametrize(
    "text", ["+2 armloads oak top", "2 armloads oak top", "+2 armload oak bottom"]
)
def test_a_place_is_no_part_of_the_name_of_a_fuel(text):
    observation = typed(text)
    assert observation.fields["of"] == "oak"
    assert observation.note == text.split()[-1]


def test_words_after_the_fuel_that_say_why_are_its_note():
    observation = typed("2 armloads oak because it fell")
    assert observation.fields == {"fuel": "2 armloads", "of": "oak"}
    assert (observation.note, observation.questions) == ("because it fell", ())


UNCLEAR = [
    ("8 kg beech", "8 kg beech: put on? Then write +8 kg beech"),
    ("8 kg ash", "put on? Then write +8 kg ash"),
    ("2 armloads beech", "put on? Then write +2 armloads beech"),
    ("2 armloads not yet", "put on? Then write +2 armloads"),
    ("2 armloads oak left", "fuel left 2 armloads oak"),
    ("8 kg", "Fuel put on is +8 kg, a draw brick is draw 3 8 kg"),
    ("draw 3 black core, 1.92 kg", "1.92 kg of what?"),
    ("#3 1.92 kg", "Is it a draw brick?"),
]


@pytest.mark.parametrize(("text", "question"), UNCLEAR)
def test_what_may_be_no_fuel_is_asked_about(text, question):
    observation = typed(text)
    assert question in " ".join(observation.questions)
    assert "fuel" not in observation.fields


@pytest.mark.parametrize("text", ["10 l water", "2 cracks in the wall", "added a lot", ": 8 kg"])
def test_what_is_no_fuel_is_a_note(text):
    observation = typed(text)
    assert (observation.fields, observation.questions) == ({}, ())


def test_no_fuel_is_put_on_a_batch():
    assert typed("2 armloads oak", "batch").fields == {}


THOUSANDS = [
    ("firing", "1 050 C top", "1050 C"),
    ("firing", "top 1 050 C", "1050 C"),
    ("firing", "1'050 °C", "1050 °C"),
    ("firing", "temp 1 050 c", "1050 C"),
    ("firing", "1 922.5 F", "1922.5 F"),
    ("firing", "+1 200 kg oak", "1200 kg"),
    ("firing", "draw 3 1 920 g", "1920 g"),
    ("batch", "#3 3 480 g", "3480 g"),
    ("test", "#3 dry 2 510 g", "2510 g"),
]


@pytest.mark.parametrize(("kind", "text", "likely"), THOUSANDS)
def test_a_mark_between_the_thousands_is_asked_about(kind, text, likely):
    assert f"Is it {likely}?" in " ".join(typed(text, kind).questions)


@pytest.mark.parametrize(
    ("kind", "text", "fields"),
    [
        ("firing", "draw 3 500 g", {"draw": "3", "mass": "500 g"}),
        ("firing", "cone 6 700 C", {"cone": "6", "temperature": "700 C"}),
        ("firing", "14:10 640 F", {"temperature": "640 F"}),
        ("batch", "#3 500 g", {"brick": "3", "mass": "500 g"}),
        ("firing", "settled 1 1/2 in", {"settled": "1 1/2 in"}),
    ],
)
def test_a_name_before_an_amount_is_no_thousand(kind, text, fields):
    observation = typed(text, kind)
    assert (observation.fields, observation.questions) == (fields, ())


@pytest.mark.parametrize(
    ("word", "number", "said"),
    [
        ("armload", 2, "armloads"),
        ("armload", 1, "armload"),
        ("armload", 0.8, "armload"),
        ("armloads", 2, "armloads"),
        ("box", 3, "boxes"),
        ("bunch", 3, "bunches"),
        ("lorry", 2, "lorries"),
        ("tray", 2, "trays"),
        ("glass", 2, "glasses"),
        ("m3", 2, "m3"),
        ("brouettée", 2, "brouettée"),
    ],
)
def test_a_measure_is_said_in_the_plural_of_more_than_one(word, number, said):
    assert many(word, number) == said
