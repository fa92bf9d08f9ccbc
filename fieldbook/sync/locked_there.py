"""A lock that a sync cut short left in the place the group shares through.

Git holds it for some milliseconds while a branch moves. A stick pulled out just then keeps it, and
from then on nobody can send.
"""

from __future__ import annotations

import re
import stat
import time
from contextlib import suppress
from pathlib import Path

STALE = 60.0
"""[s] After which nobody holds it any more (ours)."""
_NAMED = re.compile(r"Unable to create '([^'\n]+\.lock)': File exists")


def lock_named(said: str) -> str:
    """The lock that git says stands in the way; nothing where it says of none."""
    found = _NAMED.search(said)
    return found.group(1) if found else ""


def take_away(folder: Path, url: str, lock: str) -> None:
    """Remove an old lock, where the place is a folder of this machine and the lock lies in it."""
    place = Path(folder, url.removeprefix("file://")).resolve()
    path = Path(lock).resolve()
    if not path.is_relative_to(place):
        return
    with suppress(OSError):
        seen = path.lstat()
        if stat.S_ISREG(seen.st_mode) and time.time() - seen.st_mtime > STALE:
            path.unlink()
