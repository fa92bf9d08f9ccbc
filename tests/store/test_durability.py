"""What was acknowledged is on the disk: under SIGKILL, beside other writers, on a full disk."""

from __future__ import annotations

import errno
import random
import re
import shutil
import subprocess
import sys
import tempfile
import tomllib
from collections import Counter
from pathlib import Path

import pytest

from fieldbook.errors import FieldbookError
from fieldbook.store import durable
from fieldbook.store.repair import parse_or_mend

WRITERS = str(Path(__file__).with_name("writers.py"))
FIRING = "firings/2026-05-03.toml"
KILLS = 200


def run(*words: object) -> list[str]:
    done = subprocess.run(
        [sys.executable, WRITERS, *map(str, words)],
        capture_output=True, text=True, check=False, timeout=120,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    return done.stdout.splitlines()


def test_nothing_acknowledged_is_lost_or_doubled_when_the_writer_is_killed(folder):
    seed = random.randrange(10**6)
    print(f"seed {seed}")
    said = Counter(map(int, run("kill", folder, KILLS, seed)))
    data, _ = parse_or_mend((folder / FIRING).read_bytes())
    notes = [line.get("note", "") for line in data["log"].values()]
    found = Counter(int(n[1]) for note in notes if (n := re.fullmatch(r"line (\d+) ends", note)))
    assert len(said) > KILLS / 2, "the writers were killed before they wrote anything"
    assert not said - found, "acknowledged lines are lost"
    assert max(found.values()) == 1, "lines are doubled"
    assert not list(folder.rglob("*.tmp"))


def test_two_writers_at_once_lose_nothing(folder):
    both = [
        subprocess.Popen([sys.executable, WRITERS, "lines", str(folder), name, "200"])
        for name in ("ines", "tom")
    ]
    assert [process.wait(120) for process in both] == [0, 0]
    log = tomllib.loads((folder / FIRING).read_text())["log"]
    notes = Counter(line["note"] for line in log.values() if "by" in line)
    assert notes == Counter(f"{name} {n}" for name in ("ines", "tom") for n in range(200))


def snapshot(folder: Path) -> dict[str, bytes]:
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in sorted(folder.rglob("*.toml*"))
        if path.is_file()
    }


def test_a_limit_on_the_size_of_files_ends_in_a_clear_word(folder):
    firing = folder / FIRING
    firing.write_text(firing.read_text() + "# " + "x" * 3000 + "\n")
    before = snapshot(folder)
    said = run("limit", folder, len(firing.read_bytes()) + 100)
    assert len(said) == 3 and all("disk is full" in line for line in said[:2])
    after = snapshot(folder)
    after.pop("clays/new.toml", None)
    assert after == before


@pytest.fixture
def full_disk(folder):
    """A disk of its own with nothing left on it; skips where none can be mounted."""
    disk = Path(tempfile.mkdtemp(prefix="full-disk-"))
    mount = ["mount", "-t", "tmpfs", "-o", "size=256k", "none", str(disk)]
    tried = subprocess.run(mount, capture_output=True, text=True, check=False)
    if tried.returncode:
        disk.rmdir()
        pytest.skip(
            f"no disk can be mounted here, so the size limit alone is tested: {tried.stderr}"
        )
    try:
        notebook = disk / "notebook"
        shutil.copytree(folder, notebook)
        firing = notebook / FIRING
        size = len(firing.read_bytes())
        firing.write_bytes(firing.read_bytes() + b"#" * (4096 - size - 1) + b"\n")
        (notebook / ".fieldbook").mkdir()
        (notebook / ".fieldbook/lock").touch()
        with (disk / "filler").open("wb", buffering=0) as filler, pytest.raises(OSError):
            while True:
                filler.write(b"x" * 4096)
        yield notebook
    finally:
        subprocess.run(["umount", str(disk)], check=True)
        disk.rmdir()


def test_a_full_disk_ends_in_a_clear_word_and_an_untouched_file(full_disk):
    before = snapshot(full_disk)
    said = run("line", full_disk)
    assert len(said) == 3 and all("disk is full" in line for line in said), said
    assert snapshot(full_disk) == before


def test_a_folder_that_may_not_be_written_ends_in_a_clear_word(folder):
    with tempfile.TemporaryDirectory(prefix="read-only-") as base:
        Path(base).chmod(0o755)
        notebook = Path(base) / "notebook"
        shutil.copytree(folder, notebook)
        for path in (notebook, *notebook.rglob("*")):
            path.chmod(0o555 if path.is_dir() else 0o444)
        before = snapshot(notebook)
        said = run("stranger", notebook)
        assert len(said) == 3 and all("writing is not allowed" in line for line in said), said
        assert snapshot(notebook) == before
        for path in (notebook, *notebook.rglob("*")):
            path.chmod(0o755)


def test_a_folder_that_is_not_confirmed_is_not_called_unsaved(folder, monkeypatch):
    path = folder / "clays/reach.toml"

    def refused(_):
        raise OSError(errno.EIO, "Input/output error")

    monkeypatch.setattr(durable, "sync_folder", refused)
    with pytest.raises(FieldbookError, match="written, but the disk did not confirm") as error:
        durable.replace_file(str(path), b'place = "bend"\n', "clays/reach.toml")
    assert "Nothing was saved" not in str(error.value)
    assert path.read_bytes() == b'place = "bend"\n'


def test_a_disk_without_that_call_is_no_fault(folder, monkeypatch):
    def none_such(_):
        raise OSError(errno.EINVAL, "Invalid argument")

    monkeypatch.setattr(durable, "sync_folder", none_such)
    durable.create_file(str(folder / "clays/hill.toml"), b"", "clays/hill.toml")
    assert (folder / "clays/hill.toml").exists()
