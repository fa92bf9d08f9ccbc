"""A few random histories of three makers; `python -m tests.sync.histories 300` plays many."""

import pytest

from tests.sync.histories import NAMES, play


# Seeds that once did not hold: a rename guessed from a template, a kill while laying out.
@pytest.mark.parametrize("seed", [14, 45, 96, 160])
def test_after_two_syncs_all_have_the_same_and_nothing_is_lost(tmp_path, monkeypatch, seed):
    monkeypatch.setenv("HOME", str(tmp_path))  # put back at the end, as the other folders are
    for name in ("XDG_CONFIG_HOME", "XDG_STATE_HOME", "GIT_CONFIG_GLOBAL"):
        monkeypatch.setenv(name, str(tmp_path / name))
    assert play(tmp_path, seed) == []


@pytest.mark.parametrize("seed", [8, 174])
def test_the_same_holds_with_plain_git_by_one_of_them(tmp_path, monkeypatch, seed):
    monkeypatch.setenv("HOME", str(tmp_path))
    for name in ("XDG_CONFIG_HOME", "XDG_STATE_HOME", "GIT_CONFIG_GLOBAL"):
        monkeypatch.setenv(name, str(tmp_path / name))
    assert play(tmp_path, seed, plain=NAMES[1]) == []


def test_the_same_holds_where_one_of_them_merges_by_hand_and_keeps_one_side(tmp_path, monkeypatch):
    monkeypatch.setenv("HOME", str(tmp_path))
    for name in ("XDG_CONFIG_HOME", "XDG_STATE_HOME", "GIT_CONFIG_GLOBAL"):
        monkeypatch.setenv(name, str(tmp_path / name))
    assert play(tmp_path, 3, plain=NAMES[1], careless=True) == []
