"""Figures that no reading can be are asked about before they are kept."""

from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldbook.lines.limits import LIMITS, canonical, questions, wrong_with
from fieldbook.lines.reading import read_line
from fieldbook.lines.scan import UNITS
from fieldbook.quantities import read_amount

NOW = datetime(2026, 5, 3, 14, 30, tzinfo=UTC)
MARKED = {"1": {"mass": "4.2 kg", "marks": "150.0 mm"}, "2": {}}
SPECIMENS = {"1": {"dry_mass": "2.51 kg"}, "2": {"soaked_mass": "28 kg"}}


def typed(text, kind="firing", **known):
    return read_line(text, kind, NOW, **{"measures": ("armload",)} | known)


DOUBTED = [
    ("firing", "5000 C top", "hotter than any wood fire"),
    ("firing", "2700F", "hotter than any wood fire"),
    ("firing", "> 1500 C", "hotter than any wood fire"),
    ("firing", "900 to 1500 C", "hotter than any wood fire"),
    ("firing", "-200 C", "colder than any weather"),
    ("firing", "air 180 C", "hotter than any weather"),
    ("firing", "charge 160%", "more than the whole"),
    ("firing", "oxygen 30 %", "more oxygen than air has"),
    ("firing", "settled 40 m", "more than any stack moves"),
    ("firing", "draw 3 192 kg", "heavier than any one brick"),
    ("firing", "draw 3 marks 141 m", "longer than any brick"),
    ("firing", "+5000 kg oak", ""),
    ("firing", "+50000 kg oak", "more than one load of fuel (20 t)"),
    ("firing", "+500 m3 oak", "more than one load of fuel (50 m³)"),
    ("firing", "+5000 armload oak", "more than anyone counts"),
    ("firing", "hours 3000", "more work than one line tells of"),
    ("firing", "hours 999 h 59 min", ""),
    ("firing", "hours 999 h 90 min", "999 h 90 min is more work than one line tells of"),
    ("firing", "hours 3 h 200 min", "200 min make 1 h or more"),
    ("firing", "+5 lb 40 oz oak", "40 oz make 1 lb or more"),
    ("firing", "settled 1 ft 12 in", "12 in make 1 ft or more"),
    ("batch", "#2 5 lb 40 oz", "40 oz make 1 lb or more"),
    ("batch", "#2 109 lb 40 oz", "109 lb 40 oz is heavier than any one brick"),
    ("batch", "#2 5 lb 15 oz", ""),
    ("firing", "sound 1800", "That makes 1800, and there were 310"),
    ("firing", "sound 300 cracked 14", "That makes 314, and there were 310"),
    ("firing", "sound 296 cracked 14", ""),
    ("batch", "humidity 132%", "more than the whole"),
    ("batch", "#1 30 kg", "30 kg? This brick had 4.2 kg as moulded."),
    ("batch", "#1 1.4 kg fired 2026-05-03", "had 4.2 kg as moulded"),
    ("batch", "#1 2.6 kg fired 2026-05-03", ""),
    ("batch", "#1 -3 kg", "lighter than any brick"),
    ("batch", "#1 marks 15 mm", "had 150.0 mm as moulded"),
    ("batch", "#1 marks 138 mm", ""),
    ("batch", "#2 30 kg", ""),
    ("batch", "#2 300 kg", "heavier than any one brick"),
    ("batch", "cracked 400", "That makes 400, and there were 310"),
    ("test", "#1 soaked 28 kg", "1016 % of water? This brick had 2.51 kg dry."),
    ("test", "#1 soaked 2.8 kg", ""),
    ("test", "#1 soaked 3.52 kg", "40 % of water? This brick had 2.51 kg dry."),
    ("test", "#1 soaked 3.36 kg", ""),
    ("test", "#1 boiled 3.52 kg", ""),
    ("test", "#1 boiled 3.70 kg", "47 % of water?"),
    ("test", "#3 dry 2.51kg soaked 3.52kg", "40 % of water?"),
    ("test", "#1 dry 2.15 kg", ""),
    ("test", "#2 dry 2.51 kg", "2.51 kg? This brick had 28 kg soaked."),
    ("test", "#1 suspended 2.6 kg", "This brick had 2.51 kg dry"),
    ("test", "#1 suspended 1.5 kg", ""),
    ("test", "#1 bending 90000 kN", "more than any brick bears"),
    ("test", "#1 crushing 300 kN", ""),
    ("test", "#1 length 9 m", "longer than any brick"),
    ("test", "#1 freeze loss 120%", "more than the whole"),
    ("build", "5000 C hot face", "hotter than any wood fire"),
]


@pytest.mark.parametrize(("kind", "text", "doubt"), DOUBTED)
def test_what_cannot_be_is_asked_about_and_all_else_is_not(kind, text, doubt):
    bricks = SPECIMENS if kind == "test" else MARKED
    asked = typed(text, kind, bricks=bricks, bricks_there=310).questions
    assert bool(asked) == bool(doubt), asked
    assert doubt in " ".join(asked)
    assert len(asked) <= 1 and max(map(len, asked), default=0) <= 82, "seen with its way out"


@pytest.mark.parametrize(("kind", "text"), [case[:2] for case in DOUBTED if case[2]])
@pytest.mark.parametrize("mark", [" !", "!"])
def test_a_line_that_ends_in_an_exclamation_mark_is_kept_as_it_stands(kind, text, mark):
    bricks = SPECIMENS if kind == "test" else MARKED
    plain = typed(text, kind, bricks=bricks, bricks_there=310)
    kept = typed(text + mark, kind, bricks=bricks, bricks_there=310)
    assert kept.questions == ()
    assert (kept.fields, kept.note) == (plain.fields, None)


def test_a_note_keeps_its_exclamation_mark():
    assert typed("steam, what a smell!").note == "what a smell!"


def test_a_measure_that_is_not_defined_is_asked_about():
    (question,) = typed("+3 barrows oak", measures=()).questions
    assert 'fieldbook set notebook measures.barrow="… kg"' in question
    (question,) = typed("+3 wheelbarrow oak").questions
    assert "armload" in question
    kept = typed("+3 barrows oak!", measures=())
    assert (kept.fields, kept.questions) == ({"fuel": "3 barrows", "of": "oak"}, ())


def test_a_reading_without_a_place_says_what_it_is_taken_for():
    known = {"places": ("top", "bottom"), "usual_place": lambda: "the kiln as a whole"}
    assert "no place named: taken for the kiln as a whole" in typed("1040 C", **known).words
    assert "no place named" not in typed("1040 C top", **known).words
    assert "no place named" not in typed("1040 C flue", **known).words
    assert "no place named" not in typed("steam", **known).words
    assert "no place named" not in typed("1040 C", places=("top",)).words


@pytest.mark.parametrize(
    ("dimension", "unit"),
    [
        (dimension, unit)
        for dimension, units in UNITS.items()
        for unit in units.split()
        if dimension != "speed"
    ],
)
def test_units_are_of_the_size_they_have_everywhere_else(dimension, unit):
    size = canonical(f"7.5 {unit}", dimension)
    assert size == pytest.approx(read_amount(f"7.5 {unit}", (dimension,)).value, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "dimension", "size"),
    [
        ("9 1/2 in", "length", 0.2413),
        ("1/2 lb", "mass", 0.226796185),
        ("5 lb 2 oz", "mass", 5.125 * 0.45359237),
        ("5 lb 40 oz", "mass", 7.5 * 0.45359237),
        ("3 h 200 min", "time", 3 + 200 / 60),
        ("5 ft 2 in", "length", 62 * 0.0254),
        ("90 to 96 mm", "length", 0.096),
        ("90 mm to 96 mm", "length", 0.096),
        ("~4 lb", "mass", 4 * 0.45359237),
        ("4.1 ± 0.1 kg", "mass", 4.1),
        ("> 1000 C", "temperature", 1000.0),
        ("5,5 kg", "mass", 5.5),
        ("41 kg", "force", 41 * 9.80665),
        ("-3 C", "temperature", -3.0),
        ("1040 deg F", "temperature", 560.0),
        ("high", "temperature", None),
        ("3 barrow", "mass", None),
        ("1/0 kg", "mass", None),
    ],
)
def test_every_form_of_an_amount_is_read_roughly(text, dimension, size):
    found = canonical(text, dimension)
    assert found is None if size is None else found == pytest.approx(size, rel=1e-12)


@pytest.mark.parametrize("field", LIMITS)
def test_each_limit_questions_what_lies_beyond_it_alone(field):
    limit = LIMITS[field]
    assert wrong_with(field, limit.most) == wrong_with(field, limit.least) == ""
    assert wrong_with(field, limit.most * 1.01) == limit.most_words
    assert wrong_with(field, limit.least - 0.0001) == limit.least_words
    assert wrong_with("anything else", 1e9) == ""


@pytest.mark.parametrize(
    ("kind", "text", "likely"),
    [
        ("firing", "1800 C top", "1800 F"),
        ("firing", "5000 C top", ""),
        ("firing", "draw 3 1920 kg", "1920 g"),
        ("firing", "draw 3 marks 141 m", "141 mm"),
        ("firing", "settled 40 m", "40 mm"),
        ("test", "#1 bending 9000 kN", "9000 N"),
        ("firing", "oxygen 30 %", ""),
    ],
)
def test_the_unit_most_likely_meant_is_offered(kind, text, likely):
    (question,) = typed(text, kind).questions
    assert (f"Is it {likely}?" in question) if likely else ("Is it" not in question)
    assert question.endswith("End with ! to keep it.")


AMOUNTS = st.one_of(st.text(max_size=40), st.text("0123456789.,/- to±~><kgmCF%", max_size=20))
FIELDS = st.sampled_from([*LIMITS, "fuel", "fuel_left", "note"])


@given(st.dictionaries(FIELDS, AMOUNTS, max_size=4), st.dictionaries(FIELDS, AMOUNTS, max_size=4))
def test_no_text_stops_the_asking(fields, known):
    assert all(isinstance(question, str) for question in questions(fields, known))


@given(st.floats(0.01, 1e5), st.sampled_from(["kg", "g", "lb", "oz"]))
def test_an_amount_as_it_is_shown_is_the_amount_as_it_is_read(number, unit):
    text = f"{number:.2f} {unit}"
    assert canonical(text, "mass") == pytest.approx(read_amount(text, "mass").value, rel=1e-12)
