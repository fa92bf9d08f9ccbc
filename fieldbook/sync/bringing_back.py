"""The entries that are gone from the folder brought back as they were kept last; nothing else."""

from __future__ import annotations

from collections import Counter
from typing import NamedTuple

from fieldbook.store.bearings import KIND_OF
from fieldbook.store.durable import replace_file
from fieldbook.store.lock import Lock
from fieldbook.sync.changes import Changes
from fieldbook.sync.laying_out import go_on, make_folders
from fieldbook.sync.objects import reading
from fieldbook.sync.syncing import Sync
from fieldbook.sync.words import MOST, by_kind


class Back(NamedTuple):
    """What was brought back."""

    brought_back: tuple[str, ...]

    def lines(self) -> list[str]:
        """The same as people read it; many are counted by kind."""
        names = [path.removesuffix(".toml") for path in self.brought_back]
        if len(names) > MOST:
            names = by_kind(Counter(KIND_OF[name.partition("/")[0]] for name in names))
        return [f"brought back: {name}" for name in names] or ["no entry that was kept is gone"]


def bring_back(sync: Sync) -> Back:
    """Restore the entries that are gone, or empty, as the history has them.

    What else changed in the folder stays as it is. Nothing is sent or taken in.
    """
    sync.ready()
    folder = sync.folder
    with Lock(str(folder), name="sync"), Lock(str(folder)), reading(sync.git) as objects:
        go_on(objects, objects.commit_id("HEAD"))
        gone = Changes(objects, objects.commit_id("HEAD")).gone
        for path, data in gone.items():
            make_folders(folder, folder / path, path)
            replace_file(str(folder / path), data, path)
    return Back(tuple(gone))
