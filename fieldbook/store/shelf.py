"""What is kept of a notebook from run to run, in the person's own cache folder.

It may be lost at any moment, and nothing but time is lost with it. Whatever follows from the bytes
of a file is kept under a digest of them, and all of it is dropped when the program or the settings
of the notebook are others than they were. It does not grow without end (`shelf_room.py`).
"""

from __future__ import annotations

import os
import sqlite3
import stat
import sys
import time
import weakref
from contextlib import suppress
from hashlib import blake2b
from pathlib import Path
from zlib import crc32

from fieldbook import __version__
from fieldbook.store import durable, names, shelf_room

PROGRAM = Path(__file__).parents[1]
_SETTLED = 2.0
"""[s] A file changed within this time may change again under the same stamp."""
_PATIENCE = 0.2
"""[s] For another program that is writing to the shelf; longer is not worth the wait."""
_TABLES = """
CREATE TABLE IF NOT EXISTS made_for (word TEXT);
CREATE TABLE IF NOT EXISTS files (address TEXT PRIMARY KEY, stamp TEXT, digest TEXT);
CREATE TABLE IF NOT EXISTS answers (name TEXT PRIMARY KEY, answer BLOB);
"""


class Shelf:
    """Answers kept for one notebook, by name. Where nothing can be kept, nothing is found."""

    def __init__(self, folder: Path | str) -> None:
        self.folder = os.path.realpath(folder)
        self.epoch = 0
        """Grows when what was read may be older than the states told from then on."""
        self._states: dict[str, str] = {}
        self._addresses: tuple[str, ...] | None = None
        self._files: dict[str, tuple[str, str]] = {}
        self._new_files: dict[str, tuple[str, str]] = {}
        self._new_answers: dict[str, bytes] = {}
        self._asked: set[str] = set()
        self._settings = self._digest_of_file(names.SETTINGS_FILE)
        self._held = _open(_path(self.folder))
        self._word = f"{_program()} {self._settings}"
        if self._held is not None:
            weakref.finalize(self, self._held.close)
            try:
                self._begin(self._held)
            except sqlite3.Error:
                self._held = None  # another program writes to it: this run does without

    def get(self, name: str) -> bytes | None:
        """What was put under a name."""
        if name in self._new_answers:
            return self._new_answers[name]
        if self._held is None:
            return None
        self._asked.add(name)
        with suppress(sqlite3.Error):
            rows = self._held.execute("SELECT answer FROM answers WHERE name = ?", (name,))
            found = rows.fetchone()
            return _whole(found[0]) if found and isinstance(found[0], bytes) else None
        return None

    def put(self, name: str, answer: bytes) -> None:
        """Keep an answer, from `save` on."""
        self._new_answers[name] = answer

    def state(self, address: str) -> str:
        """A digest of the bytes of an entry's file, or of the names in a `FOLDER/`."""
        if address not in self._states:
            folder = address.endswith("/")
            self._states[address] = self._names(address) if folder else self._digest(address)
        return self._states[address]

    def is_for_settings(self) -> bool:
        """Whether the settings of the notebook are still those that its answers are for."""
        return self._settings == self._digest_of_file(names.SETTINGS_FILE)

    def whole(self) -> str:
        """A digest of all that the notebook's entries are."""
        words = blake2b(digest_size=16)
        for address in names.addresses(self.folder):
            words.update(f"{address} {self.state(address)}\n".encode())
        return words.hexdigest()

    def save(self) -> None:
        """Write what was put; a full disk or another writer only costs the time to redo it."""
        held = self._held
        if held is None or not (self._new_answers or self._new_files or self._is_worth_marking()):
            return
        files = [(address, *row) for address, row in self._new_files.items()]
        there = set(names.addresses(self.folder)) if files else set(self._files)
        gone = [(address,) for address in sorted(self._files.keys() - there)]
        put = {name: _summed(answer) for name, answer in self._new_answers.items()}
        with suppress(sqlite3.Error), held:
            held.execute("BEGIN IMMEDIATE")
            if self._is_made_for(held):
                held.executemany("INSERT OR REPLACE INTO files VALUES (?, ?, ?)", files)
                held.executemany("DELETE FROM files WHERE address = ?", gone)
                held.executemany("INSERT OR REPLACE INTO answers VALUES (?, ?)", put.items())
                shelf_room.mark(held, put, sorted(self._asked))
        self._new_answers, self._new_files, self._asked = {}, {}, set()

    def _is_worth_marking(self) -> bool:
        with suppress(sqlite3.Error):
            return bool(self._asked and self._held and shelf_room.is_filling(self._held))
        return False

    def forget_states(self, address: str = "") -> None:
        """Look at a file again, or at all of them: they may have changed since."""
        if not address:
            self._states, self._addresses = {}, None
            self.epoch += 1
            return
        before = self._states.pop(address, None)
        if before is not None and before != self.state(address):
            self.epoch += 1

    def _is_made_for(self, held: sqlite3.Connection) -> bool:
        """Whether it is for this program and these settings; others may have cleared it since."""
        return held.execute("SELECT word FROM made_for").fetchall() == [(self._word,)]

    def _begin(self, held: sqlite3.Connection) -> None:
        held.executescript(f"{_TABLES}{shelf_room.TABLE};")
        if not self._is_made_for(held):
            with held:
                held.execute("BEGIN IMMEDIATE")
                for table in ("made_for", "files", "answers", "uses"):
                    held.execute(f"DELETE FROM {table}")
                held.execute("INSERT INTO made_for VALUES (?)", (self._word,))
        rows = held.execute("SELECT address, stamp, digest FROM files").fetchall()
        self._files = {address: (stamp, digest) for address, stamp, digest in rows}

    def _names(self, folder: str) -> str:
        if self._addresses is None:
            self._addresses = tuple(names.addresses(self.folder))
        found = sorted(each for each in self._addresses if each.startswith(folder))
        return blake2b("\n".join(found).encode(), digest_size=16).hexdigest()

    def _digest(self, address: str) -> str:
        """Of the file as it stands; as kept where its stamp is the same and old enough to trust."""
        stamp = _stamp(os.path.join(self.folder, *names.file_of(address).split("/")))
        known = self._files.get(address)
        if known is not None and stamp and known[0] == stamp:
            return known[1]
        digest = self._digest_of_file(names.file_of(address))
        if stamp:
            self._files[address] = self._new_files[address] = (stamp, digest)
        return digest

    def _digest_of_file(self, file: str) -> str:
        try:
            data = durable.read_file(os.path.join(self.folder, *file.split("/")))
        except (OSError, durable.NotAFile) as error:
            return f"{type(error).__name__} {error}"
        return blake2b(data, digest_size=16).hexdigest()


def _summed(answer: bytes) -> bytes:
    return crc32(answer).to_bytes(4, "big") + answer


def _whole(kept: bytes) -> bytes | None:
    """An answer as it was put; None where a power cut left another."""
    answer = kept[4:]
    return answer if kept[:4] == crc32(answer).to_bytes(4, "big") else None


def _stamp(path: str) -> str:
    """What changes with a file, or nothing while it may change unseen."""
    try:
        status = os.lstat(path)
    except OSError:
        return ""
    if time.time() - max(status.st_mtime, status.st_ctime) < _SETTLED:
        return ""
    return f"{status.st_mtime_ns} {status.st_ctime_ns} {status.st_size} {status.st_ino}"


def _path(notebook: str) -> str:
    home = os.environ.get("XDG_CACHE_HOME", "")
    if not os.path.isabs(home):  # within a notebook others could put things there
        home = os.path.join(os.path.expanduser("~"), ".cache")
    name = blake2b(notebook.encode(), digest_size=12).hexdigest()
    return os.path.join(home, "fieldbook", f"{name}.kept")


def _open(path: str) -> sqlite3.Connection | None:
    """The shelf in its file; None where it cannot be, or where others could put things on it.

    Answers are unpacked as they lie there, so nobody else may have written them.
    """
    folder, held = os.path.dirname(path), None
    try:
        os.makedirs(folder, mode=0o700, exist_ok=True)
        if not (_is_mine(folder) and (_is_mine(path) or not os.path.lexists(path))):
            return None
        is_new = not os.path.exists(path)
        descriptor = os.open(path, os.O_RDWR | os.O_CREAT, 0o600)
        os.close(descriptor)
        if is_new:
            shelf_room.trim_folder(folder)
        held = sqlite3.connect(path, timeout=_PATIENCE, check_same_thread=False)
        held.execute("PRAGMA synchronous = OFF")
        held.execute("SELECT count(*) FROM sqlite_master").fetchone()
    except sqlite3.DatabaseError as error:
        if held is not None:
            held.close()
        if not isinstance(error, sqlite3.OperationalError):  # which says that another one writes
            with suppress(OSError):
                os.unlink(path)  # torn by a power cut: the next run begins a new one
        return None
    except OSError:
        return None
    return held


def _is_mine(path: str) -> bool:
    try:
        status = os.lstat(path)
    except OSError:
        return False
    own = not hasattr(os, "getuid") or status.st_uid == os.getuid()
    closed = not status.st_mode & (stat.S_IWGRP | stat.S_IWOTH)
    return own and closed and not stat.S_ISLNK(status.st_mode)


def _program() -> str:
    """The program by its version, its newest file and their number, and what it stands among.

    Answers hold objects of other packages: one that is installed or renewed makes another program.
    """
    beside = [path for path in sys.path if path.endswith("-packages") and os.path.isdir(path)]
    installed = [os.stat(path).st_mtime_ns for path in beside]
    newest, count = 0, 0
    for folder, _, files in os.walk(PROGRAM):
        for file in files:
            if file.endswith((".py", ".toml")):
                newest = max(newest, os.stat(os.path.join(folder, file)).st_mtime_ns)
                count += 1
    return f"{__version__} {newest} {count} {installed} {sys.version} {sys.platform}"
