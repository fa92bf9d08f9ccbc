"""The history is packed once in a while, after a sync; killed at it, nothing is lost."""

import os
import signal
import subprocess
import sys
import time

import pytest

from fieldbook.cli.main import main
from fieldbook.errors import FieldbookError
from fieldbook.store.lock import Lock
from fieldbook.sync import packing
from tests.sync.conftest import git

MANY = 1000


def gathered(maker, many: int = MANY, first: int = 0) -> None:
    """Objects as years of syncing leave them, each in a file of its own."""
    feed = []
    for number in range(many):
        data = f"# {first + number}\n" + f"{(first + number) * 7919} is written here\n" * 40
        feed.append(f"blob\nmark :{number + 1}\ndata {len(data)}\n{data}\n")
    rows = "".join(f"M 100644 :{number + 1} old/{number}\n" for number in range(many))
    feed.append(f"commit refs/heads/old\ncommitter a <a@b> 1700000000 +0000\ndata 1\nx\n{rows}\n")
    words = ["git", "-c", "fastimport.unpackLimit=1000000", "fast-import", "--quiet"]
    subprocess.run(words, cwd=maker.folder, input="".join(feed).encode(), check=True)


def loose(maker) -> int:
    return sum(1 for _ in (maker.folder / ".git/objects").glob("[0-9a-f][0-9a-f]/*"))


@pytest.fixture
def ines(makers, monkeypatch):
    ines, _ = makers
    ines.sync  # noqa: B018 - takes on the person's own folders
    monkeypatch.setattr(packing, "LOOSE", 500)
    return ines


def sync(ines) -> int:
    return main(["sync", "--notebook", str(ines.folder)])


def test_what_gathered_is_packed_after_a_sync_and_said(ines, capsys):
    gathered(ines)
    old = git(ines.folder, "rev-parse", "old").strip()
    assert sync(ines) == 0
    told = capsys.readouterr()
    assert "nothing was new" in told.out
    assert packing.WORD in told.err
    assert loose(ines) < 10
    assert git(ines.folder, "fsck", "--full", "--no-dangling") == ""
    assert git(ines.folder, "rev-parse", "old").strip() == old
    ines.write("clays/reach.toml", 'place = "the reach"\n')
    assert sync(ines) == 0
    assert packing.WORD not in capsys.readouterr().err


def test_a_small_history_is_let_be(ines, capsys):
    before = loose(ines)
    assert sync(ines) == 0
    assert capsys.readouterr().err == ""
    assert loose(ines) >= before


def test_what_no_name_leads_to_is_packed_too_and_not_tried_again_the_same_day(ines):
    gathered(ines)
    lost = git(ines.folder, "rev-parse", "old:old/7").strip()
    git(ines.folder, "update-ref", "-d", "refs/heads/old")
    packing.pack(ines.sync.git)
    assert "7 is written" not in git(ines.folder, "cat-file", "blob", "HEAD:batches/a.toml")
    assert f"{7 * 7919} is written here" in git(ines.folder, "cat-file", "blob", lost)
    gathered(ines, MANY - 1)
    assert not packing.is_due(ines.sync.git)
    assert packing.is_due(ines.sync.git, time.time() + 25 * 3600)


def is_killed_at_it(maker) -> bool:
    """Whether a packing that was begun could be killed before it had ended."""
    code = "import sys; from pathlib import Path; from fieldbook.sync import packing, git; "
    code += "packing.pack(git.Git(Path(sys.argv[1])))"
    words = [sys.executable, "-c", code, str(maker.folder)]
    begun = subprocess.Popen(words, start_new_session=True)
    folder = maker.folder / ".git/objects/pack"
    while begun.poll() is None and not any(folder.glob("*tmp*")):
        time.sleep(0.001)
    if begun.poll() is None:
        os.killpg(begun.pid, signal.SIGKILL)
    return begun.wait() == -signal.SIGKILL


def test_killed_in_the_middle_it_has_lost_nothing(ines):
    for again in range(10):  # a quick machine may have ended it; so it is begun with other objects
        gathered(ines, 2500, 2500 * again)
        if is_killed_at_it(ines):
            break
        git(ines.folder, "update-ref", "-d", "refs/heads/old")
    else:
        pytest.fail("ten times it ended before it could be killed")
    assert git(ines.folder, "fsck", "--full", "--no-dangling") == ""
    assert len(git(ines.folder, "ls-tree", "-r", "--name-only", "old").split()) == 2500
    ines.write("clays/reach.toml", 'place = "the reach"\n')
    assert sync(ines) == 0
    os.utime(ines.folder / ".git" / packing.TRIED, (1, 1))
    assert sync(ines) == 0
    assert loose(ines) < 10
    assert git(ines.folder, "fsck", "--full", "--no-dangling") == ""


def test_what_a_killed_one_had_not_finished_goes_days_later(ines):
    folder = ines.folder / ".git/objects/pack"
    old, new = folder / "tmp_pack_aaaaaa", folder / "tmp_pack_bbbbbb"
    for path in (old, new):
        path.write_bytes(b"PACK")
    os.utime(old, (1, 1))
    packing.pack(ines.sync.git)
    assert not old.exists()
    assert new.exists()


def test_it_does_not_wait_for_another_sync(ines):
    with Lock(str(ines.folder), name="sync"), pytest.raises(FieldbookError):
        packing.pack(ines.sync.git)


def test_a_packing_that_is_stopped_or_fails_leaves_the_sync_as_done(ines, capsys, monkeypatch):
    monkeypatch.setattr(packing, "is_due", lambda _: True)
    for error, said in ((KeyboardInterrupt, "stopped"), (FieldbookError("no"), "not packed")):

        def fails(_git, error=error):
            raise error

        monkeypatch.setattr(packing, "pack", fails)
        assert sync(ines) == 0
        assert said in capsys.readouterr().err
