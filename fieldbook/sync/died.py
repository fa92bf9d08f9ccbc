"""What a sync that was killed leaves behind, cleared away by the next."""

from __future__ import annotations

import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

GRACE = 3.0
"""Seconds in which a git that outlived its sync may still end."""


@contextmanager
def under_way(hidden: Path, away: Path | None = None) -> Iterator[None]:
    """Mark that a sync is under way; one that finds the mark knows that another died.

    `away` is the folder sent to, where it is one: what the dead sync was sending may have left a
    lock there too. Call it with the lock of syncs held, so that the mark is no living sync's.
    """
    mark = hidden / "fieldbook-under-way"
    if mark.exists():
        since = mark.stat().st_mtime
        for folder in (hidden, away):
            if folder is not None and folder.is_dir():
                clear_locks(folder, since)
    mark.touch()
    try:
        yield
    finally:
        mark.unlink(missing_ok=True)


def clear_locks(hidden: Path, since: float) -> None:
    """Take away git's lock files that the dead sync left; those of others stay."""
    until = time.monotonic() + GRACE
    while left := [lock for lock in _locks(hidden) if lock.stat().st_mtime >= since - 1]:
        if time.monotonic() > until:
            for lock in left:
                lock.unlink(missing_ok=True)
            return
        time.sleep(0.1)


def _locks(hidden: Path) -> list[Path]:
    return [*hidden.glob("*.lock"), *(hidden / "refs").rglob("*.lock")]
