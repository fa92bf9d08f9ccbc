"""A folder of broken files: one problem for each fault, and the good entries stand."""

from __future__ import annotations

import hashlib
import os
import subprocess
import sys

import pytest

from fieldbook.store import Store

BATCH = 'mix = "reach-3-1"\nmoulded = 2026-04-02\ncount = 1\n'

B = BATCH.encode()
BROKEN = {
    # name: content, line of the problem, part of what is said, part of the remedy
    "not-toml": (b"Moulded 180 on Tuesday.\n", 1, "cannot be read at column", "KEY = VALUE"),
    "prose": (b"Moulded, so far: 180\n", 1, "cannot be read", "KEY = VALUE"),
    "twice": (B + b"count = 2\n", 4, "overwrite", "same key"),
    "table-twice": (B + b"[green]\n[mould]\n[green]\n", 6, "twice", "header"),
    "key-twice": (B + b"[log]\n'a' = { x = 1, x = 2 }\n", 5, "x", "twice"),
    "conflict": (
        B + b"<<<<<<< HEAD\ntitle = 'a'\n=======\ntitle = 'b'\n>>>>>>> theirs\n",
        4, "conflict marks", "=======",
    ),
    "diff3": (
        B + b"[log]\n<<<<<<< ours\n||||||| base\n=======\n>>>>>>> theirs\n",
        5, "conflict marks", "<<<<<<<",
    ),
    "latin-1": (B + 'note = "gebrannt für Jörg"\n'.encode("latin-1"), 4, "UTF-8", "iconv"),
    "binary": (bytes(range(256)) * 40, 1, "NUL", "good copy"),
    "nul-inside": (b'note = "a\0b"\n', 1, "NUL", "good copy"),
    "utf-16": (BATCH.encode("utf-16"), 1, "NUL", "good copy"),
    "deep": (B + b"note = " + b"[" * 3000 + b"]" * 3000 + b"\n", 4, "nested", "brackets"),
    "deep-tables": (
        B + b"note = " + b"{a=" * 3000 + b"1" + b"}" * 3000 + b"\n",
        4, "nested", "brackets",
    ),
    "dotted": (B + b"a." * 20000 + b"a = 1\n", 4, "more than 100 parts", "Delete"),
    "dotted-header": (B + b"[" + b"a." * 20000 + b"a]\n", 4, "more than 100 parts", "Delete"),
    "dotted-inside": (
        B + b"note = { " + b'"a".' * 20000 + b"a = 1 }\n",
        4, "more than 100", "Delete",
    ),
    "unclosed": (B + b'note = "no end\n', 4, "cannot be read", "quote"),
    "open-list": (b"parts = [\n  1,\n", 2, "cannot be read", ""),
    "bare-word": (B + b"title = first\n", 4, "invalid value", "quotes"),
    "bad-date": (B + b"dug = 2026-02-30\n", 4, "date", "exists"),
    "long-number": (B + b"note = " + b"9" * 5000 + b"\n", 4, "thousands of digits", ""),
    "escape": (B + b'note = "C:\\kiln"\n', 4, "escape", "backslash"),
    "lone-return": (B + b"title = 'a'\rnote = 'b'\n", 4, "cannot be read", ""),
    "two-ways": (B + b"green = 1\n[green.x]\n", 5, "cannot be read", ""),
    "escape-code": (B + b"title = 'a\x1b[2J'\n", 4, "cannot be read", ""),
    "no-unit": (B + b'green = { length = "246" }\n', 4, "has no unit", "246 mm"),
    "wrong-dimension": (B + b'green = { length = "3 kg" }\n', 4, "is a mass", "a length"),
    "nan": (B + b"green = { length = nan }\n", 4, "nan is no number", "what was read"),
    "infinite": (B + b"green = { length = inf }\n", 4, "inf is no number", "what was read"),
    "impossible": (B + b'green = { length = "-3 mm" }\n', 4, "below zero", "sign"),
    "wrong-type": (B + b"title = 7\n", 4, "text is wanted", "quotes"),
    "unknown-key": (B + b"titel = 'a'\n", 4, "titel is not a key known", "title"),
    "missing-entry": (
        BATCH.replace("reach-3-1", "reach-3-2").encode(),
        1, "not in mixes", "reach-3-1",
    ),
}  # fmt: skip


@pytest.fixture
def broken(folder, tmp_path_factory):
    """The good notebook with every kind of broken file beside its entries."""
    for name, (content, *_) in BROKEN.items():
        (folder / f"batches/{name}.toml").write_bytes(content)
    outside = tmp_path_factory.mktemp("outside")
    (outside / "secret.toml").write_text("secret = 1\n")
    (folder / "batches/link.toml").symlink_to(outside / "secret.toml")
    (folder / "batches/dangling.toml").symlink_to(outside / "nothing.toml")
    os.mkfifo(folder / "batches/pipe.toml")
    (folder / "batches/folder.toml").mkdir()
    (folder / "batches/Big One.toml").write_text(BATCH)
    (folder / "batches/con.toml").write_text(BATCH)
    (folder / "batches/\x1b[2J.toml").write_text(BATCH)
    with (folder / "batches/huge.toml").open("wb") as file:
        file.truncate(17 * 1024 * 1024)
    (folder / "batches/windows.toml").write_bytes(
        b"\xef\xbb\xbf" + BATCH.replace("\n", "\r\n").encode()
    )
    return folder


def digest(folder):
    found = {}
    for path in sorted(folder.rglob("*")):
        if path.is_file() and not path.is_symlink():
            found[str(path)] = (
                hashlib.sha256(path.read_bytes()).hexdigest(),
                path.stat().st_mtime_ns,
            )
    return found


FILES = {
    "batches/link.toml": "links are not followed",
    "batches/dangling.toml": "links are not followed",
    "batches/pipe.toml": "not a regular file",
    "batches/folder.toml": "is a folder",
    "batches/Big One.toml": "a name that no entry can have",
    "batches/con.toml": "a name that no entry can have",
    "batches/\ufffd[2J.toml": "a name that no entry can have",
    "batches/huge.toml": "larger than 16 MiB",
}


def test_each_fault_is_one_problem_with_file_line_and_remedy(broken):
    before = digest(broken)
    problems = Store(broken).check()
    by_file = {}
    for problem in problems:
        by_file.setdefault(problem.path, []).append(problem)
        assert problem.remedy
        assert all(c.isprintable() for c in problem.path + problem.what + problem.remedy)
    for name, (_, line, what, remedy) in BROKEN.items():
        found = by_file.pop(f"batches/{name}.toml")
        assert len(found) == 1, found
        assert found[0].line == line, found[0]
        assert what in found[0].what and remedy in found[0].remedy, found[0]
    for name, what in FILES.items():
        found = by_file.pop(name)
        assert len(found) == 1 and what in found[0].what, found
    assert by_file == {}, "good entries have no problems"
    assert digest(broken) == before, "checking changes no file"


def test_good_entries_beside_broken_ones_still_work(broken):
    store = Store(broken)
    assert store.read("batches/2026-04-a").record.count == 180
    assert store.read("batches/windows").record.count == 1
    assert store.resolve("2026-04-a") == "batches/2026-04-a"
    unreadable = [a for a in store.addresses if store.read(a).record is None]
    assert "batches/not-toml" in unreadable and "batches/pipe" not in unreadable
    assert store.notebook().entry("batches/not-toml") is None
    store.set_fields("batches/2026-04-a", {"count": "181"})
    assert store.read("batches/2026-04-a").record.count == 181


def test_checking_them_ends_in_seconds(broken):
    """A process of its own is stopped after a minute, should one of the files hold it up."""
    code = "import sys; from fieldbook.store import Store; print(len(Store(sys.argv[1]).check()))"
    done = subprocess.run(
        [sys.executable, "-c", code, str(broken)],
        capture_output=True, text=True, timeout=60, check=True,
    )  # fmt: skip
    assert int(done.stdout) == len(BROKEN) + len(FILES)


@pytest.mark.parametrize("name", ["pipe", "link", "folder", "not-there"])
def test_what_is_no_file_is_read_as_a_problem(broken, name):
    read = Store(broken).read(f"batches/{name}")
    assert read.record is None and len(read.problems) == 1 and read.data == {}


def test_a_linked_folder_is_not_entered(folder, tmp_path_factory):
    outside = tmp_path_factory.mktemp("outside")
    (outside / "secret.toml").write_text("secret = 1\n")
    for path in (folder / "clays").iterdir():
        path.unlink()
    (folder / "clays").rmdir()
    (folder / "clays").symlink_to(outside)
    store = Store(folder)
    assert not any(address.startswith("clays/") for address in store.addresses)
    assert store.read("clays/secret").record is None
    assert [p.what for p in store.check() if p.path == "clays"] == [
        "is a link or a file, not a folder; it is not read"
    ]


def test_files_and_folders_in_the_wrong_place_are_pointed_out(folder, put):
    put("batch/a.toml", BATCH)
    put("stray.toml", BATCH)
    put("pictures/kiln.txt", "")
    problems = {p.path: p for p in Store(folder).check()}
    assert set(problems) == {"batch", "stray.toml"}
    assert "Rename the folder to batches" in problems["batch"].remedy
