"""From one kept moment to the next in the folder: files, index and branch, whatever dies midway.

What is being done is noted first, on the disk. A sync that finds the note ends what another began:
each file is laid out anew by three versions, so that a line logged in between stays.
"""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path

from fieldbook.errors import FieldbookError
from fieldbook.store import durable
from fieldbook.store.names import is_own_folder
from fieldbook.store.parsing import conflict_line
from fieldbook.sync.git import Git
from fieldbook.sync.incoming import ENTRY
from fieldbook.sync.keeping_back import tell_git
from fieldbook.sync.merge import merge
from fieldbook.sync.objects import Difference, Objects, differences, empty_tree, put_in_index
from fieldbook.sync.private import shared_part, with_private
from fieldbook.sync.renames import renames_in

NOTE = "fieldbook-laying-out"
MANY = 200
"""Of more files than this the disk is waited for once, not file by file."""


def lay_out(objects: Objects, old: str | None, new: str) -> None:
    """Bring the folder, which stands on `old`, to `new`; with the lock of the notebook held.

    An entry that came must not take the place of one that is kept private here.

    Raises:
        FieldbookError: a file could not be written; the next sync goes on from there.
    """
    git = objects.git
    note = git.folder / ".git" / NOTE
    found = differences(git, old or empty_tree(git), new)
    came = [path for path, each in found.items() if each.after]
    _refuse_hidden(git, came)
    durable.replace_file(str(note), f"{old or ''} {new}\n".encode(), NOTE)
    _files(objects, found, renames_in(objects, old, found) if old else {})
    tell_git(git.folder, came)
    put_in_index(git, found, new)
    git("update-ref", "-m", "sync", "HEAD", new, *([old] if old else []))
    note.unlink()


def _refuse_hidden(git: Git, came: list[str]) -> None:
    for path in sorted(tell_git(git.folder, ()) & set(came)):
        raise FieldbookError(
            f"the group has {path} too, which is private here; nothing was taken in\n"
            "    Give yours another name: fieldbook rename ENTRY NAME"
        )


def go_on(objects: Objects, head: str | None) -> None:
    """End what a sync that died had begun; nothing where it left no note."""
    note = objects.git.folder / ".git" / NOTE
    try:
        old, _, new = note.read_text(encoding="utf-8").strip("\n").partition(" ")
    except FileNotFoundError:
        return
    if (old or None) == head and objects.read(new) is not None:
        lay_out(objects, head, new)
    note.unlink(missing_ok=True)


def edited_since(objects: Objects, head: str, other: str) -> dict[str, bytes]:
    """Entries that a half done `git merge` laid out, and that changed in the folder since.

    Only those that `head` has not: what changed of the others is found where they are laid out.
    """
    found = {}
    for path, each in differences(objects.git, head, other).items():
        here = _here(objects.git.folder / path) if each.before is None and each.after else None
        if here is not None and ENTRY.fullmatch(path) and not _marked(here):
            shared = shared_part(path, here)
            if shared != objects.read(each.after or ""):
                found[path] = shared
    return found


def end_by_hand(objects: Objects, old: str, new: str, other: str) -> None:
    """The same where a person's own `git merge` with `other` stands half done in the folder."""
    git = objects.git
    for path, each in differences(git, old, other).items():
        target = git.folder / path
        is_gone = each.after and objects.read(f"{new}:{path}") is None
        if is_gone and _here(target) == objects.read(each.after or ""):
            target.unlink()  # git laid it out; in the result it has another name
    lay_out(objects, old, new)
    git("read-tree", new)
    git("merge", "--quit")


def _files(objects: Objects, found: Mapping[str, Difference], names: Mapping[str, str]) -> None:
    """Write each file as it is to be; `names` are entries that have another name from now on."""
    wait = len(found) <= MANY
    gone = []
    for path, each in found.items():
        was = objects.read(each.before) if each.before else None
        now = objects.read(each.after) if each.after else None
        if now is None:
            gone.append((path, was))
        else:
            _write(objects.git, path, was, now, wait)
    for path, was in gone:
        if path in names:
            _follow(objects.git.folder, path, names[path], was)
        _take_away(objects.git.folder / path, path, was)
    if not wait and hasattr(os, "sync"):
        os.sync()


def _write(git: Git, path: str, was: bytes | None, now: bytes, wait: bool) -> None:
    target = git.folder / path
    make_folders(git.folder, target, path)
    here = _here(target)
    shared = shared_part(path, here) if here is not None else None
    if shared == now:
        return
    if shared is not None and shared != was and not (ENTRY.fullmatch(path) and _marked(shared)):
        now = merge(was, shared, now, path) if ENTRY.fullmatch(path) else now
    whole = with_private(path, now, here)
    if here is None:
        durable.create_file(str(target), whole, path, wait)
    else:
        durable.replace_file(str(target), whole, path, wait)


def _marked(data: bytes) -> bool:
    """Whether git wrote its marks of a failed merge into a file."""
    return conflict_line(data) is not None


def _follow(folder: Path, path: str, name: str, was: bytes | None) -> None:
    """What was written into an entry since it got another name goes there with it."""
    here = _here(folder / path)
    shared = shared_part(path, here) if here is not None else None
    if here is None or shared is None or shared == was or _marked(shared):
        return
    whole = merge(was, shared, _here(folder / name) or b"", name)
    durable.replace_file(str(folder / name), with_private(name, whole, here), name)
    (folder / path).unlink()


def _take_away(target: Path, path: str, was: bytes | None) -> None:
    """Take a file away that is as it was; one that changed meanwhile stays."""
    here = _here(target)
    if here is not None and shared_part(path, here) == was:
        target.unlink()


def _here(target: Path) -> bytes | None:
    if not os.path.lexists(target):
        return None
    try:
        return durable.read_file(str(target))
    except OSError as error:
        raise durable.why_not(error, target.name) from error


def make_folders(folder: Path, target: Path, path: str) -> None:
    """Every folder on the way must be a folder of the notebook, not a link out of it."""
    at = folder
    for part in Path(path).parts[:-1]:
        at = at / part
        if not os.path.lexists(at):
            at.mkdir()
        elif not is_own_folder(str(at)):
            raise FieldbookError(f"{part} is a link or a file, not a folder; it is left alone.")
