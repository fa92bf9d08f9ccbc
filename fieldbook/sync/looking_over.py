"""Merges made without the driver, or by hand, looked over and put right.

git without the driver keeps one side of an entry, and a person merging by hand may too. What either
parent had and the merge has not is missing, unless one of them took it away on purpose; so it is
brought back, unless a later moment had it again and took it away. A field that one side alone set,
and that is in the merge as it was before, is missing too; of one that both set either may be kept.
And git does not follow an entry that one side renamed: both names are left, each with the lines;
they are made one.
"""

from __future__ import annotations

from collections.abc import Callable, Container, Iterable, Mapping
from contextlib import suppress
from datetime import UTC
from typing import NamedTuple

from fieldbook.errors import FieldbookError
from fieldbook.lines.toml_text import read_key, value_text
from fieldbook.sync.dropped_fields import dropped, later, said, with_fields
from fieldbook.sync.dropped_rows import lacking, rows, with_rows
from fieldbook.sync.incoming import ENTRY
from fieldbook.sync.log_lines import LogLine
from fieldbook.sync.merge import merge, version, with_lines
from fieldbook.sync.merging import Found, Parted, bases, parted
from fieldbook.sync.objects import New, Objects, descendants, differences
from fieldbook.sync.renames import renames, renames_in

Seen = tuple[str, str]
"""One observation: its second, and what it says."""


class Merge(NamedTuple):
    """A moment at which two came together."""

    commit: str
    parents: tuple[str, str]


def merges(objects: Objects, since: str | None, head: str) -> list[Merge]:
    """The merges on the way to `head`, the oldest first."""
    words = ["rev-list", "--merges", "--parents", "--reverse", "--topo-order", head]
    listed = objects.git(*words, *([f"^{since}"] if since else [])).text
    rows = [row.split() for row in listed.splitlines()]
    return [Merge(row[0], (row[1], row[2])) for row in rows if len(row) == 3]


class Righted(NamedTuple):
    """What looking over some merges came to."""

    files: dict[str, New]
    """The entries that are to be otherwise."""
    again: tuple[str, ...]
    """Merges to be looked at again: an entry in doubt cannot be read now."""


def put_right(
    objects: Objects,
    since: str | None,
    head: str,
    but: Container[str] = (),
    again: Iterable[str] = (),
) -> Righted:
    """The entries of `head` that are to be otherwise, after the merges on the way to it.

    Merges before `since`, and those in `but`, are known to be whole; but those in `again` are not.
    """
    found: dict[str, New] = {}
    left = []
    for each in [*_on_the_way(objects, again, head), *merges(objects, since, head)]:
        if each.commit not in but and not _is_put_right(objects, each, head, found):
            left.append(each.commit)
    return Righted(found, tuple(left))


def _on_the_way(objects: Objects, commits: Iterable[str], head: str) -> list[Merge]:
    """Some merges, those of them that lead to `head`."""
    found = []
    for commit in commits:
        if objects.git("merge-base", "--is-ancestor", commit, head, check=False).status == 0:
            found += merges(objects, f"{commit}^@", commit)
    return found


class _View(NamedTuple):
    """One merge in view: what came together in it, and what is to be otherwise."""

    objects: Objects
    merge: Merge
    way: Parted
    bases: list[str]
    renamed: tuple[dict[str, str], dict[str, str]]
    """What each parent renamed since they parted."""
    head: str
    found: dict[str, New]

    def at(self, moment: str, path: str) -> bytes | None:
        return self.objects.read(f"{moment}:{path}")

    def sides(self, *names: str) -> tuple[bytes | None, bytes | None]:
        """An entry as both parents have it; under one name, or one for each."""
        ours, theirs = self.merge.parents
        return self.at(ours, names[0]), self.at(theirs, names[-1])

    def names(self, path: str) -> tuple[str, str]:
        """What both parents call an entry."""
        mine, others = self.renamed
        return mine.get(path, path), others.get(path, path)

    def now(self, path: str) -> bytes | None:
        """An entry as it stands, or is to be already."""
        known = self.found.get(path)
        return known if isinstance(known, bytes) else self.at(self.head, path)

    def is_unreadable_now(self, path: str) -> bool:
        now = self.now(path)
        return now is not None and _is_unreadable(now)

    def change(self, path: str, how: Callable[[bytes], bytes]) -> None:
        """Change an entry that can be read, as it stands or is to be already."""
        now = self.now(path)
        if now is not None and not _is_unreadable(now) and (data := how(now)) != now:
            self.found[path] = data


def _is_put_right(objects: Objects, each: Merge, head: str, found: dict[str, New]) -> bool:
    """Put one merge right; False where it is to be looked at again, once an entry can be read.

    What cannot be read, on a side or now, is left as it is, and stops nothing else: `check` names
    it.
    """
    try:
        way = parted(objects, *each.parents)
    except FieldbookError:
        return True  # where they parted stays as it is: there is nothing to wait for
    renamed = renames_in(objects, way.base, way.mine), renames_in(objects, way.base, way.others)
    moments = bases(objects.git, *each.parents)
    view = _View(objects, each, way, moments, renamed, head, found)
    olds = sorted({old for became in renamed for old in became})
    paths = _doubtful(objects, each, way)
    for look, names in ((_make_one, olds), (_look_at, paths)):
        for name in names:
            with suppress(FieldbookError):
                look(view, name)
    names_now = {*paths, *(name for old in olds for name in view.names(old))}
    return not any(map(view.is_unreadable_now, names_now))


def _look_at(view: _View, path: str) -> None:
    """Bring back what a merge lacks of one entry."""
    objects, each, head, found = view.objects, view.merge, view.head, view.found
    if lines := _lacking(objects, each, path, view.bases):
        found.update(_mended(objects, each, path, lines, head, found))
    else:
        found.update(_whole(view, path))
    _bring_rows_back(view, path)
    _bring_fields_back(view, path)


def _bring_rows_back(view: _View, path: str) -> None:
    objects, each, head = view.objects, view.merge, view.head
    missing = lacking(objects, each.commit, each.parents, view.bases, path)
    at = _path_now(objects, each, path, head) if missing else None
    if at is not None:
        moments = descendants(objects, each.commit, head, [path])
        since = {row for moment in moments for row in rows(view.at(moment, path))}
        view.change(at, lambda now: with_rows(now, path, missing, since))


def _bring_fields_back(view: _View, path: str) -> None:
    """Set again what one side alone had set and the merge has as it was before."""
    objects, each, head = view.objects, view.merge, view.head
    was, names = view.at(view.way.base, path), view.names(path)
    sides = view.sides(*names)
    if was is None or None in sides:
        return
    likely = (*sorted({*names} - {path}), path)
    kept = next((name for name in likely if view.at(each.commit, name) is not None), path)
    merged = view.at(each.commit, kept)
    if merged is not None and _is_unreadable(merged):
        merged = view.now(kept)  # as someone has put it right since
    ours, theirs = (merged if side and _is_unreadable(side) else side for side in sides)
    missing = dropped(was, ours, theirs, merged)
    at = _path_now(objects, each, kept, head) if missing else None
    if at is not None:
        since = later(objects, each.commit, head, {kept, at})
        says = said(merged) or {}
        view.change(at, lambda now: with_fields(now, at, missing, says, since))


def _whole(view: _View, path: str) -> dict[str, New]:
    """An entry without observations that the merge has not, or one it has with marks in it."""
    objects, each = view.objects, view.merge
    ours, theirs = view.sides(path)
    merged = view.at(each.commit, path)
    if merged is not None:
        is_marked = _is_unreadable(merged) and view.at(view.head, path) == merged
        return {path: _of_parents(objects, each, path)} if is_marked else {}
    if any(map(_lines, (ours, theirs))) or not (ours or theirs) or _is_under_another(view, path):
        return {}
    is_new = not any(view.at(base, path) for base in view.bases)
    is_missing = (is_new or (ours and theirs)) and _is_gone(view, path)
    return {path: _of_parents(objects, each, path)} if is_missing else {}


def _is_under_another(view: _View, path: str) -> bool:
    """Whether an entry got this name from a parent, and the merge has it under another."""
    olds = {old for became in view.renamed for old, new in became.items() if new == path}
    others = {name for old in olds for name in view.names(old)} - {path}
    return any(view.at(view.merge.commit, name) is not None for name in others)


def _is_gone(view: _View, path: str) -> bool:
    """Whether an entry is nowhere since a merge, and was not there again meanwhile."""
    objects, each, head = view.objects, view.merge, view.head
    if view.at(head, path) is not None or _path_now(objects, each, path, head) != path:
        return False
    since = descendants(objects, each.commit, head, [path])
    return all(view.at(moment, path) is None for moment in since)


def _make_one(view: _View, old: str) -> None:
    """Make an entry one that a parent renamed, and the merge has under both names."""
    names = {*view.names(old)}
    now = {name: view.at(view.head, name) for name in names}
    stood = all(view.at(view.merge.commit, name) is not None for name in names)
    if len(names) == 2 and stood and all(now.values()):
        kept = min(names - {old})
        (other,) = names - {kept}
        was = view.at(view.way.base, old)
        view.found[kept] = merge(was, now[kept] or b"", now[other] or b"", kept)
        view.found[other] = None


def _doubtful(objects: Objects, each: Merge, way: Parted) -> list[str]:
    """The entries in which a merge may lack something that a parent had."""
    made = differences(objects.git, way.ours, each.commit)
    paths = {path for side in (made, way.mine, way.others) for path in side if _is_entry(path)}
    return sorted(path for path in paths if not _is_plain(path, made, way))


def _is_plain(path: str, made: Found, way: Parted) -> bool:
    """Whether one parent alone changed an entry, and the merge has it so."""
    here, there, result = (side.get(path) for side in (way.mine, way.others, made))
    if here is None and there is not None:
        return result is not None and result.after == there.after
    return there is None and here is not None and result is None


def _is_entry(path: str) -> bool:
    return bool(ENTRY.fullmatch(path))


def _lacking(objects: Objects, each: Merge, path: str, parted: Iterable[str]) -> list[LogLine]:
    ours, theirs = (_lines(objects.read(f"{parent}:{path}")) for parent in each.parents)
    if not ours and not theirs:
        return []
    was: set[Seen] = set()
    for base in parted:
        was |= _lines(objects.read(f"{base}:{path}")).keys()
    has = _lines(objects.read(f"{each.commit}:{path}"))
    wanted = {**ours, **theirs}
    return [
        line
        for seen, line in wanted.items()
        if seen not in has and ((seen in ours and seen in theirs) or seen not in was)
    ]


def _lines(data: bytes | None) -> dict[Seen, LogLine]:
    """The observations of an entry; none where it cannot be read."""
    try:
        log = version(data, "").log if data else {}
    except FieldbookError:
        return {}
    return {(_second(line.key), value_text(line.fields)): line for line in log.values()}


def _second(key: str) -> str:
    try:
        return read_key(key, UTC).astimezone(UTC).isoformat(" ", "seconds")
    except FieldbookError:
        return key


def _mended(
    objects: Objects,
    each: Merge,
    path: str,
    lines: list[LogLine],
    head: str,
    known: Mapping[str, New],
) -> dict[str, New]:
    """The entry as it is to be, with what is missing; nothing where nothing is."""
    merged = objects.read(f"{each.commit}:{path}")
    is_unreadable = merged is not None and _is_unreadable(merged)
    if is_unreadable and objects.read(f"{head}:{path}") == merged:
        return {
            path: _of_parents(objects, each, path)
        }  # marks of a failed merge, kept as they were
    texts = {line.text.strip() for line in lines}
    elsewhere = _standing(objects, {each.commit, head}, texts, path)
    lines = [line for line in lines if line.text.strip() not in elsewhere]
    lines = [line for line in lines if not _was_taken_away(objects, each.commit, line, head)]
    if not lines:
        return {}
    at = _path_now(objects, each, path, head)
    if at is None:
        return {}
    is_known = known.get(at)
    now = is_known if isinstance(is_known, bytes) else objects.read(f"{head}:{at}")
    if now is None:
        return {at: _of_parents(objects, each, path)}
    if _is_unreadable(now):
        return {}
    has = _lines(now)
    missing = [line for line in lines if (_second(line.key), value_text(line.fields)) not in has]
    return {at: with_lines(now, missing, at)} if missing else {}


def _is_unreadable(data: bytes) -> bool:
    try:
        version(data, "")
    except FieldbookError:
        return True
    return False


def _of_parents(objects: Objects, each: Merge, path: str) -> bytes:
    """The entry as the merge should have left it."""
    ours, theirs = (objects.read(f"{parent}:{path}") for parent in each.parents)
    if ours is None or theirs is None:
        return ours or theirs or b""
    parted = bases(objects.git, *each.parents)
    return merge(objects.read(f"{parted[0]}:{path}") if parted else None, ours, theirs, path)


def _standing(objects: Objects, moments: set[str], texts: set[str], path: str) -> set[str]:
    """Of some lines those that stand in any entry of the same kind at one of some moments."""
    folder = path.partition("/")[0]
    feed = "\n".join(sorted(texts)).encode()
    found: set[str] = set()
    for moment in sorted(moments):
        words = ("grep", "-h", "-F", "-f", "-", moment, "--", f"{folder}/")
        listed = objects.git(*words, feed=feed, check=False).text
        found |= {line.strip() for line in listed.splitlines()} & texts
    return found


def _was_taken_away(objects: Objects, merged: str, line: LogLine, head: str) -> bool:
    """Whether a line was there again after the merge, and is not now: on purpose, then."""
    if merged == head:
        return False
    text = line.text.strip()
    words = ("log", "--format=%H", "-n1", f"-S{text}", "--no-ext-diff", "--no-textconv")
    return bool(objects.git(*words, f"{merged}..{head}").text.strip())


def _path_now(objects: Objects, each: Merge, path: str, head: str) -> str | None:
    """Where the entry stands now; None where it was taken away on purpose since the merge."""
    if objects.read(f"{head}:{path}") is not None:
        return path
    for parent in each.parents:
        if new := _new_name(objects, parent, path, head):
            return new
    for base in bases(objects.git, *each.parents):
        if new := _new_name(objects, base, path, head):
            return new
    return None if objects.read(f"{each.commit}:{path}") is not None else path


def _new_name(objects: Objects, moment: str, path: str, head: str) -> str | None:
    if objects.read(f"{moment}:{path}") is None:
        return None
    return renames(objects.git, moment, head).get(path)
