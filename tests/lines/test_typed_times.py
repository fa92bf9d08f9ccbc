"""The time a line begins with, and what is asked where it could mean two."""

from datetime import datetime, timedelta, timezone
from zoneinfo import ZoneInfo

import pytest

from fieldbook.lines.reading import read_line

ZONE = timezone(timedelta(hours=-5))
NOW = datetime(2026, 5, 3, 14, 30, 12, 412000, ZONE)


def at(day, hour, minute, second=0):
    return datetime(2026, 5, day, hour, minute, second, tzinfo=ZONE)


CLEAR = [
    ("14:10 steam", at(3, 14, 10)),
    ("at 14:10 steam", at(3, 14, 10)),
    ("14:10:05 steam", at(3, 14, 10, 5)),
    ("14:10, steam", at(3, 14, 10)),
    ("14:10 - steam", at(3, 14, 10)),
    ("14:10: steam", at(3, 14, 10)),
    ("2:10pm steam", at(3, 14, 10)),
    ("2:10 a.m. steam", at(3, 2, 10)),
    ("2pm steam", at(3, 14, 0)),
    ("12am steam", at(3, 0, 0)),
    ("12pm steam", at(3, 12, 0)),
    ("02:10 steam", at(3, 2, 10)),
    ("9:05 steam", at(3, 9, 5)),
    ("today 14:10 steam", at(3, 14, 10)),
    ("yesterday 21:00 steam", at(2, 21, 0)),
    ("yesterday at 21:00 steam", at(2, 21, 0)),
    ("2026-05-03 14:10 steam", at(3, 14, 10)),
    ("2026-05-01T06:10 steam", at(1, 6, 10)),
    ("2026-05-03 19:10Z steam", at(3, 14, 10)),
    ("2026-05-03 14:10:00-05:00 steam", at(3, 14, 10)),
    ("steam at 14:10", at(3, 14, 10)),
    ("steam 14:10", at(3, 14, 10)),
    ("-20m steam", NOW - timedelta(minutes=20)),
    ("-20 min steam", NOW - timedelta(minutes=20)),
    ("-1h30m steam", NOW - timedelta(minutes=90)),
    ("-1h 30m steam", NOW - timedelta(minutes=90)),
    ("-1h30 steam", NOW - timedelta(minutes=90)),
    ("-1.5h steam", NOW - timedelta(minutes=90)),
    ("-2d steam", NOW - timedelta(days=2)),
    ("20 min ago steam", NOW - timedelta(minutes=20)),
    ("steam -20m", NOW - timedelta(minutes=20)),
    ("14:34 steam", at(3, 14, 34)),
]


@pytest.mark.parametrize(("text", "expected"), CLEAR)
def test_a_clear_time_is_taken(text, expected):
    observation = read_line(text, "firing", NOW)
    assert (observation.at, observation.fields) == (expected, {"steam": True})
    assert (observation.note, observation.questions) == (None, ())
    assert observation.at.utcoffset() == timedelta(hours=-5)


ASKED = [
    ("2:10 steam", "02:10 or 14:10"),
    ("yesterday 9:00 steam", "09:00 or 21:00"),
    ("14:40 steam", "yesterday 14:40"),
    ("2027-05-03 14:10 steam", "Which day"),
    ("yesterday steam", "At what time"),
    ("2026-05-01 steam", "At what time"),
]


@pytest.mark.parametrize(("text", "question"), ASKED)
def test_a_time_that_could_be_another_is_asked_about(text, question):
    observation = read_line(text, "firing", NOW)
    assert question in observation.questions[0]
    assert observation.fields == {"steam": True}


NO_TIMES = ["25:99", "25:10", "14:70", "24:00", "13pm", "0 am", "2026-02-30 14:10", "1:75"]


@pytest.mark.parametrize("typed", NO_TIMES)
@pytest.mark.parametrize("line", ["{} steam", "steam {}", "steam, {} 640F"])
def test_a_time_that_no_clock_shows_is_asked_about(typed, line):
    (question,) = read_line(line.format(typed), "firing", NOW).questions
    assert question.startswith(f"{typed} is no ")
    assert "14:10" in question


NOT_TIMES = ["14:10x steam", "60:40 sand, steam", ": 25:99 steam"]


@pytest.mark.parametrize("text", NOT_TIMES)
def test_what_is_no_time_stays_in_the_note(text):
    observation = read_line(text, "firing", NOW)
    assert observation.at == NOW
    assert observation.note and observation.note.split()[0] in text
    assert observation.questions == ()


def test_a_time_inside_a_note_stays_there():
    observation = read_line("ann came, 14:10 he said", "firing", NOW)
    assert (observation.at, observation.note) == (NOW, "ann came, 14:10 he said")


def test_a_number_below_zero_is_no_time():
    assert read_line("-5C top", "firing", NOW).fields == {"temperature": "-5 C", "place": "top"}


def test_clock_times_are_those_of_the_zone():
    observation = read_line("20:10 steam", "firing", NOW, zone="Europe/Berlin")
    assert observation.at == datetime(2026, 5, 3, 20, 10, tzinfo=ZoneInfo("Europe/Berlin"))
    assert read_line("steam", "firing", NOW, zone="Europe/Berlin").at == NOW


def test_an_hour_that_came_twice_is_asked_about():
    now = datetime(2025, 11, 2, 12, 0, tzinfo=ZoneInfo("America/Chicago"))
    observation = read_line("01:30 steam", "firing", now)
    assert "01:30-05:00 or 01:30-06:00" in observation.questions[0]
    assert read_line("01:30-06:00 steam", "firing", now).questions == ()


def test_an_hour_that_never_was_is_asked_about():
    now = datetime(2026, 3, 8, 12, 0, tzinfo=ZoneInfo("America/Chicago"))
    assert "put forward" in read_line("02:30 steam", "firing", now).questions[0]


@pytest.mark.parametrize(
    ("text", "minutes"),
    [
        ("ten minutes ago steam", 10),
        ("about twenty-five mins ago, steam", 25),
        ("half an hour ago steam", 30),
        ("an hour and a half ago steam", 90),
        ("steam three quarters of an hour ago", 45),
    ],
)
def test_so_long_ago_is_understood_in_words(text, minutes):
    observation = read_line(text, "firing", NOW)
    assert observation.at == NOW - timedelta(minutes=minutes)
    assert (observation.fields, observation.note) == ({"steam": True}, None)


def test_words_before_a_time_ago_are_a_note():
    observation = read_line("steam started ten minutes ago", "firing", NOW)
    assert (observation.at, observation.note) == (NOW, "steam started ten minutes ago")
