"""Answers kept between runs, in the person's own cache folder; to be lost at any moment.

An answer is kept under a digest of all that it follows from: every byte of the notebook, the
program itself, and what was asked. So it is never stale, and cold and warm give the same.
"""

from __future__ import annotations

import json
import os
from collections.abc import Callable
from hashlib import blake2b
from pathlib import Path
from typing import Any

from fieldbook import __version__
from fieldbook.store import durable, names

PROGRAM = Path(__file__).parents[1]


def kept(notebook: str, asked: str, work_out: Callable[[], Any]) -> Any:
    """The answer to what is asked of a notebook as it stands: kept, or worked out and kept.

    `work_out` gives what JSON can hold; what it gives is what a later run gets.
    """
    digest = _digest(notebook, asked)
    path = _file(notebook, asked)
    try:
        found = json.loads(path.read_text(encoding="utf-8"))
        if found["digest"] == digest:
            return found["answer"]
    except (OSError, ValueError, KeyError, TypeError):
        pass  # nothing kept, or nothing that can be read: it is worked out anew
    answer = work_out()
    if _digest(notebook, asked) == digest:
        _keep(path, {"digest": digest, "answer": answer})
    return json.loads(json.dumps(answer))


def _keep(path: Path, kept_answer: dict[str, Any]) -> None:
    beside = path.with_suffix(f".{os.getpid()}")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        beside.write_text(json.dumps(kept_answer), encoding="utf-8")
        beside.replace(path)
    except OSError:
        return  # a full or read-only disk only costs the time to work it out again


def _file(notebook: str, asked: str) -> Path:
    home = os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache"
    name = blake2b(f"{notebook}\0{asked.partition(' ')[0]}".encode(), digest_size=12).hexdigest()
    return Path(home) / "fieldbook" / f"{name}.json"


def _digest(notebook: str, asked: str) -> str:
    digest = blake2b(asked.encode(), digest_size=20)
    digest.update(_program().encode())
    for address in (names.SETTINGS_FILE, *names.addresses(notebook)):
        file = names.file_of(address)
        digest.update(f"\0{file}\0".encode())
        try:
            digest.update(durable.read_file(os.path.join(notebook, *file.split("/"))))
        except (OSError, durable.NotAFile) as error:
            digest.update(f"{type(error).__name__} {error}".encode())
    return digest.hexdigest()


def _program() -> str:
    """The program by its version and the newest and the number of its files."""
    newest, count = 0, 0
    for folder, _, files in os.walk(PROGRAM):
        for file in files:
            if file.endswith((".py", ".toml")):
                newest = max(newest, os.stat(os.path.join(folder, file)).st_mtime_ns)
                count += 1
    return f"{__version__} {newest} {count}"
