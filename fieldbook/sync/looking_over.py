"""Merges made without the driver, or by hand, looked over and put right.

git without the driver keeps one side of an entry, and a person merging by hand may too. What either
parent had and the merge has not is missing, unless one of them took it away on purpose; so it is
brought back, unless a later moment had it again and took it away. A field that one side alone set,
and that is in the merge as it was before, is missing too; of one that both set either may be kept.
And git does not follow an entry that one side renamed: both names are left, each with the lines;
they are made one.
"""

from __future__ import annotations

from collections.abc import Container, Iterable
from contextlib import suppress
from typing import NamedTuple

from fieldbook.errors import FieldbookError
from fieldbook.sync import lacks
from fieldbook.sync.dropped_fields import dropped, later, said, with_fields
from fieldbook.sync.dropped_rows import lacking, rows, with_rows
from fieldbook.sync.log_lines import LogLine
from fieldbook.sync.merge import merge, with_lines
from fieldbook.sync.merging import bases, parted
from fieldbook.sync.objects import New, Objects
from fieldbook.sync.one_merge import Merge, View, is_unreadable, lines
from fieldbook.sync.renames import renames_in


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
    view = View(objects, each, way, moments, renamed, head, found)
    olds = sorted({old for became in renamed for old in became})
    paths = lacks.doubtful(view)
    for look, names in ((_make_one, olds), (_look_at, paths)):
        for name in names:
            with suppress(FieldbookError):
                look(view, name)
    names_now = {*paths, *(name for old in olds for name in view.names(old))}
    return not any(map(view.is_unreadable_now, names_now))


def _look_at(view: View, path: str) -> None:
    """Bring back what a merge lacks of one entry."""
    if missing := lacks.lacking_lines(view, path):
        view.found.update(_mended(view, path, missing))
    else:
        view.found.update(_whole(view, path))
    _bring_rows_back(view, path)
    _bring_fields_back(view, path)


def _mended(view: View, path: str, missing: list[LogLine]) -> dict[str, New]:
    """The entry as it is to be, with what is missing; nothing where nothing is."""
    if _is_marked(view, path):
        return {path: _of_parents(view, path)}
    missing = lacks.still_lacking(view, path, missing)
    at = lacks.path_now(view, path) if missing else None
    if at is None:
        return {}
    now = view.now(at)
    if now is None:
        return {at: _of_parents(view, path)}
    if is_unreadable(now):
        return {}
    left = lacks.but_those_in(now, missing)
    return {at: with_lines(now, left, at)} if left else {}


def _is_marked(view: View, path: str) -> bool:
    """Whether an entry stands as a failed merge left it, with marks in it."""
    merged = view.at(view.merged, path)
    return merged is not None and is_unreadable(merged) and view.at(view.head, path) == merged


def _whole(view: View, path: str) -> dict[str, New]:
    """An entry without observations that the merge has not, or one it has with marks in it."""
    ours, theirs = view.sides(path)
    if view.at(view.merged, path) is not None:
        return {path: _of_parents(view, path)} if _is_marked(view, path) else {}
    is_other = any(map(lines, (ours, theirs))) or not (ours or theirs)
    if is_other or lacks.is_under_another(view, path):
        return {}
    is_new = not any(view.at(base, path) for base in view.bases)
    is_missing = (is_new or (ours and theirs)) and lacks.is_gone(view, path)
    return {path: _of_parents(view, path)} if is_missing else {}


def _of_parents(view: View, path: str) -> bytes:
    """The entry as the merge should have left it."""
    ours, theirs = view.sides(path)
    if ours is None or theirs is None:
        return ours or theirs or b""
    return merge(view.at(view.bases[0], path) if view.bases else None, ours, theirs, path)


def _bring_rows_back(view: View, path: str) -> None:
    missing = lacking(view.objects, view.merged, view.merge.parents, view.bases, path)
    at = lacks.path_now(view, path) if missing else None
    if at is not None:
        since = {row for moment in view.since(path) for row in rows(view.at(moment, path))}
        view.change(at, lambda now: with_rows(now, path, missing, since))


def _bring_fields_back(view: View, path: str) -> None:
    """Set again what one side alone had set and the merge has as it was before."""
    was, names = view.at(view.way.base, path), view.names(path)
    sides = view.sides(*names)
    if was is None or None in sides:
        return
    likely = (*sorted({*names} - {path}), path)
    kept = next((name for name in likely if view.at(view.merged, name) is not None), path)
    merged = view.at(view.merged, kept)
    if merged is not None and said(merged) is None:
        merged = view.now(kept)  # as someone has put it right since
    ours, theirs = (merged if said(side) is None else side for side in sides)
    missing = dropped(was, ours, theirs, merged)
    at = lacks.path_now(view, kept) if missing else None
    if at is not None:
        since = later(view.objects, view.merged, view.head, {kept, at})
        says = said(merged) or {}
        view.change(at, lambda now: with_fields(now, at, missing, says, since))


def _make_one(view: View, old: str) -> None:
    """Make an entry one that a parent renamed, and the merge has under both names."""
    names = {*view.names(old)}
    now = {name: view.at(view.head, name) for name in names}
    stood = all(view.at(view.merged, name) is not None for name in names)
    if len(names) == 2 and stood and all(now.values()):
        kept = min(names - {old})
        (other,) = names - {kept}
        was = view.at(view.way.base, old)
        view.found[kept] = merge(was, now[kept] or b"", now[other] or b"", kept)
        view.found[other] = None
