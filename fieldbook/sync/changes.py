"""What changed in the folder since the moment it stands on, and keeping it as the next one."""

from __future__ import annotations

import os
from collections.abc import Mapping
from functools import cached_property
from pathlib import Path

from fieldbook.errors import FieldbookError
from fieldbook.store.durable import NotAFile, read_file, replace_file
from fieldbook.sync import loss
from fieldbook.sync.git import Git
from fieldbook.sync.incoming import ENTRY, OWN, count, is_entry
from fieldbook.sync.keeping_back import tell_git
from fieldbook.sync.merge import merge, version
from fieldbook.sync.naming import that_name
from fieldbook.sync.objects import (
    New,
    Objects,
    commit,
    put_in_index,
)
from fieldbook.sync.private import shared_part, with_private
from fieldbook.sync.words import entry_words, message, words_of

UNMERGED = {"DD", "AU", "UD", "UA", "DU", "AA", "UU"}


def _is_plain(path: Path) -> bool:
    """Whether a file is one, or is gone; a link or a folder in its place is left alone."""
    return not os.path.lexists(path) or (path.is_file() and not path.is_symlink())


class Changes:
    """What git finds different in the folder; looked at once."""

    def __init__(self, objects: Objects, head: str | None) -> None:
        self.objects = objects
        self.git: Git = objects.git
        self.folder = self.git.folder
        self.head = head

    @cached_property
    def rows(self) -> dict[str, str]:
        """By path, the two letters of what changed in the index and in the folder."""
        words = ("status", "--porcelain", "-z", "--untracked-files=all", "--no-renames")
        listed = self.git(*words).text.split("\0")
        return {row[3:]: row[:2] for row in listed if row}

    @property
    def unmerged(self) -> list[str]:
        """The files of which git left several versions side by side."""
        return [path for path, row in self.rows.items() if row in UNMERGED]

    @cached_property
    def hidden(self) -> set[str]:
        """The entries that are private as a whole."""
        return tell_git(self.folder, [path for path in self.rows if ENTRY.fullmatch(path)])

    @cached_property
    def entries(self) -> list[str]:
        """The entries that changed and may be shared."""
        return [path for path in self._may_be_shared if path not in self.kept_back]

    @cached_property
    def kept_back(self) -> dict[str, str]:
        """Entries that name a private one, with the one they name."""
        return that_name(self.folder, self._may_be_shared, self.hidden)

    @cached_property
    def _may_be_shared(self) -> list[str]:
        """Every changed entry that is not private, and that others can take in as well."""
        return [
            path
            for path in self.rows
            if is_entry(path) and path not in self.hidden and _is_plain(self.folder / path)
        ]

    @cached_property
    def words(self) -> list[str]:
        """What changed, in words of the notebook."""
        sides = {
            path: (self.objects.read(f"{self.head}:{path}") if self.head else None, now)
            for path in self.entries
            for now in (self._shared(path),)
        }
        words = words_of(sides)
        return words + [entry_words(path, b"", None) for path in self._now_hidden]

    @property
    def _now_hidden(self) -> list[str]:
        """Entries that the others have and that are private from now on."""
        return [path for path in self.rows if path in self.hidden and self._is_tracked(path)]

    def _shared(self, path: str) -> bytes | None:
        data = self._here(path)
        return shared_part(path, data) if data is not None and ENTRY.fullmatch(path) else data

    def _here(self, path: str) -> bytes | None:
        """A file as it stands in the folder, with what is private in it."""
        if not os.path.lexists(self.folder / path):
            return None
        try:
            return read_file(str(self.folder / path))
        except NotAFile as error:
            raise FieldbookError(f"{path}: {error}") from error

    def _is_tracked(self, path: str) -> bool:
        return self.rows[path] != "??"

    def refuse_loss(self) -> None:
        """Ask before most of the entries go, or one that the others have becomes private.

        Raises:
            Loss: they are gone from the folder, or empty; or others would lose it.
        """
        loss.refuse_hiding(self._now_hidden)
        if self.head and len(gone := list(self.gone)) >= loss.SEVERAL:
            loss.refuse_sending(gone, count(self.git, self.head))

    @cached_property
    def gone(self) -> dict[str, bytes]:
        """The entries that went from the folder, or are empty, with what the history has of them.

        One that only has another name is not gone.
        """
        now = {path: self._shared(path) for path in self.entries}
        empty = [path for path, data in now.items() if not data]
        was = {path: self.objects.read(f"{self.head}:{path}") or b"" for path in empty}
        return {path: was[path] for path in loss.but_renamed(was, now.values()) if was[path]}

    def settle_unmerged(self) -> None:
        """Merge by meaning every entry that stands unmerged in the index, by its three versions."""
        stages: dict[str, dict[int, str]] = {}
        for row in filter(None, self.git("ls-files", "-u", "-z").text.split("\0")):
            about, _, path = row.partition("\t")
            _, contents, stage = about.split()
            stages.setdefault(path, {})[int(stage)] = contents
        for path, each in stages.items():
            sides = {stage: self.objects.read(name) or b"" for stage, name in each.items()}
            if ENTRY.fullmatch(path) and self._has_no_marks(path):
                sides[2] = self._shared(path) or b""  # a person may have settled it already
            if ENTRY.fullmatch(path) and 2 in sides and 3 in sides:
                result = merge(sides.get(1), sides[2], sides[3], path)
            else:
                # A deletion against a change keeps the change.
                result = sides.get(2, sides.get(3, b""))
            if ENTRY.fullmatch(path):
                result = with_private(path, result, self._here(path))
            (self.folder / path).parent.mkdir(parents=True, exist_ok=True)
            replace_file(str(self.folder / path), result, path)
            self.git("add", "--", path)
        del self.rows  # git is asked anew

    def _has_no_marks(self, path: str) -> bool:
        """Whether the file can be read: git, or a person, left no marks in it."""
        try:
            version(self._shared(path) or b"", path)
        except FieldbookError:
            return False
        return (self.folder / path).is_file()

    def keep(self) -> str | None:
        """Commit what changed, and give the moment that is then; the same where nothing did."""
        files = self._files()
        if not files:
            return self.head
        parents = [self.head] if self.head else []
        made = commit(self.git, parents, files, message("changes", self.words))
        put_in_index(self.git, made.files, made.commit)
        if not self._is_other(files):
            return self.head  # the index alone was out of step
        self.git("update-ref", "-m", "sync", "HEAD", made.commit, *parents)
        return made.commit

    def _is_other(self, files: Mapping[str, New]) -> bool:
        """Whether any file is not as the history has it."""
        if self.head is None:
            return True
        return any(data != self.objects.read(f"{self.head}:{p}") for p, data in files.items())

    def _files(self) -> dict[str, New]:
        """Entries and our own ignore file, new, changed and removed; nothing else."""
        files: dict[str, New] = {path: self._shared(path) for path in self.entries}
        for path in OWN & self.rows.keys():
            files[path] = self._shared(path)
        for path in self.rows.keys() & self.hidden:
            if self._is_tracked(path):
                files[path] = None
        return files
