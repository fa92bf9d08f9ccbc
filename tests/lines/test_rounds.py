"""A whole round, of the kiln or of the marked bricks, typed on one line."""

from datetime import UTC, datetime

import pytest

from fieldbook.lines.reading import read_line

NOW = datetime(2026, 5, 3, 15, 0, tzinfo=UTC)
AT_TEN = datetime(2026, 5, 3, 10, 0, tzinfo=UTC)


def parts(text, kind, **known):
    first = read_line(text, kind, NOW, places=("bottom", "top"), **known)
    assert first.questions == ()
    return (first, *first.more)


@pytest.mark.parametrize(
    ("kind", "text", "fields"),
    [
        (
            "firing",
            "540 C bottom 397 C top +1.3 kg split ash",
            [
                {"temperature": "540 C", "place": "bottom"},
                {"temperature": "397 C", "place": "top", "fuel": "1.3 kg", "of": "split ash"},
            ],
        ),
        (
            "firing",
            "bottom 540C steam top 397C",
            [
                {"place": "bottom", "temperature": "540 C", "steam": True},
                {"place": "top", "temperature": "397 C"},
            ],
        ),
        (
            "firing",
            "540C face bottom 600C gas bottom",
            [
                {"temperature": "540 C", "probe": "face", "place": "bottom"},
                {"temperature": "600 C", "probe": "gas", "place": "bottom"},
            ],
        ),
        (
            "firing",
            "cone 010 down bottom cone 08 bent top",
            [
                {"cone": "010", "state": "down", "place": "bottom"},
                {"cone": "08", "state": "bent", "place": "top"},
            ],
        ),
        (
            "firing",
            "sound 20 cracked 1 bottom, sound 10 top fault cracked edges 1",
            [
                {"sound": 20, "cracked": 1, "place": "bottom"},
                {
                    "sound": 10,
                    "place": "top",
                    "faults": [{"what": "cracked edges", "count": 1}],
                },
            ],
        ),
        (
            "batch",
            "#1 3.84 kg #2 3.68 kg, #3 3.74 kg",
            [
                {"brick": "1", "mass": "3.84 kg"},
                {"brick": "2", "mass": "3.68 kg"},
                {"brick": "3", "mass": "3.74 kg"},
            ],
        ),
        (
            "test",
            "#1 soaked 2.8kg #2 soaked 2.9kg",
            [{"soaked_mass": "2.8 kg"}, {"soaked_mass": "2.9 kg"}],
        ),
        (
            "firing",
            "draw 1 1.92kg draw 2 1.90kg",
            [{"draw": "1", "mass": "1.92 kg"}, {"draw": "2", "mass": "1.90 kg"}],
        ),
    ],
)
def test_each_place_and_each_brick_becomes_an_observation_of_its_own(kind, text, fields):
    assert [part.fields for part in parts(text, kind)] == fields
    assert {part.at for part in parts(text, kind)} == {NOW}


@pytest.mark.parametrize(
    ("text", "top", "bottom"),
    [
        ("sound 180 top, 14 cracked bottom", {"sound": 180}, {"cracked": 14}),
        ("sound 180 cracked 2 top soft 6", {"sound": 180, "cracked": 2, "soft": 6}, None),
        (
            "sound 180 top, cracked 2 top, 14 cracked bottom",
            {"sound": 180, "cracked": 2},
            {"cracked": 14},
        ),
        (
            "top sound 180, cracked 2, bottom 14 cracked",
            {"sound": 180, "cracked": 2},
            {"cracked": 14},
        ),
        (
            "sound 10 top, fault bloat 3 bottom",
            {"sound": 10},
            {"faults": [{"what": "bloat", "count": 3}]},
        ),
        ("30C top, sound 180 top", {"sound": 180}, None),
        ("top sound 180, 30C", {"sound": 180}, None),
        ("unloaded, top sound 280, bottom sound 133", {"sound": 280}, {"sound": 133}),
        ("steam, top sound 280 cracked 4", {"sound": 280, "cracked": 4}, None),
        (
            "sound 280 top batch a-1; sound 90 bottom batch b-1",
            {"sound": 280, "batch": "a-1"},
            {"sound": 90, "batch": "b-1"},
        ),
    ],
)
def test_counts_stand_at_the_place_they_were_typed_with(text, top, bottom):
    rows = [part.fields for part in parts(text, "firing") if part.target == "unloaded"]
    wanted = [top | {"place": "top"}] + ([bottom | {"place": "bottom"}] if bottom else [])
    assert rows == wanted
    assert [part.note for part in parts(text, "firing")] == [None] * len(parts(text, "firing"))


@pytest.mark.parametrize(
    ("kind", "text", "minutes"),
    [
        ("firing", "540C top at 14:10, 397C bottom at 14:20", [10, 20]),
        ("firing", "14:10 540C top, 397C bottom at 14:20", [10, 20]),
        ("batch", "#1 4.1kg at 14:10, #2 4kg at 14:20", [10, 20]),
        ("firing", "540C top, 397C bottom at 14:20", [20, 20]),
    ],
)
def test_a_time_behind_a_part_is_its_own_or_that_of_all(kind, text, minutes):
    assert [(p.at.hour, p.at.minute, p.note) for p in parts(text, kind)] == [
        (14, minute, None) for minute in minutes
    ]


def test_two_times_for_one_reading_are_asked_about():
    line = read_line("14:10 540C top at 14:20", "firing", NOW, places=("bottom", "top"))
    assert any("two times" in question for question in line.questions)


BRICK = {"length": "230 mm", "width": "110 mm", "height": "70 mm"}
WALL = {"form": "wall", "length": "4 m", "height": "1 m", "brick": BRICK}
WEIGHED = '"2026-05-02 10:00:00+00:00" = { brick = "1", mass = "3.5 kg" }\n'


@pytest.mark.parametrize(
    ("kind", "text", "log", "asked"),
    [
        ("firing", "15:00 lit, 14:00 peak", "", "lit stands after it"),
        ("firing", "14:00 lit, 14:30 lit", "", "A second lit"),
        ("firing", "14:30 300C top, 14:40 unloaded", "", "Out so hot?"),
        ("firing", "14:00 lit, 14:30 30C top", "", ""),
        ("build", "laid 250, 10:00 laid 250", "", "That makes 500"),
        ("batch", "rain #2 3.4kg, #1 3.8kg", WEIGHED, ""),
        ("batch", "#2 3.4kg, #1 3.8kg", WEIGHED, "3.8 kg"),
    ],
)
def test_each_part_is_held_against_the_parts_before_it(kind, text, log, asked):
    line = read_line(text, kind, NOW, places=("bottom", "top"), record=lambda: (WALL, log.encode()))
    assert any(asked in question for question in line.questions) is bool(asked), line.questions


def test_specimens_keep_their_names():
    assert [part.name for part in parts("#1 dry 2.5kg #7 dry 2.6kg", "test")] == ["1", "7"]


def test_what_is_read_back_tells_the_whole_round_and_the_time_once():
    words = parts("540C bottom 397C top", "firing")[0].words
    assert words == "15:00  bottom  540 °C (1004 °F); top  397 °C (747 °F)"


def test_one_time_holds_for_the_round_and_a_time_within_it_for_what_follows():
    first, second, third = parts("10:00 540C bottom, 397C top, 10:20 dull red top; steam", "firing")
    assert first.at == second.at == AT_TEN
    assert third.at == AT_TEN.replace(minute=20)
    assert third.fields == {"glow": "dull red", "place": "top", "steam": True}
    assert "10:20" in first.words
    assert {part.at for part in parts("540C bottom 397C top 10:00", "firing")} == {AT_TEN}


def test_wood_at_an_earlier_time_goes_beside_the_reading_of_now():
    first, wood = parts("540C bottom, 14:37 +1.3 kg split ash", "firing")
    assert first.at == NOW
    assert wood.at == NOW.replace(hour=14, minute=37)
    assert wood.fields == {"fuel": "1.3 kg", "of": "split ash"}


def test_words_that_name_another_place_but_no_reading_stay_the_note_of_the_first():
    (only,) = parts("540C bottom, top course sweats", "firing")
    assert only.fields == {"temperature": "540 C", "place": "bottom"}
    assert only.note == "top course sweats"
    (only,) = parts("540C bottom, 14:10 hrs of rain", "firing")
    assert only.note == "14:10 hrs of rain"
    assert only.at == NOW


def test_a_note_belongs_to_the_brick_it_is_typed_behind():
    first, second = parts("#1 4.1kg chipped, #2 4.0kg", "batch")
    assert first.note == "chipped"
    assert second.note is None


def test_bricks_are_counted_over_all_places():
    line = read_line("sound 20 bottom, sound 20 top", "firing", NOW, bricks_there=30)
    assert any("makes 40, and there were 30" in question for question in line.questions)
    assert read_line("sound 20 bottom, sound 20 top !", "firing", NOW, bricks_there=30).more
