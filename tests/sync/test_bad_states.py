"""Whatever state a folder or the other side is in: as it was or fully merged, and a sentence."""

import errno
import os
import tomllib

import pytest

from fieldbook.errors import FieldbookError
from fieldbook.store import durable
from fieldbook.sync.locked_there import take_away
from fieldbook.sync.syncing import Sync
from tests.sync.conftest import ENTRY, git

NOON = '"2026-09-06 12:00:00+00:00" = { turned = true, by = "ines" }'
LATER = '"2026-09-06 18:00:00+00:00" = { covered = true, by = "tomas" }'


def test_a_history_rewritten_on_the_other_side_loses_nothing(makers, stick):
    ines, tomas = makers
    before = git(stick, "rev-parse", "main").strip()
    ines.add("batches/a.toml", NOON)
    ines.sync.apply()
    git(stick, "update-ref", "refs/heads/main", before)
    tomas.add("batches/a.toml", LATER)
    tomas.sync.apply()
    ines.sync.apply()
    tomas.sync.apply()
    assert ines.files == tomas.files
    assert len(tomllib.loads(ines.read("batches/a.toml"))["log"]) == 2


def test_a_detached_head_and_a_rebase_begun_by_hand_are_refused(makers):
    ines, _ = makers
    sync = ines.sync
    (ines.folder / ".git/rebase-merge").mkdir()
    with pytest.raises(FieldbookError, match="git rebase --continue"):
        sync.apply()
    (ines.folder / ".git/rebase-merge").rmdir()
    git(ines.folder, "checkout", "-q", "--detach")
    with pytest.raises(FieldbookError, match="git switch main"):
        sync.apply()


def test_what_a_person_staged_by_hand_is_kept_and_stays_staged(makers):
    ines, tomas = makers
    ines.write("batches/b.toml", ENTRY)
    ines.write("drawing.txt", "an arch\n")
    ines.sync  # noqa: B018 - takes on the person's own folders
    git(ines.folder, "add", "batches/b.toml", "drawing.txt")
    git(ines.folder, "rm", "-q", "--cached", "batches/a.toml")
    ines.sync.apply()
    tomas.sync.apply()
    assert tomas.read("batches/b.toml") == ENTRY
    assert tomas.read("batches/a.toml") == ENTRY
    assert git(ines.folder, "status", "--porcelain").split() == ["A", "drawing.txt"]


def test_nobody_named_is_said(makers):
    ines, _ = makers
    sync = ines.sync
    git(ines.folder, "config", "--local", "--unset", "user.email")
    git(ines.folder, "config", "--local", "--unset", "user.name")
    sync.maker = None
    with pytest.raises(FieldbookError, match="nobody is named"):
        sync.apply()


def test_a_disk_that_fills_while_it_is_laid_out_is_gone_on_with_later(makers, monkeypatch):
    ines, tomas = makers
    ines.add("batches/a.toml", NOON)
    ines.sync.apply()
    tomas.add("batches/a.toml", LATER)
    before = tomas.files
    replace = os.replace

    def full(source, target):
        if str(target).endswith("a.toml"):
            raise OSError(errno.ENOSPC, "No space left on device")
        replace(source, target)

    with monkeypatch.context() as patch:
        patch.setattr(durable.os, "replace", full)
        with pytest.raises(FieldbookError, match="the disk is full"):
            tomas.sync.apply()
    assert tomas.files == before
    tomas.sync.apply()
    ines.sync.apply()
    assert ines.files == tomas.files
    assert len(tomllib.loads(tomas.read("batches/a.toml"))["log"]) == 2


def test_an_entry_too_large_for_others_is_not_sent(makers, monkeypatch):
    ines, _ = makers
    ines.write("batches/b.toml", ENTRY + "# " + "x" * 2000 + "\n")
    sync = ines.sync
    monkeypatch.setattr(durable, "LARGEST_FILE", 1000)
    with pytest.raises(FieldbookError, match=r"batches/b\.toml: the file is larger"):
        sync.apply()


def test_an_address_that_refuses_to_be_written_says_that_all_is_kept_here(makers, stick):
    ines, _ = makers
    git(stick, "config", "receive.denyDeletes", "true")
    hook = stick / "refs/heads/main.lock"
    hook.mkdir()  # a folder in the way of git's lock: no push can go through
    ines.add("batches/a.toml", NOON)
    with pytest.raises(FieldbookError, match="Sync again in a minute"):
        ines.sync.apply()
    hook.rmdir()
    assert ines.sync.apply().sent == ("1 observation on batch a",)


def test_a_lock_that_another_git_left_is_named_and_nothing_is_lost(makers):
    ines, tomas = makers
    lock = ines.folder / ".git/index.lock"
    lock.touch()
    ines.add("batches/a.toml", NOON)
    with pytest.raises(FieldbookError, match=r"index\.lock.*\n.*delete that file"):
        ines.sync.apply()
    lock.unlink()
    ines.sync.apply()
    tomas.sync.apply()
    assert NOON in tomas.read("batches/a.toml")


def test_a_folder_cloned_by_plain_git_is_taken_on_whatever_names_git_gives_its_objects(
    makers, tmp_path
):
    """git can name objects by SHA-256 as well; the folder comes with its own address and branch."""
    ines, _ = makers
    ines.sync  # noqa: B018 - takes on the person's own folders
    other = tmp_path / "other.git"
    for words in (("--bare", str(other)), ("one",)):
        git(tmp_path, "init", "-q", "--object-format=sha256", "--initial-branch=ours", *words)
    git(tmp_path / "one", "remote", "add", "origin", str(other))
    one, two = (Sync(tmp_path / name, name) for name in ("one", "two"))
    (one.folder / "batches").mkdir()
    (one.folder / "notebook.toml").write_text('format = 1\ntimezone = "UTC"\n', encoding="utf-8")
    for name in ("a", "b"):
        (one.folder / f"batches/{name}.toml").write_text(ENTRY, encoding="utf-8")
    one.share(None)
    git(tmp_path, "clone", "-q", str(other), "two")
    two.share(None)
    (two.folder / "batches/a.toml").unlink()
    two.apply()
    with (one.folder / "batches/b.toml").open("a", encoding="utf-8") as file:
        file.write(NOON + "\n")
    one.apply()
    two.apply()
    for each in (one, two):
        assert [path.name for path in (each.folder / "batches").iterdir()] == ["b.toml"]
        assert NOON in (each.folder / "batches/b.toml").read_text(encoding="utf-8")
    assert git(one.folder, "status", "--porcelain") == ""


def test_a_lock_that_a_sync_cut_short_left_where_all_share_is_named_and_goes_when_it_is_old(
    makers, stick
):
    ines, _ = makers
    ines.add("batches/a.toml", NOON)
    lock = stick / "refs/heads/main.lock"
    lock.touch()
    with pytest.raises(FieldbookError, match=r"is locked: .*main\.lock"):
        ines.sync.apply()
    assert lock.exists()
    long_ago = lock.stat().st_mtime - 120
    os.utime(lock, (long_ago, long_ago))
    ines.sync.apply()
    assert not lock.exists()
    assert "12:00:00" in git(stick, "show", "main:batches/a.toml")


def test_a_lock_outside_of_the_shared_folder_is_left_alone(makers, stick, tmp_path):
    ines, _ = makers
    mine = tmp_path / "mine.lock"
    mine.touch()
    os.utime(mine, (1, 1))
    take_away(ines.folder, str(stick), str(mine))
    take_away(ines.folder, str(stick), str(stick / ".." / "mine.lock"))
    take_away(ines.folder, "https://example.org/b.git", str(mine))
    assert mine.exists()
