"""The history packed once in a while: thousands of small files become one.

git's own housekeeping is switched off in every call, so that no small sync waits for it or leaves
it running behind. Packing comes after a sync, seldom, and takes nothing away but what it has
packed: stopped or killed at any moment, it leaves every object where it was.
"""

from __future__ import annotations

import time
from contextlib import suppress
from pathlib import Path

from fieldbook.errors import FieldbookError
from fieldbook.store.lock import Lock
from fieldbook.sync.git import Git

LOOSE = 5000
"""Objects in files of their own from which on they are packed; ours, git's own is 6700."""
SELDOM = 24 * 3600.0
"""Seconds between two tries; ours."""
TRIED = "fieldbook-packed"
PACK = ("repack", "-a", "-d", "--keep-unreachable", "-l", "-n", "-q")
"""All in one pack, what no name leads to as well: nothing is ever thrown away."""
WORD = "packing the history into one file (done now and then); Ctrl-C stops it at no loss"


def is_due(git: Git, now: float | None = None) -> bool:
    """Whether many objects have gathered, and none were packed lately.

    Objects lie in 256 folders alike; one is counted.
    """
    hidden = git.folder / ".git"
    try:
        few = sum(1 for _ in (hidden / "objects" / "17").iterdir())
    except OSError:
        return False
    return few * 256 >= LOOSE and _age(hidden / TRIED, now or time.time()) > SELDOM


def pack(git: Git) -> None:
    """Pack every object.

    Raises:
        FieldbookError: it could not be done, or took too long; nothing is lost.
    """
    hidden = git.folder / ".git"
    git.refuse_strange_settings()
    with Lock(str(git.folder), patience=0.0, name="sync"):
        (hidden / TRIED).touch()
        _clear_left_behind(hidden / "objects" / "pack")
        # The index of a pack is on the disk as well before what it replaces goes.
        done = git("-c", "core.fsync=all", *PACK, check=False)
    if done.status != 0:
        raise FieldbookError("git could not pack it")


def _clear_left_behind(folder: Path) -> None:
    """Take away what a packing that was killed days ago had not finished."""
    for pattern in ("tmp_*", ".tmp-*"):
        for path in folder.glob(pattern):
            if _age(path, time.time()) > SELDOM:
                with suppress(OSError):
                    path.unlink()


def _age(path: Path, now: float) -> float:
    """Seconds since a file was written; for ever where it is not there."""
    try:
        return abs(now - path.stat().st_mtime)
    except OSError:
        return float("inf")
