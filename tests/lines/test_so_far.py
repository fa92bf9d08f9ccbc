"""What a line cannot say after what its entry holds so far is asked about before it is kept."""

import tomllib
from datetime import datetime, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldbook.advice.context import Context
from fieldbook.lines.faces import bricks_taken
from fieldbook.lines.reading import read_line
from fieldbook.lines.so_far import doubts
from tests.advice.build_records import notebook_of

NOW = datetime(2026, 9, 12, 14, 30, tzinfo=timezone(timedelta(hours=1)))
BURNING = """
"2026-09-12 01:40" = { event = "lit", by = "wren" }
"2026-09-12 13:15:00+01:00" = { temperature = "608 F", place = "bottom" }
"2026-09-12 14:10:00+01:00" = {temperature="311 C",place="top"}
"2026-09-12 14:12:00+01:00" = { temperature = "900 C", probe = "flue" }
"""
SEALED = """
"2026-09-10T05:00" = { event = "lit" }
"2026-09-10 22:30:00+01:00" = { event = "sealed", note = "daubed" }
"2026-09-10 22:00:00+01:00" = { event = "peak", temperature = "940 C" }
"""
WEIGHED = """
"2026-09-11 08:32:00+01:00" = { brick = "1", mass = "3438 g", marks = "145.5 mm" }
"2026-09-11 08:33:00+01:00" = { brick = "2", mass = "3471 g" }
"2026-09-12 08:20:00+01:00" = { air = "15 C", note = "dull" }
"2026-09-12 08:22:00+01:00" = { brick = "1", mass = "3383 g" }
"""
RAIN = '"2026-09-12 09:00" = { rain = true }\n'
WALL = {
    "form": "wall",
    "length": "5.4 m",
    "height": "0.90 m",
    "leaves": 1,
    "brick": {"length": "215 mm", "width": "102 mm", "height": "65 mm"},
}
MARKED = {"marked": {"1": {"mass": "3585 g"}, "3": {"mass": "3588 g"}, "4": 7}}
HEADS = {"build": WALL, "batch": MARKED}
LAID = '"2026-07-11 16:00:00+01:00" = { laid = 90 }\n"2026-07-12 17:30" = { laid = 140 }\n'


def typed(text, kind, log="", head=None, now=NOW):
    return read_line(text, kind, now, record=lambda: (head or {}, log.encode()))


ASKED = [
    ("firing", "unloaded", BURNING, "The kiln read 311 C at 14:10"),
    ("firing", "sound 12", BURNING, "Out so hot?"),
    ("firing", "unloaded 40 C top", BURNING, "The kiln read 608 F at 13:15"),
    ("firing", "lit", BURNING, "A second lit? The log has one at 01:40"),
    ("firing", "lit", SEALED, "A second lit? The log has one at 2026-09-10 05:00"),
    ("firing", "sealed", SEALED, "A second sealed? The log has one at 2026-09-10 22:30"),
    (
        "firing",
        "yesterday 03:00 peak",
        SEALED,
        "A second peak? The log has one at 2026-09-10 22:00",
    ),
    ("firing", "peak", SEALED.replace("peak", "opened"), "Which time? opened stands before it"),
    (
        "firing",
        "2026-09-09 03:00 unloaded",
        SEALED,
        "peak stands after it, 2026-09-10 22:00",
    ),
    ("firing", "2026-09-10 21:00 opened", SEALED, "peak stands after it, 22:00"),
    ("batch", "#3 3.80 kg", WEIGHED, "3.80 kg? 3588 g as moulded. Log the rain"),
    ("batch", "#1 3.78 kg", WEIGHED, "3.78 kg? 3383 g when last weighed."),
    ("batch", "#2 3.66 kg", WEIGHED, "3.66 kg? 3471 g when last weighed."),
    ("batch", "2026-09-11 18:00 #1 3.60 kg", WEIGHED, "3438 g when last weighed"),
    ("build", "laid 5000", LAID, "laid 5000? That makes 5230, and its sizes take some 350"),
    ("build", "laid 600", "", "Its sizes take some 350"),
]
LET_BE = [
    ("firing", "unloaded", ""),
    ("firing", "lit", ""),
    ("firing", "unloaded", SEALED),
    ("firing", "unloaded 40 C", BURNING),
    ("firing", "2026-09-12 02:00 sealed", BURNING),
    ("firing", "opened", SEALED),
    ("firing", "cooling", SEALED),
    ("firing", "12 cracked", SEALED),
    ("batch", "#1 3.40 kg", WEIGHED),
    ("batch", "#1 3.36 kg", WEIGHED),
    ("batch", "#3 3.70 kg", WEIGHED),
    ("batch", "#3 3.80 kg", RAIN),
    ("batch", "#4 3.80 kg", WEIGHED),
    ("batch", "#1 3.78 kg", WEIGHED + RAIN),
    ("batch", "#1 3.78 kg rain", WEIGHED),
    ("batch", "#1 3.78 kg", WEIGHED + RAIN.replace("rain", "frost")),
    ("batch", "#1 3.78 kg", WEIGHED + RAIN.replace("rain = true", 'note = "fell in the dew"')),
    ("batch", "#1 3.78 kg fired 2026-09-12", WEIGHED),
    ("batch", "#2 3.60 kg", WEIGHED),
    ("build", "laid 120", LAID),
    ("test", "#1 laid flat", ""),
]


@pytest.mark.parametrize(("kind", "text", "log", "doubt"), ASKED)
def test_what_the_log_speaks_against_is_asked_about(kind, text, log, doubt):
    (question,) = typed(text, kind, log, HEADS.get(kind)).questions
    assert doubt in question
    assert question.lower().endswith("end with ! to keep it.")
    assert len(question) <= 80, "seen with its way out"


@pytest.mark.parametrize(("kind", "text", "log", "doubt"), ASKED)
def test_a_line_that_ends_in_an_exclamation_mark_is_kept(kind, text, log, doubt):
    assert typed(f"{text}!", kind, log, HEADS.get(kind)).questions == ()


@pytest.mark.parametrize(("kind", "text", "log"), LET_BE)
def test_what_may_be_is_not_asked_about(kind, text, log):
    assert typed(text, kind, log, HEADS.get(kind)).questions == ()


def test_a_kiln_is_given_the_time_it_takes_to_cool():
    later = NOW + timedelta(hours=7)
    assert "311 C at 14:10" in typed("unloaded", "firing", BURNING, now=later).questions[0]
    assert typed("unloaded", "firing", BURNING, now=NOW + timedelta(days=1)).questions == ()


class EndAlone:
    """A record whose log is asked for its end."""

    def __call__(self):
        raise AssertionError

    def recent(self):
        return BURNING.encode()


def test_a_reading_asks_for_the_end_of_the_log_alone():
    assert read_line("320C top", "firing", NOW, record=EndAlone()).questions == ()
    (question,) = read_line("14:12 700C top", "firing", NOW, record=EndAlone()).questions
    assert question == "700 C? The top read 311 C at 14:10. End with ! to keep it."
    assert read_line("steam, fan on", "firing", NOW, record=EndAlone()).questions == ()


def test_the_line_ends_of_another_system_are_read():
    assert "has one at 01:40" in typed("lit", "firing", BURNING.replace("\n", "\r\n")).questions[0]


def test_the_newest_lines_of_a_long_log_are_looked_at():
    minutes = range(20_000)
    log = "".join(
        f'"{NOW - timedelta(minutes=20_000 - i)}" = {{ temperature = "{20 + i / 40} C" }}\n'
        for i in minutes
    )
    (question,) = typed("unloaded", "firing", "\n" + log).questions
    assert "The kiln read 519.975 C at 14:29" in question


def test_a_log_that_cannot_be_read_asks_nothing():
    assert (
        typed("lit", "firing", 'event = lit\n"2026" = {event = "lit"}\n\xff event').questions == ()
    )


BRICK = 'brick = { length = "215 mm", width = "102.5 mm", height = "65 mm" }'
FORMS = [
    'form = "wall"\nlength = "2 m"\nheight = "1 m"\nleaves = 2',
    'form = "flat lining"\nlength = "2 m"\nheight = "40 in"',
    'form = "paving"\nlength = "3 m"\nwidth = "2 m"',
    'form = "arch"\nspan = "600 mm"\nrise = "300 mm"',
    'form = "arch"\nspan = "2 m"\nrise = "400 mm"\nlength = "1.5 m"\nleaves = 2',
    'form = "dome"\ninside_diameter = "1.2 m"',
    'form = "dome"\ninside_diameter = "92 cm"\nrise = "38 cm"\nleaves = 2',
    'form = "cylinder"\ninside_diameter = "600 mm"\nheight = "1.5 m"',
]


@pytest.mark.parametrize("form", FORMS)
def test_no_build_takes_more_than_its_faces_do(form):
    text = f'{form}\njoint = "8 mm"\nspare = "0 %"\n{BRICK}\n'
    book = notebook_of({"builds/w": text}, "2026-09-12 14:30")
    takes = Context.of(book, NOW).review("builds/w").results["bricks_needed"].value
    assert takes <= bricks_taken(tomllib.loads(text)) <= 2.2 * takes, "loose for the smallest arch"


@pytest.mark.parametrize(
    "text",
    [
        "",
        'form = "wall"\nlength = "2 m"\n' + BRICK,
        f'form = "heap"\n{BRICK}',
        f'form = "arch"\nspan = "0 m"\nrise = "0 m"\n{BRICK}',
        'form = "wall"\nlength = "2 m"\nheight = "tall"\nbrick = 3',
    ],
)
def test_without_its_sizes_nothing_is_known_of_a_build(text):
    assert bricks_taken(tomllib.loads(text)) is None


@given(st.binary(max_size=200), st.sampled_from(["event", "brick", "laid", "sound"]))
def test_no_log_stops_the_asking(log, field):
    value = {"event": "unloaded", "brick": "1"}.get(field, 40)
    line = b'"2026-09-12 14:10" = { event = 3, temperature = [], brick = {}, laid = "x" }'
    asked = doubts({field: value, "mass": "3 kg"}, NOW, ({"brick": 3}, log + b"\n" + line))
    assert all(isinstance(question, str) for question in asked)


def test_a_mass_that_fits_no_brick_is_asked_about_once():
    bricks = MARKED["marked"]
    record = lambda: (MARKED, WEIGHED.encode())  # noqa: E731
    asked = read_line("#1 30 kg", "batch", NOW, bricks=bricks, record=record).questions
    assert len(asked) == 1 and "30 kg? This brick had 3383 g when last weighed." in asked[0]
