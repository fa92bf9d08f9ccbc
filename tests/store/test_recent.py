"""Lines saved lately that another program drops, and taking back what was saved last."""

from __future__ import annotations

import subprocess
import sys
import tomllib
from datetime import datetime, timedelta, timezone
from pathlib import Path

import pytest

from fieldbook.errors import FieldbookError
from fieldbook.lines.reading import read_line
from fieldbook.store import durable, observing, recent
from fieldbook.store.append import append
from fieldbook.store.bearings import bearings
from fieldbook.store.taking_back import take_back_last

AT = datetime(2026, 5, 3, 8, 10, tzinfo=timezone(timedelta(hours=-5)))
FIRING = "firings/2026-05-03"


def test_a_line_that_another_program_drops_is_reported_and_offered_back(store, folder):
    path = folder / f"{FIRING}.toml"
    opened_before = path.read_text()
    saved = append(str(folder), FIRING, AT, {"fuel": "2 armload", "note": "ash\t\u2028split"})
    assert store.lost_lines() == []
    path.write_text(opened_before + '"2026-05-03 08:30" = { note = "typed in the editor" }\n')

    lost = store.lost_lines()
    assert [(line.address, line.text) for line in lost] == [(FIRING, saved.text)]
    problem = store.check(AT)[-1]
    assert problem.path == f"{FIRING}.toml" and "2 armload" in problem.what
    store.restore(lost[0])
    assert path.read_text().endswith(f'editor" }}\n{saved.text}\n')
    assert store.lost_lines() == [] and store.check(AT) == []


def test_a_dropped_line_may_be_left_out_for_good(store, folder):
    path = folder / f"{FIRING}.toml"
    before = path.read_text()
    append(str(folder), FIRING, AT, {"note": "never mind"})
    path.write_text(before)
    store.forget(store.lost_lines()[0])
    assert store.lost_lines() == []


def test_a_line_that_a_merge_gave_another_millisecond_is_not_lost(store, folder):
    path = folder / f"{FIRING}.toml"
    append(str(folder), FIRING, AT, {"note": "kept"})
    path.write_text(path.read_text().replace("08:10:00-05", "08:10:00.001-05"))
    assert store.lost_lines() == []


def test_lines_are_kept_apart_by_notebook_and_for_a_while_only(
    folder, tmp_path_factory, monkeypatch
):
    append(str(folder), FIRING, AT, {"note": "x"})
    assert recent.kept(str(tmp_path_factory.mktemp("other"))) == []
    monkeypatch.setattr(recent.time, "time", lambda: AT.timestamp() + 10**9)
    assert recent.kept(str(folder)) == []


def test_what_is_kept_does_not_grow_without_end(folder, state_folder, monkeypatch):
    monkeypatch.setattr(recent, "MOST_BYTES", 2000)
    for number in range(60):
        append(str(folder), FIRING, AT, {"note": f"line {number}"})
    size = sum(path.stat().st_size for path in (state_folder / "fieldbook").iterdir())
    assert size < 2 * 2000 + 500
    assert recent.kept(str(folder))[-1].text.endswith('"line 59" }')


def test_nothing_is_kept_inside_the_notebook_and_only_the_maker_may_read_it(folder, state_folder):
    append(str(folder), FIRING, AT, {"note": "x"})
    kept = state_folder / "fieldbook/recent-lines"
    assert kept.stat().st_mode & 0o077 == 0
    assert sorted(p.name for p in (folder / ".fieldbook").iterdir()) == ["lock"]


def test_a_state_folder_that_cannot_be_written_does_not_stop_the_line(folder, monkeypatch):
    monkeypatch.setenv("XDG_STATE_HOME", "/proc/none")
    saved = append(str(folder), FIRING, AT, {"note": "x"})
    assert saved.text in (folder / f"{FIRING}.toml").read_text()


def test_the_state_folder_is_the_users_own(monkeypatch):
    monkeypatch.setenv("XDG_STATE_HOME", "not/absolute")
    monkeypatch.setenv("HOME", "/home/ines")
    assert recent.state_folder() == "/home/ines/.local/state/fieldbook"


def test_the_last_line_can_be_taken_back(store, folder):
    path = folder / f"{FIRING}.toml"
    before = path.read_bytes()
    saved = append(str(folder), FIRING, AT, {"note": "wrong kiln"})
    store.undo_last(saved)
    assert path.read_bytes() == before
    assert store.lost_lines() == []
    with pytest.raises(FieldbookError, match="not there as it was saved"):
        store.undo_last(saved)


@pytest.mark.parametrize(
    ("address", "typed"),
    [
        ("tests/2026-05-a", "#3 dry 2.51kg"),
        ("tests/2026-05-a", "#1 soaked 2.82kg"),
        (FIRING, "sound 150 cracked 14"),
        ("batches/2026-04-a", "#1 3.02kg"),
    ],
)
def test_what_a_typed_line_changed_can_be_taken_back(store, folder, address, typed):
    path = Path(folder / f"{address}.toml")
    before = store.read(address).data
    kind = {"tests": "test", "firings": "firing", "batches": "batch"}[address.partition("/")[0]]
    saved = store.append(address, read_line(typed, kind, AT), by="ines")
    assert store.read(address).data != before
    for each in reversed(saved):
        store.undo_last(each)
    assert store.read(address).data == before
    assert path.read_text().count("\n\n\n") == 0


@pytest.mark.parametrize(("option", "stands"), [("--restore", True), ("--forget", False)])
def test_the_command_puts_a_dropped_line_back_or_leaves_it_out(store, folder, option, stands):
    path = folder / f"{FIRING}.toml"
    before = path.read_text()
    saved = append(str(folder), FIRING, AT, {"note": "dropped"})
    path.write_text(before)
    command = [sys.executable, "-m", "fieldbook", "--notebook", str(folder), "check", option]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert ("put back" if stands else "left out for good") in done.stderr
    assert (saved.text in path.read_text()) is stands
    assert store.lost_lines() == []


def test_an_observation_is_saved_as_a_whole_or_not_at_all(store, folder, monkeypatch):
    """Fields of a specimen go back where the note typed beside them cannot be saved."""

    def refuse(*_):
        raise FieldbookError("the disk is full")

    path = folder / "tests/2026-05-a.toml"
    before = path.read_bytes()
    monkeypatch.setattr(observing, "append_all", refuse)
    observation = read_line("#3 dry 2.51kg, chipped at a corner", "test", AT)
    assert observation.fields and observation.note
    with pytest.raises(FieldbookError, match="full"):
        store.append("tests/2026-05-a", observation)
    assert path.read_bytes() == before


def test_a_line_is_not_added_to_a_notebook_of_a_newer_format(store, folder, put):
    put("notebook.toml", 'format = 2\ntimezone = "UTC"\n')
    with pytest.raises(FieldbookError, match="format 2"):
        store.append(FIRING, read_line("steam", "firing", AT))
    with pytest.raises(FieldbookError, match="format 2"):
        append(str(folder), FIRING, AT, {"steam": True})


def test_a_header_of_a_log_inside_a_note_hides_nothing_from_a_typed_line(folder, put):
    put("notebook.toml", 'timezone = "UTC"\ntitle = """\n[log]\n"""\nmaker = "ines"\n')
    assert bearings(str(folder), FIRING).maker == "ines"


ROUNDS = [
    (FIRING, "firing", "540C top, 397C bottom"),
    (FIRING, "firing", "sound 20 cracked 1 bottom, sound 10 top, air 12C"),
    ("tests/2026-05-a", "test", "#3 dry 2.51kg chipped, #4 dry 2.6kg, #5 dry 2.55kg"),
]


@pytest.mark.parametrize(("address", "kind", "text"), ROUNDS)
def test_a_round_is_taken_back_as_a_whole_or_not_at_all(
    store, folder, monkeypatch, address, kind, text
):
    path = folder / f"{address}.toml"
    before = path.read_bytes()
    store.append(address, read_line(text, kind, AT, places=("top", "bottom")))
    after = path.read_bytes()
    assert after != before

    def full(*_):
        raise FieldbookError("the disk is full")

    with monkeypatch.context() as patched:
        patched.setattr(durable, "replace_file", full)
        with pytest.raises(FieldbookError, match="full"):
            take_back_last(str(folder), address)
    assert path.read_bytes() == after
    take_back_last(str(folder), address)
    left, was = (tomllib.loads(text) for text in (path.read_text(), before.decode()))
    assert left | {"log": left.get("log", {})} == was | {"log": was.get("log", {})}
