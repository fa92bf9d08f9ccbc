"""What is kept between runs stays within bounds: what was not asked for the longest goes first."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from fieldbook.store import shelf as shelves
from fieldbook.store import shelf_room
from fieldbook.store.shelf import Shelf

KIB = 1024


@pytest.fixture
def yard(tmp_path, monkeypatch):
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    monkeypatch.setattr(shelves, "_program", lambda: "this one")
    monkeypatch.setattr(shelf_room, "MOST", 10 * KIB)
    folder = tmp_path / "yard"
    folder.mkdir()
    (folder / "notebook.toml").write_text("format = 1\n")
    return folder


def put(folder: Path, *names: str, size: int = KIB) -> None:
    shelf = Shelf(folder)
    for name in names:
        shelf.put(name, os.urandom(size - 4))  # beside its sum of four bytes
    shelf.save()


def kept(folder: Path, *names: str) -> str:
    """Which of some answers are kept, without asking for them."""
    shelf = Shelf(folder)  # closes what it holds when it goes
    held = shelf._held
    found = {name for (name,) in held.execute("SELECT name FROM answers")}
    assert found == {name for (name,) in held.execute("SELECT name FROM uses")}
    return "".join(name for name in names if name in found)


def test_what_fits_is_kept(yard):
    for name in "abcdefghij":
        put(yard, name)
    assert kept(yard, *"abcdefghij") == "abcdefghij"


def test_what_was_put_first_and_not_asked_since_goes_first(yard):
    for name in "abcdefghijk":  # eleven of 1 KiB where ten fit: down to three quarters
        put(yard, name)
    assert kept(yard, *"abcdefghijk") == "efghijk"


def test_what_was_asked_for_stays(yard):
    for name in "abcdefghij":
        put(yard, name)
    shelf = Shelf(yard)
    assert shelf.get("a") is not None and shelf.get("c") is not None
    shelf.save()  # nothing to put; so much is kept that the asking is worth a write
    put(yard, "k")
    assert kept(yard, *"abcdefghijk") == "acghijk"


def test_of_one_turn_the_first_by_name_goes_first(yard):
    put(yard, *"hgfedcba", size=KIB + 1)
    put(yard, *"zy")  # 10248 bytes: three go, until it is 7680 or less
    assert kept(yard, *"abcdefghyz") == "defghyz"


def test_the_same_turns_leave_the_same_answers(yard, tmp_path):
    other = tmp_path / "other"
    other.mkdir()
    (other / "notebook.toml").write_text("format = 1\n")
    for folder in (yard, other):
        for turn in range(30):
            put(folder, f"n{turn * 7 % 13:02d}", f"m{turn:02d}")
    names = [f"{kind}{n:02d}" for kind in "nm" for n in range(30)]
    assert kept(yard, *names) == kept(other, *names)
    assert len(kept(yard, *names)) <= 3 * 10


def test_entries_that_are_gone_leave_no_stamp(yard):
    (yard / "clays").mkdir()
    for name in ("one", "two"):
        (yard / "clays" / f"{name}.toml").write_text('title = "t"\n')
        os.utime(yard / "clays" / f"{name}.toml", (1, 1))
    shelf = Shelf(yard)
    shelf._new_files = {f"clays/{name}": ("stamp", "digest") for name in ("one", "two")}
    shelf.save()
    (yard / "clays" / "one.toml").unlink()
    shelf = Shelf(yard)
    shelf._new_files = {"clays/two": ("stamp", "other")}
    shelf.save()
    assert set(Shelf(yard)._files) == {"clays/two"}


WRITER = """
import os, sys
from fieldbook.store import shelf as shelves, shelf_room
shelves._program = lambda: "this one"
shelves._PATIENCE = 20.0
shelf_room.MOST = 10 * 1024
for turn in range(40):
    shelf = shelves.Shelf(sys.argv[1])
    for name in ("shared", sys.argv[2] + str(turn)):
        shelf.get(name)
        shelf.put(name, os.urandom(1020))
    shelf.save()
"""


def test_two_programs_at_one_shelf_keep_it_whole_and_within_bounds(yard):
    Shelf(yard).save()
    both = [subprocess.Popen([sys.executable, "-c", WRITER, str(yard), who]) for who in "ab"]
    assert [program.wait(60) for program in both] == [0, 0]
    shelf = Shelf(yard)
    names = [name for (name,) in shelf._held.execute("SELECT name FROM answers ORDER BY name")]
    assert "shared" in names and 7 <= len(names) <= 10
    assert all(len(shelf.get(name)) == 1020 for name in names)
    assert kept(yard, *names) == "".join(names)


def test_shelves_of_notebooks_nobody_opens_go(tmp_path, monkeypatch):
    monkeypatch.setattr(shelf_room, "NOTEBOOKS", 2)
    for age, name in enumerate("abcd"):
        (tmp_path / f"{name}.kept").write_bytes(b"")
        os.utime(tmp_path / f"{name}.kept", (1000 - age, 1000 - age))
    (tmp_path / "own.kept").write_bytes(b"")
    (tmp_path / "no shelf").write_bytes(b"")
    shelf_room.trim_folder(str(tmp_path))
    assert sorted(path.name for path in tmp_path.iterdir()) == [
        "a.kept", "b.kept", "no shelf", "own.kept"
    ]  # fmt: skip
