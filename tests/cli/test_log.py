"""`fieldbook log`: from the typed words to the line in the file."""

import json
import tomllib

import pytest

from fieldbook.cli.log import warn


def log_of(notebook, address):
    return tomllib.loads((notebook / f"{address}.toml").read_text(encoding="utf-8"))["log"]


def test_a_reading_is_saved_as_one_line_and_said_back(fieldbook, notebook):
    answer = fieldbook("log", "f", "1040F", "top", "--now", "2026-09-12 14:10")
    assert answer.status == 0
    assert "1040" in answer.out
    assert "top" in answer.out
    assert "firings/f.toml:9" in answer.out
    line = log_of(notebook, "firings/f")["2026-09-12 14:10:00+01:00"]
    assert line == {"temperature": "1040 F", "place": "top", "by": "ines"}


def test_everything_before_the_line_stays_as_it_was(fieldbook, notebook):
    before = (notebook / "batches/a.toml").read_bytes()
    fieldbook("log", "a", "#1", "2.95kg", "--now", "2026-09-03 09:00")
    after = (notebook / "batches/a.toml").read_bytes()
    assert after.startswith(before)
    assert after.count(b"\n") == before.count(b"\n") + 1


def test_words_that_are_not_understood_become_the_note(fieldbook, notebook):
    fieldbook("log", "f", "steam,", "smells", "of", "low", "tide", "--now", "2026-09-12 14:12")
    line = log_of(notebook, "firings/f")["2026-09-12 14:12:00+01:00"]
    assert line["steam"] is True
    assert "smells of low tide" in line["note"]


def test_by_names_who_saw_it(fieldbook, notebook):
    fieldbook("log", "f", "steam", "--by", "tomas", "--now", "2026-09-12 14:12")
    assert log_of(notebook, "firings/f")["2026-09-12 14:12:00+01:00"]["by"] == "tomas"


def test_a_specimen_goes_into_its_row(fieldbook, notebook):
    answer = fieldbook("log", "t", "#2", "dry", "2.51kg")
    assert answer.status == 0, answer.err
    data = tomllib.loads((notebook / "tests/t.toml").read_text(encoding="utf-8"))
    assert data["specimens"]["2"]["dry_mass"] == "2.51 kg"
    assert data["specimens"]["1"]["dry_mass"] == "2000 g"


def test_what_came_out_goes_into_unloaded(fieldbook, notebook):
    answer = fieldbook("log", "f", "sound", "80", "cracked", "14", "soft", "6")
    assert answer.status == 0, answer.err
    data = tomllib.loads((notebook / "firings/f.toml").read_text(encoding="utf-8"))
    assert data["unloaded"][0]["sound"] == 80
    assert data["unloaded"][0]["cracked"] == 14
    assert data["unloaded"][0]["soft"] == 6


def test_lines_from_standard_input_are_saved_as_they_come(program, notebook):
    done = program("log", "f", "-", input="600 F top\n\n620 F top\nsteam\n")
    assert done.returncode == 0, done.stderr
    assert done.stdout.count("saved:") == 3
    assert len(log_of(notebook, "firings/f")) == 4


def test_json_says_where_the_line_stands(fieldbook):
    answer = fieldbook("log", "f", "1040F", "--json", "--now", "2026-09-12 14:10")
    assert json.loads(answer.out) == [
        {"entry": "firings/f", "key": "2026-09-12 14:10:00+01:00", "line": 9}
    ]


@pytest.mark.parametrize(
    ("words", "status", "says"),
    [
        (["log"], 2, "what was seen"),
        (["log", "f"], 2, "what was seen"),
        (["log", "nowhere", "steam"], 1, "no entry"),
        (["log", "f", "steam", "--wrong"], 2, "--wrong"),
        (["log", "../f", "steam"], 1, "no entry"),
        (["log", "f", "steam", "--now", "soon"], 2, "no time"),
    ],
)
def test_what_cannot_be_logged_is_refused_in_words(fieldbook, words, status, says):
    answer = fieldbook(*words)
    assert answer.status == status
    assert says in answer.err
    assert "Traceback" not in answer.err


def test_not_now_declines_the_first_action_of_the_entry(fieldbook, notebook):
    now = ("--now", "2026-09-12 14:30")
    first = json.loads(fieldbook("next", "f", "--json", *now).out)[0]
    answer = fieldbook("log", "f", "not now: the wood is wet", *now)
    assert answer.status == 0, answer.err
    line = log_of(notebook, "firings/f")["2026-09-12 14:30:00+01:00"]
    assert line["declined"] == first["rule"]
    assert line["because"] == "the wood is wet"
    later = json.loads(fieldbook("next", "f", "--json", *now).out)
    assert first["rule"] not in [action["rule"] for action in later]


def test_what_is_said_beside_the_output_keeps_its_lines_and_moves_no_terminal(capsys):
    warn("steam\x1b[2J: not saved\n    Write it again.")
    assert capsys.readouterr().err == (
        "fieldbook: steam\N{REPLACEMENT CHARACTER}[2J: not saved\n    Write it again.\n"
    )


def test_noise_on_the_wire_ends_no_log(program, notebook):
    noisy = "600 F top\n\udcff\udcfe\n620 F top\n"  # bytes that are no text, as a loose plug sends
    done = program("log", "f", "-", input=noisy, encoding="utf-8", errors="surrogateescape")
    assert done.returncode == 0, done.stderr
    assert "600 °F" in done.stdout and "620 °F" in done.stdout


def test_what_was_saved_last_is_taken_back(fieldbook, notebook):
    before = (notebook / "batches/a.toml").read_bytes()
    fieldbook("log", "a", "#1 2.95kg", "--now", "2026-09-03 09:00")
    answer = fieldbook("log", "--undo")
    assert answer.status == 0, answer.err
    assert "brick 1, 2.95 kg" in answer.out and "batches/a.toml" in answer.out
    assert (notebook / "batches/a.toml").read_bytes() == before
    assert fieldbook("log", "--undo").status == 1
    assert fieldbook("log", "a", "steam", "--undo").status == 2


def test_a_slip_that_was_kept_is_no_problem_any_more_once_taken_back(fieldbook, notebook):
    now = ("--now", "2026-09-03 09:00")
    assert fieldbook("log", "a", "#1 30.2kg", *now).status == 1
    assert fieldbook("log", "a", "#1 30.2kg !", *now).status == 0
    assert "30.2 kg" in fieldbook("check", *now).out
    taken = json.loads(fieldbook("log", "a", "--undo", "--json").out)
    assert taken["entry"] == "batches/a" and "30.2 kg" in taken["taken_back"]
    fieldbook("log", "a", "#1 2.95kg", *now)
    assert "brick 1" not in fieldbook("check", *now).out
