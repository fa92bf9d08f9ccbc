"""Two moments of a notebook made one, in memory: no file, index or branch is touched by it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from fieldbook.errors import FieldbookError, Problem
from fieldbook.sync.git import Git
from fieldbook.sync.incoming import ENTRY
from fieldbook.sync.merge import merge
from fieldbook.sync.objects import (
    Difference,
    New,
    Objects,
    commit,
    differences,
    empty_tree,
)
from fieldbook.sync.renames import renames_in

Found = Mapping[str, Difference]


class Parted(NamedTuple):
    """Two moments, what they have in common, and what each changed since."""

    base: str
    ours: str
    theirs: str
    mine: Found
    others: Found


def parted(objects: Objects, ours: str, theirs: str) -> Parted:
    """Where two moments parted, or the empty notebook, and what came since on both sides.

    Where they parted at several moments, those are merged first, as git does.
    """
    git = objects.git
    base, *more = bases(git, ours, theirs) or [empty_tree(git)]
    for other in more:
        base = merged(objects, parted(objects, base, other), "where they parted")
    mine = differences(git, base, ours) if base != ours else {}
    others = differences(git, base, theirs) if base != theirs else {}
    return Parted(base, ours, theirs, mine, others)


def bases(git: Git, ours: str, theirs: str) -> list[str]:
    """The moments at which two moments parted."""
    return git("merge-base", "--all", ours, theirs, check=False).text.split()


def merged(
    objects: Objects, way: Parted, message: str, settled: Mapping[str, bytes] | None = None
) -> str:
    """The commit in which two moments come together; some files may be settled beforehand.

    Raises:
        FieldbookError: entries that cannot be read, changed on both sides; all of them are named.
    """
    given = settled or {}
    others = {path: each for path, each in way.others.items() if path not in given}
    files = _Merge(objects, *way._replace(others=others)).files()
    files.update(given)
    return commit(objects.git, (way.ours, way.theirs), files, message).commit


class _Merge(NamedTuple):
    objects: Objects
    base: str
    ours: str
    theirs: str
    mine: Found
    others: Found

    def files(self) -> dict[str, New]:
        """What differs from `ours` in the result."""
        files: dict[str, New] = {}
        problems: list[Problem] = []
        for path, there in self.others.items():
            here = self.mine.get(path)
            try:
                if here is None or here.after is None:
                    files[path] = there  # a deletion against a change keeps the change
                elif there.after not in (None, here.after):
                    files[path] = self._both(path, here, there)
            except FieldbookError as error:
                problems += error.problems or (Problem(path, None, str(error), ""),)
        if problems:
            raise FieldbookError(
                "\n".join(
                    [
                        "what came in is not merged; the notebook is as it was",
                        *map(str, problems),
                        "    Put these entries right on the side they come from, then sync",
                    ]
                ),
                tuple(problems),
            )
        self._follow(files)
        return files

    def _both(self, path: str, here: Difference, there: Difference) -> bytes:
        """A file that both sides changed."""
        was, ours, theirs = (
            self.objects.read(each) if each else None
            for each in (here.before, here.after, there.after)
        )
        if ENTRY.fullmatch(path):
            return merge(was, ours or b"", theirs or b"", path)
        return _united(ours or b"", theirs or b"")

    def _follow(self, files: dict[str, New]) -> None:
        """Bring both sides' lines into an entry that one side renamed, or both."""
        mine = renames_in(self.objects, self.base, self.mine)
        others = renames_in(self.objects, self.base, self.others)
        for old in sorted({*mine, *others}):
            here, there = mine.get(old, old), others.get(old, old)
            ours, theirs = self._at(self.ours, here), self._at(self.theirs, there)
            if ours is None or theirs is None:
                continue  # taken away by the other side: what is left of it is kept as it is
            kept = min({here, there} - {old})
            result = merge(self._at(self.base, old), ours, theirs, kept)
            files[old] = None
            if here != there:
                self._let_go(files, here, kept, self.theirs)
                self._let_go(files, there, kept, self.ours)
                side, followed = (self.theirs, others) if kept == here else (self.ours, mine)
                alone = None if kept in followed.values() else self._at(side, kept)
                # An entry of its own that the other side began under that name.
                result = merge(None, result, alone, kept) if alone is not None else result
            files[kept] = result

    def _let_go(self, files: dict[str, New], path: str, kept: str, other: str) -> None:
        """Take away a name that is not kept, unless the other side has an entry of its own there.

        What the other side has under it stays.
        """
        if path == kept:
            return
        files[path] = self._at(other, path)

    def _at(self, commit: str, path: str) -> bytes | None:
        return self.objects.read(f"{commit}:{path}")


def _united(ours: bytes, theirs: bytes) -> bytes:
    """Of a text that is no entry, such as what git ignores, the lines of both."""
    mine = ours.splitlines(keepends=True)
    if mine and not mine[-1].endswith(b"\n"):
        mine[-1] += b"\n"
    return b"".join(mine + [line for line in theirs.splitlines(keepends=True) if line not in mine])
