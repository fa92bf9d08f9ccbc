"""Which entry became which: an entry is followed by its observations, not by likeness of text.

git guesses renames from likeness, and entries begun from one template are alike; a wrong guess
puts one entry's lines into another. So its guess is switched off, and an entry is taken for
renamed only where a new one holds every observation that the old one held. One without
observations is followed where it was the only one with its bytes, and the new one is as well.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

from fieldbook.errors import FieldbookError
from fieldbook.sync.git import Git
from fieldbook.sync.incoming import ENTRY, items
from fieldbook.sync.merge import log_texts
from fieldbook.sync.objects import Difference, Objects, differences, reading


def renames(git: Git, base: str, side: str) -> dict[str, str]:
    """Old path to new, of the entries that one side renamed since `base`."""
    with reading(git) as objects:
        return renames_in(objects, base, differences(git, base, side))


def renames_in(objects: Objects, base: str, found: Mapping[str, Difference]) -> dict[str, str]:
    """The same, where what differs is known already."""
    entries = {p: d for p, d in found.items() if ENTRY.fullmatch(p) and "/" in p}
    gone = {path: each.before for path, each in entries.items() if each.after is None}
    fresh = {path: each.after for path, each in entries.items() if each.before is None}
    if not gone or not fresh:
        return {}
    lines = {path: log_of(objects.read(each or "") or b"") for path, each in fresh.items()}
    holders: dict[str, list[str]] = {}
    for path in sorted(lines):
        for line in lines[path]:
            holders.setdefault(line, []).append(path)
    renamed: dict[str, str] = {}
    bare = []
    for old in sorted(gone):
        was = log_of(objects.read(gone[old] or "") or b"")
        if not was:
            bare.append(old)
            continue
        for new in holders.get(min(was), ()):
            if _kind(new) == _kind(old) and new not in renamed.values() and was <= lines[new]:
                renamed[old] = new
                break
    if bare:
        renamed.update(_by_bytes(objects.git, base, bare, gone, fresh, set(renamed.values())))
    return renamed


def became(gone: Mapping[str, bytes], fresh: Mapping[str, bytes]) -> dict[str, str]:
    """Old path to new, of entries that went and came at once; as it is told, not as it is merged.

    The new one has every line of the old one, or the same bytes.
    """
    lines = {path: log_of(data) for path, data in fresh.items()} if gone else {}
    found: dict[str, str] = {}
    for old in sorted(gone):
        was = log_of(gone[old])
        for new in sorted(fresh):
            is_same = was <= lines[new] if was else gone[old] == fresh[new]
            if is_same and _kind(new) == _kind(old) and new not in found.values():
                found[old] = new
                break
    return found


def _by_bytes(
    git: Git,
    base: str,
    bare: list[str],
    gone: Mapping[str, str | None],
    fresh: Mapping[str, str | None],
    taken: set[str],
) -> dict[str, str]:
    """Entries without observations: the same bytes, which no other entry had or has."""
    left = [(old, new) for old in bare for new in fresh if gone[old] == fresh[new]]
    if not left:
        return {}
    held = Counter(item.contents for item in items(git, base))
    twice = Counter(fresh.values())
    return {
        old: new
        for old, new in left
        if held[gone[old] or ""] == 1
        and twice[fresh[new]] == 1
        and new not in taken
        and _kind(new) == _kind(old)
    }


def _kind(path: str) -> str:
    return path.partition("/")[0]


def blob(git: Git, commit: str | None, path: str) -> bytes | None:
    """The bytes of a file in a commit; None where it is not in it."""
    if not commit:
        return None
    done = git("cat-file", "blob", f"{commit}:{path}", check=False)
    return done.out if done.status == 0 else None


def log_of(data: bytes) -> set[str]:
    """The lines of the log, without their line ends; none where the entry cannot be read."""
    try:
        return log_texts(data)
    except FieldbookError:
        return set()
