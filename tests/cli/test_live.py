"""Observations from a pipe: what a thermometer says every second, and what a person types."""

import json
import tomllib
from datetime import datetime, timedelta

import pytest

from fieldbook.advice.context import Context
from fieldbook.advice.fire_stream import Stream
from fieldbook.store.folder import Store
from tests.small_yard import FILES, write_yard

LIT = datetime(2026, 9, 12, 6)


def log_of(folder):
    return tomllib.loads((folder / "firings/f.toml").read_text(encoding="utf-8"))["log"]


def lines(*given):
    """Lines with their own times, a second apart where they give none."""
    moment, out = LIT, []
    for each in given:
        moment += timedelta(seconds=1)
        out.append(f"{moment:%Y-%m-%d %H:%M:%S} {each}\n")
    return "".join(out)


def test_readings_that_say_nothing_new_are_held_back_and_counted(program, notebook):
    same = [f"{200 + i % 2} C top" for i in range(50)]
    done = program("log", "f", "-", input=lines(*same, "210 C top", "211 C top"))
    assert done.returncode == 0, done.stderr
    # the first, the change, and the last of all, which waited until the pipe closed
    read = [line["temperature"] for line in log_of(notebook).values() if "temperature" in line]
    assert read == ["200 C", "210 C", "211 C"]
    assert "49 readings held back" in done.stderr


def test_nothing_that_a_person_says_is_held_back(program, notebook):
    said = ["200 C top", "200 C top steam", "200 C top flame at the grate", "peak", ": all well"]
    done = program("log", "f", "-", input=lines(*said))
    assert done.returncode == 0, done.stderr
    assert done.stdout.count("saved:") == len(said)
    assert len(log_of(notebook)) == 1 + len(said)
    assert "held back" not in done.stderr


def test_each_place_is_held_back_by_itself(program, notebook):
    two = ["200 C top", "150 C bottom", "200 C top", "150 C bottom", "200 C top", "160 C bottom"]
    program("log", "f", "-", input=lines(*two))
    read = [(x["place"], x["temperature"]) for x in log_of(notebook).values() if "place" in x]
    assert sorted(read) == [
        ("bottom", "150 C"),
        ("bottom", "160 C"),
        ("top", "200 C"),
        ("top", "200 C"),
    ]


def test_json_gives_a_line_for_each_line_saved(program, notebook):
    done = program("log", "f", "-", "--json", input=lines("200 C top", "200 C top", "240 C top"))
    rows = [json.loads(row) for row in done.stdout.splitlines()]
    assert len(rows) == 2
    text = (notebook / "firings/f.toml").read_text(encoding="utf-8").splitlines()
    for row in rows:
        assert row["entry"] == "firings/f"
        assert row["key"] in text[row["line"] - 1]


def test_a_line_that_cannot_be_saved_is_said_and_the_last_reading_is_still_written(
    program, notebook
):
    done = program("log", "f", "-", input=lines("200 C top", "200 C top", "99999999 C top"))
    assert done.returncode == 1
    assert "99999999" in done.stderr
    assert sum("temperature" in line for line in log_of(notebook).values()) == 2


@pytest.fixture(name="stream")
def _stream(tmp_path):
    def made(settings="", plan=""):
        files = dict(FILES)
        files["notebook.toml"] += settings
        files["firings/f.toml"] = files["firings/f.toml"].replace("[plan]\n", f"[plan]\n{plan}")
        store = Store(write_yard(tmp_path / "yard", files))
        now = LIT.replace(tzinfo=store.zone)
        notebook = store.notebook(now)
        return Stream(Context.of(notebook, now), notebook.entry("firings/f")), now

    return made


def test_what_the_thermometer_cannot_tell_apart_is_no_change(stream):
    judge, now = stream()
    second = timedelta(seconds=1)
    # a type K of class 2 is out by 2.5 K (IEC 60584-1)
    assert judge.worth(now, "500 C", "top")
    assert not judge.worth(now + second, "502 C", "top")
    assert judge.worth(now + 2 * second, "503 C", "top")
    assert not judge.worth(now + 3 * second, "501 C", "top")


def test_the_step_that_the_maker_wrote_is_what_counts(stream):
    judge, now = stream('\n[instruments]\nthermometer = { step = "10 C" }\n')
    assert judge.worth(now, "500 C", "top")
    assert not judge.worth(now, "508 C", "top")
    assert judge.worth(now, "511 C", "top")


def test_a_reading_is_written_when_the_interval_in_force_is_past(stream):
    judge, now = stream()
    assert judge.worth(now, "100 C", "top")
    assert not judge.worth(now + timedelta(minutes=19), "100 C", "top")
    assert judge.worth(now + timedelta(minutes=20), "100 C", "top")


def test_the_interval_that_the_plan_sets_holds(stream):
    judge, now = stream(plan='reading_every = "5 min"\n')
    assert judge.worth(now, "100 C", "top")
    assert not judge.worth(now + timedelta(minutes=4), "100 C", "top")
    assert judge.worth(now + timedelta(minutes=5), "100 C", "top")


def test_an_hour_of_a_climbing_kiln_takes_tens_of_lines_not_thousands(stream):
    judge, now = stream()
    written = sum(
        judge.worth(now + timedelta(seconds=i), f"{300 + 50 * i / 3600:.0f} C", "top")
        for i in range(3600)
    )
    # 50 K in steps of 3 K
    assert written == 17
