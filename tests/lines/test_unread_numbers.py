"""A number that stands where a reading would is not made a note without a question."""

from datetime import UTC, datetime

import pytest

from fieldbook.lines.reading import read_line

NOW = datetime(2026, 5, 3, 14, 30, tzinfo=UTC)


def typed(text, kind="firing"):
    bricks = ("1", "2", "3") if kind == "batch" else ()
    known = {"places": ("bottom", "top"), "measures": ("armload",), "bricks": bricks}
    return read_line(text, kind, NOW, **known)


ASKED = [
    ("firing", "330 in the middle", "Write 330 F or 330 C"),
    ("firing", "330C top;400 bottom", "Write 400 F or 400 C"),
    ("firing", "bottom 400C, top is 330C", "Is 330C a reading?"),
    ("firing", "(330C top)", "Is 330C a reading?"),
    ("firing", "330 ºC top", "Write 330 F or 330 C"),
    ("firing", "330 flue", "Write 330 F or 330 C"),
    ("firing", "flue: 395C", "Is 395C a reading?"),
    ("firing", "395C bottom/322C top", "Is 322C a reading?"),
    ("firing", "400/330C", "Write each reading with its own C"),
    ("firing", "+1 armload, +1 armload", "two of fuel"),
    ("test", "#1 2.51 kg", "Dry or soaked?"),
    ("firing", "395 bottom 322 top +2 armload", "Write 395 F or 395 C"),
    ("firing", "395C bottom 322 top", "Write 322 F or 322 C"),
    ("firing", "bottom 395 top 322", "Write 395 F or 395 C"),
    ("firing", "395 and 322 top", "Write 395 F or 395 C"),
    ("firing", "395-400 top", "395-400 of what? Write F or C after it"),
    ("firing", "395 cone 010 bent", "Write 395 F or 395 C"),
    ("firing", "steam, 395", "Write 395 F or 395 C"),
    ("firing", "peak 395", "Write 395 F or 395 C"),
    ("firing", "395° top", "Write 395 F or 395 C"),
    ("firing", "395bottom", "Write 395 F or 395 C"),
    ("firing", "325V top", "325V of what? Write 325 F or 325 C"),
    ("firing", "32OC top", "32OC of what? Write 320 C or 32 C"),
    ("firing", "1o40F top", "1o40F of what? Write 1040 F;"),
    ("firing", "the fire got to 395 top", "Write 395 F or 395 C"),
    ("firing", "after the stoke 330C top", "Is 330C a reading? Write it first"),
    ("firing", "395 deg", "Write 395 F or 395 C"),
    ("firing", "C395 top", "Write 395 F or 395 C"),
    ("firing", "395/322", "Write F or C after it"),
    ("firing", "bottom=395 top=322", "of what?"),
    ("firing", "395 now", "Write 395 F or 395 C"),
    ("batch", "18C 60%", "Is 18C the air?"),
    ("batch", "mass 3.30kg", "Write #1 3.30 kg"),
    ("test", "soaked 2.8", "Write #1 soaked 2.8 kg"),
    ("batch", "3.30 3.36 3.28", "3.30 of what? Write #1 3.30 kg"),
    ("batch", "3.28kg", "3.28kg of what? Write #1 3.28 kg"),
    ("batch", "7.2 lb", "7.2 lb of what? Write #1 7.2 lb"),
    ("batch", "1 3.30 kg", "Is 1 a brick? Write #1 and its mass"),
    ("batch", "#1 3.30 #2 3.36 #3 3.28kg", "#1 3.30: 3.30 of what?"),
    ("test", "2.51 2.80", "2.51 of what? Write #1 dry 2.51 kg"),
]


@pytest.mark.parametrize(("kind", "text", "asked"), ASKED)
def test_a_number_where_a_reading_would_stand_is_asked_about(kind, text, asked):
    (question,) = typed(text, kind).questions
    assert asked in question
    assert len(question) <= 76, "seen whole on a narrow screen"


@pytest.mark.parametrize(("kind", "text", "asked"), ASKED[:-2])
def test_a_colon_before_it_makes_it_a_note(kind, text, asked):
    observation = typed(f": {text}", kind)
    assert (observation.fields, observation.note, observation.questions) == ({}, text, ())


def test_an_exclamation_mark_behind_it_keeps_it_as_typed():
    observation = typed("395 bottom 322 top!")
    assert (observation.fields, observation.questions) == ({}, ())
    assert observation.note == "395 bottom 322 top!"


PROSE = [
    ("firing", "wind got up at the 3 east flues"),
    ("firing", "course 4 looks dark"),
    ("firing", "looked at bricks 4, 5"),
    ("firing", "2 cracks in the wall"),
    ("firing", "2 top courses fell"),
    ("firing", "10 l water thrown on the ash"),
    ("firing", "a gap of 10 mm left"),
    ("firing", "12V battery low"),
    ("firing", "3rd stoke of ash went in"),
    ("firing", "3b looks dull"),
    ("firing", "a few minutes ago the wind got up"),
    ("firing", "mixed 60:40 at the door"),
    ("firing", "1/2 the grate is clear"),
    ("firing", "door 3"),
    *(("firing", text) for text in ("20min left", "gap 40mm left", "12Pa at the flue", "3 left")),
    *(
        ("firing", text)
        for text in ("wind 12kmh west", "2 steam holes opened", "10 red bricks seen")
    ),
    *(("batch", text) for text in ("10 turned", "turned 40", "3/4 turned", "4x60")),
    ("batch", "turned 3 times"),
    ("batch", "moved 2026-05-a under the roof"),
    ("kiln", "395 top"),
]


@pytest.mark.parametrize(("kind", "text"), PROSE)
def test_prose_with_a_number_in_it_is_a_note(kind, text):
    assert typed(text, kind).questions == ()


def test_a_colon_after_a_place_parts_it_from_its_reading():
    observation = typed("bottom: 395C top: 322C")
    assert observation.fields == {"place": "bottom", "temperature": "395 C"}
    assert observation.more[0].fields == {"place": "top", "temperature": "322 C"}
    assert observation.questions == ()


def test_a_colon_after_a_brick_parts_it_from_its_mass():
    assert typed("#1: 3.3kg", "batch").fields == {"brick": "1", "mass": "3.3 kg"}
    assert typed("#1: dry 2.51 kg", "test").fields == {"dry_mass": "2.51 kg"}
