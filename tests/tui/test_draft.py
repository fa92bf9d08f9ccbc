import os
import subprocess
import sys

from fieldbook.tui.draft import Draft, DraftFile

LINE = Draft("firings/f", "1040F to")


def ended_process():
    process = subprocess.Popen([sys.executable, "-c", "pass"])
    process.wait()
    return process.pid


def moved_to(draft, pid):
    """As though another process had written it."""
    path = draft.path.with_name(draft.path.name.replace(str(os.getpid()), str(pid)))
    draft.path.rename(path)
    return path


def test_what_a_screen_that_ended_left_behind_is_taken_over_once(yard):
    draft = DraftFile(str(yard))
    draft.keep(LINE)
    left = moved_to(draft, ended_process())
    again = DraftFile(str(yard))
    assert again.take_over() == LINE
    assert not left.exists()
    assert again.path.exists()


def test_the_draft_of_a_screen_that_still_runs_is_left_alone(yard):
    draft = DraftFile(str(yard))
    draft.keep(LINE)
    other = subprocess.Popen([sys.executable, "-c", "input()"], stdin=subprocess.PIPE)
    try:
        path = moved_to(draft, other.pid)
        assert DraftFile(str(yard)).take_over() is None
        assert path.exists()
    finally:
        other.communicate(b"\n")


def test_an_empty_line_leaves_no_file(yard):
    draft = DraftFile(str(yard))
    draft.keep(LINE)
    draft.keep(Draft("firings/f", ""))
    assert not draft.path.exists()


def test_a_draft_of_another_notebook_is_not_taken(yard, tmp_path):
    draft = DraftFile(str(yard))
    draft.keep(LINE)
    moved_to(draft, ended_process())
    assert DraftFile(str(tmp_path)).take_over() is None


def test_a_draft_that_cannot_be_read_is_no_hindrance(yard):
    draft = DraftFile(str(yard))
    draft.keep(LINE)
    moved_to(draft, ended_process()).write_bytes(b"\xff{")
    assert DraftFile(str(yard)).take_over() is None


def test_where_a_draft_cannot_be_kept_it_is_said(yard, monkeypatch, tmp_path):
    (tmp_path / "file").write_text("", encoding="utf-8")
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "file"))
    assert "cannot be kept" in DraftFile(str(yard)).keep(LINE)
