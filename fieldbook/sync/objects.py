"""git's store of objects: read through one process, written in one go.

Starting git costs more than most of what it is asked here, so many questions share one start.
"""

from __future__ import annotations

import os
import subprocess
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from typing import IO, NamedTuple

from fieldbook.errors import FieldbookError
from fieldbook.sync.git import Git

RAW = ("-r", "-z", "--raw", "--no-abbrev", "--no-renames", "--no-ext-diff", "--no-textconv")


class Difference(NamedTuple):
    """One file that two trees do not hold alike."""

    before: str | None
    """The id of its contents in the first tree; None where it is not there."""
    after: str | None
    """The same in the second tree."""
    mode: str
    """As it is in the second tree; zeros where it is not there."""


class Objects:
    """Gits that read objects as long as they are asked to."""

    def __init__(self, git: Git) -> None:
        self.git = git
        self._running: dict[str, subprocess.Popen[bytes]] = {}

    def read(self, name: str) -> bytes | None:
        """The bytes of an object, by its id or as `COMMIT:PATH`; None where there is none."""
        if "\n" in name or not name:
            return None
        into, out = self._pipes("--batch")
        size = _asked(into, out, name)
        if size is None:
            return None
        data = out.read(size)
        out.read(1)
        return data

    def size(self, name: str) -> int:
        """How many bytes an object has; it is not read."""
        return _asked(*self._pipes("--batch-check"), name) or 0

    def commit_id(self, name: str) -> str | None:
        """The commit a name leads to, such as `HEAD`; None where it leads to none."""
        into, out = self._pipes("--batch-check")
        into.write(f"{name}^{{commit}}\n".encode())
        into.flush()
        told = out.readline().split()
        return told[0].decode() if len(told) == 3 and told[1] == b"commit" else None

    def _pipes(self, way: str) -> tuple[IO[bytes], IO[bytes]]:
        if way not in self._running:
            self._running[way] = self.git.beside("cat-file", way)
        into, out = self._running[way].stdin, self._running[way].stdout
        assert into is not None and out is not None
        return into, out

    def close(self) -> None:
        """End the gits that read."""
        for running in self._running.values():
            running.communicate()
        self._running.clear()


def _asked(into: IO[bytes], out: IO[bytes], name: str) -> int | None:
    """The size of an object, asked for by name; None where there is none."""
    into.write(name.encode("utf-8", "surrogateescape") + b"\n")
    into.flush()
    told = out.readline().split()
    return int(told[2]) if len(told) == 3 and told[2].isdigit() else None


@contextmanager
def reading(git: Git) -> Iterator[Objects]:
    """Objects to read for the length of a block."""
    objects = Objects(git)
    try:
        yield objects
    finally:
        objects.close()


def differences(git: Git, old: str, new: str) -> dict[str, Difference]:
    """Every file that differs from one tree to another, by its path."""
    words = git("diff-tree", *RAW, old, new).out.decode("utf-8", "surrogateescape").split("\0")
    found = {}
    for about, path in zip(words[0::2], words[1::2], strict=False):
        _, mode, before, after, _ = about.split()
        found[path] = Difference(_there(before), _there(after), mode)
    return found


def _there(name: str) -> str | None:
    return name if name.strip("0") else None


def descendants(objects: Objects, moment: str, head: str, names: Iterable[str]) -> list[str]:
    """The moments on the way from one to `head` that came from it and touched some files.

    What others kept meanwhile on a way of their own is none of them.
    """
    if moment == head:
        return []
    words = ("rev-list", "--ancestry-path", "--full-history", f"{moment}..{head}", "--", *names)
    return objects.git(*words).text.split()


def empty_tree(git: Git) -> str:
    """The id of the tree that holds nothing."""
    return git("hash-object", "-t", "tree", "--stdin", feed=b"").text.strip()


New = bytes | Difference | None
"""What a file is to be: new bytes, what it is in a tree known already, or None: taken away."""


class Made(NamedTuple):
    """A commit that was made, and the files in which it differs from its first parent."""

    commit: str
    files: dict[str, Difference]


def commit(git: Git, parents: Sequence[str], files: Mapping[str, New], message: str) -> Made:
    """Make a commit that differs from its first parent by some files.

    No branch, no index and no file of the folder is touched.
    """
    words = message.encode()
    feed = [f"commit {_MADE}\nmark :1\n{_who(git)}data {len(words)}\n".encode(), words, b"\n"]
    for what, parent in zip(("from", *("merge" for _ in parents[1:])), parents, strict=False):
        feed.append(f"{what} {parent}\n".encode())
    if not parents:
        git("update-ref", "-d", _MADE)  # what was made last is no parent of a first commit
    feed += [_row(path, new) for path, new in files.items()]
    feed.append(b"\n")
    feed += [b"ls :1 " + _bytes(path) + b"\n" for path in files]
    feed.append(b"get-mark :1\ndone\n")
    told = git("fast-import", "--quiet", "--force", "--done", feed=b"".join(feed)).text.splitlines()
    return Made(told[-1], dict(zip(files, map(_listed, told), strict=False)))


def _listed(row: str) -> Difference:
    """What fast-import says of a file in the commit it makes."""
    mode, _, rest = row.partition(" ")
    return Difference(None, rest.split()[1], mode) if mode.isdigit() else Difference(None, None, "")


def put_in_index(git: Git, files: Mapping[str, Difference], commit: str) -> None:
    """Let the index hold some files as a commit has them; the others stay as they are in it."""
    none = "0" * len(commit)
    rows = [
        f"{each.mode} {each.after}\t{path}\0" if each.after else f"0 {none}\t{path}\0"
        for path, each in files.items()
    ]
    if rows:
        git("update-index", "-z", "--index-info", feed=_bytes("".join(rows)))


def _bytes(path: str) -> bytes:
    return path.encode("utf-8", "surrogateescape")


_MADE = "refs/fieldbook/made"
"""What was made last; it keeps a commit from being cleared away before a branch holds it."""


def _who(git: Git) -> str:
    """Author and committer, as git has them, at this moment."""
    committer = git("var", "GIT_COMMITTER_IDENT").text.strip()
    named = {"GIT_AUTHOR_NAME", "GIT_AUTHOR_EMAIL"} & os.environ.keys()
    author = git("var", "GIT_AUTHOR_IDENT").text.strip() if named else committer
    return f"author {author}\ncommitter {committer}\n"


def _row(path: str, new: New) -> bytes:
    if any(character in path for character in '"\n\\'):
        raise FieldbookError(f"a file cannot have the name {path!r} in a notebook: rename it")
    name = _bytes(path)
    if isinstance(new, Difference) and new.after is not None:
        return f"M {new.mode} {new.after} ".encode() + name + b"\n"
    if not isinstance(new, bytes):
        return b"D " + name + b"\n"
    return b"M 100644 inline " + name + f"\ndata {len(new)}\n".encode() + new + b"\n"
