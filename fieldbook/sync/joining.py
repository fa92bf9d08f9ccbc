"""Joining the notebook of a group from an empty folder; who has one already says `share` in it."""

from __future__ import annotations

import getpass
import shutil
from pathlib import Path

from fieldbook.errors import FieldbookError
from fieldbook.store.names import OWN_FOLDER, SETTINGS_FILE
from fieldbook.sync.git import Git
from fieldbook.sync.sharing import goes_by
from fieldbook.sync.syncing import Report, Sync


def join(folder: Path, url: str) -> Report:
    """Bring the notebook at an address into an empty folder, and share it from there.

    Where git knows no name, what is written here goes by the name this machine knows a person by.

    Raises:
        FieldbookError: the folder holds something, or there is no notebook at the address.
    """
    folder = folder.resolve()
    folder.mkdir(parents=True, exist_ok=True)
    if any(folder.iterdir()):
        raise FieldbookError(
            f"{folder} is no notebook and holds other things\n"
            "    To join a notebook, say this in an empty folder; to begin one: fieldbook start"
        )
    try:
        report = Sync(folder, getpass.getuser()).share(url)
    except FieldbookError:
        _empty(folder)
        raise
    if not (folder / SETTINGS_FILE).exists():
        _empty(folder)
        raise FieldbookError(
            f"there is no notebook at {url} yet\n"
            "    Whoever has one brings it there: fieldbook share URL, said in it"
        )
    return report._replace(note=_name_of(folder))


def _name_of(folder: Path) -> str:
    """Says what one's lines go by, where git knew no name."""
    name = Git(folder)("config", "--local", "user.name", check=False).text.strip()
    return goes_by(name)


def _empty(folder: Path) -> None:
    """Take away what joining made in a folder that was empty."""
    shutil.rmtree(folder / ".git", ignore_errors=True)
    for name in (".gitignore", OWN_FOLDER):
        path = folder / name
        shutil.rmtree(path, ignore_errors=True) if path.is_dir() else path.unlink(missing_ok=True)
