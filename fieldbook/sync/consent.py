"""In which folders the person has switched sharing on: kept outside the folders themselves.

A consent is for one history: it holds a word that stands in the history's own folder as well, and
never travels. Another history that is put in the same place does not know it, and is asked about.
"""

from __future__ import annotations

import hashlib
import os
from pathlib import Path

from fieldbook.store.durable import replace_file

WORD = "fieldbook-consent"


def _file(folder: Path) -> Path:
    home = Path(os.environ.get("XDG_CONFIG_HOME", ""))
    if not home.is_absolute():  # to be left out of account (XDG Base Directory Specification 0.8)
        home = Path.home() / ".config"
    name = hashlib.sha256(os.fsencode(folder.resolve())).hexdigest()[:32]
    return home / "fieldbook" / "shared" / name


def given(folder: Path) -> bool:
    """Whether sharing is on for the history in a folder."""
    word = _read(folder / ".git" / WORD)
    return bool(word) and _read(_file(folder)).partition("\n")[0] == word


def give(folder: Path) -> None:
    """Switch sharing on for the history in a folder; each folder has a file of its own."""
    if given(folder):
        return
    word, path = os.urandom(16).hex(), _file(folder)
    path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    replace_file(str(folder / ".git" / WORD), word.encode(), f".git/{WORD}")
    replace_file(str(path), f"{word}\n{folder.resolve()}\n".encode(), str(path))


def _read(path: Path) -> str:
    try:
        return path.read_text(encoding="utf-8").strip()
    except (OSError, UnicodeDecodeError):
        return ""
