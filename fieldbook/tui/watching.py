"""Seeing that files changed: told by the system where it can, else by looking at them.

A look at every file costs time that grows with the notebook, so it is taken the more seldom the
longer it takes. What the system tells costs nothing; it does not tell of changes made on another
machine to a shared folder, so files are looked at in any case.
"""

from __future__ import annotations

import contextlib
import ctypes
import os
import sys
import time
from pathlib import Path

from fieldbook.store.names import FOLDERS

Stamp = dict[str, tuple[int, int]]
MOST_OF_THE_TIME = 0.002
"""The part of the time that looking at files may take."""

_CLOSE_WRITE, _MOVED_FROM, _MOVED_TO, _CREATE, _DELETE = 0x08, 0x40, 0x80, 0x100, 0x200
"""Kinds of events, from inotify(7)."""
_EVENTS = _CLOSE_WRITE | _MOVED_FROM | _MOVED_TO | _CREATE | _DELETE


class Watch:
    """Watches the folders of a notebook."""

    def __init__(self, folder: str) -> None:
        self.folder = folder
        self.seen: Stamp = {}
        self._next = 0.0
        self._told: int | None = None

    def begin(self) -> Stamp:
        """Watch from now on; gives what stands there."""
        self._told = _open_inotify(self.folder)
        self.take_note()
        return self.seen

    def changed(self) -> bool:
        """Whether anything changed since the last time it was asked, or since `take_note`."""
        told = self._was_told()
        begun = time.monotonic()
        if not told and begun < self._next:
            return False
        stamp = stamp_of(self.folder)
        ended = time.monotonic()
        self._next = ended + (ended - begun) / MOST_OF_THE_TIME
        if stamp == self.seen:
            return False
        self.seen = stamp
        return True

    def take_note(self) -> None:
        """What changed so far is known."""
        self.seen = stamp_of(self.folder)

    def close(self) -> None:
        """Watch no longer."""
        if self._told is not None:
            os.close(self._told)
            self._told = None

    def _was_told(self) -> bool:
        if self._told is None:
            return False
        try:
            return bool(os.read(self._told, 65536))
        except OSError:
            return False


def stamp_of(folder: str) -> Stamp:
    """Time and size of every file of a notebook."""
    found: Stamp = {}
    for name in ("", *FOLDERS):
        with contextlib.suppress(OSError), os.scandir(Path(folder, name)) as listing:
            for item in listing:
                if item.name.endswith(".toml"):
                    status = item.stat(follow_symlinks=False)
                    found[f"{name}/{item.name}"] = (status.st_mtime_ns, status.st_size)
    return found


def _open_inotify(folder: str) -> int | None:
    """A descriptor that tells of changes; None where the system has no such thing."""
    if not sys.platform.startswith("linux"):
        return None
    try:
        system = ctypes.CDLL(None, use_errno=True)
        descriptor = int(system.inotify_init1(os.O_NONBLOCK | os.O_CLOEXEC))
        if descriptor < 0:
            return None
        for name in ("", *FOLDERS):
            path = os.fsencode(Path(folder, name))
            system.inotify_add_watch(descriptor, path, ctypes.c_uint32(_EVENTS))
    except (OSError, AttributeError):
        return None
    return descriptor
