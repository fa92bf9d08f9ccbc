"""A place the kiln does not name, a brick without a mark, a jump of the fire: asked about."""

import tomllib
from datetime import datetime
from pathlib import Path

import pytest

from fieldbook.lines.pace import doubts
from fieldbook.lines.reading import read_line
from fieldbook.lines.toml_text import line_for
from fieldbook.store.bearings import bearings

NOW = datetime.fromisoformat("2026-09-12 14:30:00+01:00")
SAMPLE = Path(__file__).parents[2] / "sample_notebook"
NAMED = {"bottom": True, "top": True, "shelf": False}
MARKED = {"1": {"mass": "4.1 kg"}, "2": {}, "3": {"mass": "4.2 kg"}}


def asked(text, kind="firing", log="", **known):
    record = lambda: ({}, b"\n" + log.encode())  # noqa: E731
    return read_line(text, kind, NOW, record=record, **known).questions


@pytest.mark.parametrize("text", ["330C middle", "middle 330C", "dull red middle", "cone 6 middle"])
def test_a_place_that_the_kiln_does_not_name_is_asked_about(text):
    (question,) = asked(text, places=NAMED)
    assert question == (
        "Which place: bottom, top or shelf? The kiln names no middle. End with ! to keep it."
    )
    assert asked(f"{text}!", places=NAMED) == ()


@pytest.mark.parametrize(
    "text", ["330C top", "330C shelf", "330C", "330C flue back", "front black"]
)
def test_a_place_that_is_named_and_words_of_a_note_are_not(text):
    assert asked(text, places=NAMED) == ()


def test_a_kiln_that_names_no_places_takes_any():
    assert asked("330C middle", places={"top": False}) == ()
    assert asked("330C middle", places={}) == ()


def test_a_place_that_was_kept_before_is_not_asked_about_again():
    log = '"2026-09-12 14:00:00+01:00" = { temperature = "320 C", place = "middle" }\n'
    assert asked("330C middle", log=log, places=NAMED) == ()


def test_a_brick_without_a_mark_is_asked_about():
    (question,) = asked("#7 3.3kg", "batch", bricks=MARKED)
    assert question == ("Which brick? Marked: 1, 2 and 3. Mark 7 first, or end with ! to keep it.")
    assert asked("#7 3.3kg !", "batch", bricks=MARKED) == ()
    log = '"2026-09-12 14:00:00+01:00" = { brick = "7", mass = "3.4 kg" }\n'
    assert asked("#7 3.3kg", "batch", log=log, bricks=MARKED) == ()
    assert asked("#3 3.3kg", "batch", bricks=MARKED) == ()


def test_a_batch_without_a_marked_brick_takes_any():
    assert asked("#7 3.3kg", "batch", bricks={}) == ()


def test_many_marked_bricks_are_not_all_named():
    (question,) = asked("#70 3.3kg", "batch", bricks={str(n): {} for n in range(1, 21)})
    assert "Marked: 1, 2, 3, 4, 5 and others." in question


WEIGHED = '"2026-09-12 09:00:00+01:00" = { brick = "3", mass = "3.31 kg" }\n'


def test_a_mass_is_held_against_the_last_weighing():
    (question,) = asked("#3 1.4 kg", "batch", log=WEIGHED, bricks=MARKED)
    assert question == ("1.4 kg? This brick had 3.31 kg when last weighed. End with ! to keep it.")
    assert asked("#3 2.0 kg", "batch", log=WEIGHED, bricks=MARKED) == (), "less than half of 4.2 kg"
    (question,) = asked("#3 2.0 kg", "batch", bricks=MARKED)
    assert "had 4.2 kg as moulded" in question


def logged(*readings, place=' place = "top",'):
    return "".join(
        f'"2026-09-12 {clock}:00+01:00" = {{{place} temperature = "{text}" }}\n'
        for clock, text in readings
    )


JUMPS = [
    ("200C top", [("14:29", "343 C")], "200 C? The top read 343 C at 14:29."),
    ("392F top", [("14:29", "343 C")], "392 F? The top read 343 C at 14:29."),
    ("720C top", [("14:20", "340 C")], "720 C? The top read 340 C at 14:20."),
    ("14:10 200C top", [("14:08", "343 C"), ("14:20", "350 C")], "read 343 C at 14:08."),
    ("200C top", [("14:20", "343 C"), ("14:29", "343 C")], "read 343 C at 14:29."),
]


@pytest.mark.parametrize(("text", "log", "question"), JUMPS)
def test_a_jump_that_no_fire_makes_is_asked_about(text, log, question):
    (found,) = asked(text, log=logged(*log))
    assert question in found
    assert asked(f"{text} !", log=logged(*log)) == ()


@pytest.mark.parametrize(
    ("text", "log"),
    [
        ("425C top", [("14:29", "343 C")]),
        ("260C top", [("14:29", "343 C")]),
        ("580C top", [("14:20", "343 C")]),
        ("20C top", [("13:55", "900 C")]),
        ("200C bottom", [("14:29", "343 C")]),
        ("200C top", [("14:29", "> 343 C")]),
        ("200C top", [("14:31", "343 C")]),
        ("200C face top", [("14:29", "343 C")]),
        ("345C top", [("14:27", "343 C"), ("14:29", "200 C")]),
    ],
)
def test_what_a_fire_can_do_and_a_slip_that_was_kept_are_not(text, log):
    assert asked(text, log=logged(*log)) == ()


def test_a_kiln_as_a_whole_is_held_against_itself():
    (question,) = asked("200C", log=logged(("14:29", "343 C"), place=""))
    assert "The kiln read 343 C at 14:29" in question


@pytest.mark.parametrize("path", sorted((SAMPLE / "firings").glob("*.toml")), ids=lambda p: p.stem)
def test_no_reading_of_a_real_fire_is_asked_about(path):
    log = list(tomllib.loads(path.read_text())["log"].items())
    text = ""
    for key, fields in log:
        at = datetime.fromisoformat(key)
        assert (
            doubts(fields, at if at.tzinfo else at.replace(tzinfo=NOW.tzinfo), text.encode()) == []
        )
        text += line_for(key, fields) + "\n"
    assert text.count("temperature") > 3


def test_the_bearings_tell_which_places_the_kiln_names(tmp_path):
    for folder in ("kilns", "firings"):
        (tmp_path / folder).mkdir()
    (tmp_path / "notebook.toml").write_text('title = "t"\n')
    (tmp_path / "kilns/k.toml").write_text('places = ["top", "bottom"]\n')
    entry = tmp_path / "firings/f.toml"
    entry.write_text('kiln = "k"\n[[load]]\nplace = "shelf"\n[log]\n' + logged(("14:29", "343 C")))
    known = bearings(str(tmp_path), "firings/f")
    assert known.places == {"top": True, "bottom": True, "shelf": False}
    assert b"343 C" in known.record.recent()
    long = logged(*[("13:00", f"{n} C") for n in range(400)])
    entry.write_text('kiln = "k"\n[log]\n' + long)
    end = known.record.recent()
    assert len(end) < len(long) and b'"399 C"' in end
    entry.unlink()
    assert known.record.recent() == b""
