"""Which entry became which: an entry is followed by its observations, not by likeness of text.

git guesses renames from likeness, and entries begun from one template are alike; a wrong guess
puts one entry's lines into another. So its guess is switched off, and an entry is taken for
renamed only where a new one holds every observation that the old one held.
"""

from __future__ import annotations

from fieldbook.sync.git import Git
from fieldbook.sync.incoming import ENTRY


def renames(git: Git, base: str, side: str) -> dict[str, str]:
    """Old path to new, of the entries that one side renamed since `base`."""
    before, after = _paths(git, base), _paths(git, side)
    fresh = sorted(after - before)
    found: dict[str, str] = {}
    for old in sorted(before - after):
        was = blob(git, base, old)
        folder = old.partition("/")[0]
        for new in fresh:
            same_kind = new.partition("/")[0] == folder and new not in found.values()
            if same_kind and _became(was or b"", blob(git, side, new) or b""):
                found[old] = new
                break
    return found


def _became(was: bytes, now: bytes) -> bool:
    """Whether a new entry holds all that the old one held; without observations, to the byte."""
    lines = log_of(was)
    return lines <= log_of(now) if lines else was == now


def blob(git: Git, commit: str | None, path: str) -> bytes | None:
    """The bytes of a file in a commit; None where it is not in it."""
    if not commit:
        return None
    done = git("cat-file", "blob", f"{commit}:{path}", check=False)
    return done.out if done.status == 0 else None


def log_of(data: bytes) -> set[bytes]:
    """The lines of the log, without their line ends."""
    _, _, log = data.partition(b"[log]")
    return {line.strip() for line in log.splitlines() if line.strip()}


def _paths(git: Git, commit: str) -> set[str]:
    listed = git("ls-tree", "-r", "-z", "--name-only", "--full-tree", commit).text.split("\0")
    return {path for path in listed if ENTRY.fullmatch(path)}
