"""The loss of most of a notebook is asked about before it is carried over, in either direction."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from typing import NamedTuple

from fieldbook.errors import FieldbookError
from fieldbook.sync.incoming import ENTRY, count
from fieldbook.sync.objects import Difference, Objects
from fieldbook.sync.renames import log_of

SEVERAL = 5
"""Fewer entries than this may go without a question."""

LET_GO = "fieldbook sync --let-go"
"""What carries over even such a loss; every question about one names it."""

BRING_BACK = "fieldbook sync --bring-back"
"""What restores the entries that are gone here, and nothing else."""


class Loss(FieldbookError):
    """Most of the notebook would go; a person says whether it may."""


class Great(NamedTuple):
    """A loss to be asked about."""

    entries: list[str]
    words: str
    """Such as `8 of 9 entries`, or `all 6 firings`."""


def great(gone: Iterable[str], before: Mapping[str, int]) -> Great | None:
    """The entries that go, where they are most of those that were, or all of one kind.

    `before` is how many there were, by folder.
    """
    entries = [path for path in gone if ENTRY.fullmatch(path) and "/" in path]
    of_all = sum(before.values())
    if len(entries) >= SEVERAL and 2 * len(entries) > of_all:
        return Great(entries, f"{len(entries)} of {of_all} entries")
    kinds = Counter(path.partition("/")[0] for path in entries)
    whole = [folder for folder, n in kinds.items() if SEVERAL <= n == before.get(folder)]
    if not whole:
        return None
    words = " and ".join(f"all {kinds[folder]} {folder}" for folder in whole)
    return Great([path for path in entries if path.partition("/")[0] in whole], words)


def but_renamed(was: Mapping[str, bytes | None], now: Iterable[bytes | None]) -> list[str]:
    """Of entries that are gone, those of which nothing else holds the bytes or every line."""
    others = {each for each in now if each}
    lines = set().union(*(log_of(each) for each in others))
    return [
        path
        for path, data in was.items()
        if data not in others and not (data and log_of(data) and log_of(data) <= lines)
    ]


def refuse_sending(gone: list[str], before: Mapping[str, int]) -> None:
    """Ask before the others lose what is gone here.

    Raises:
        Loss: most of the entries are gone from this folder, or all of a kind.
    """
    if lost := great(gone, before):
        raise Loss(
            f"{lost.words} are gone from this folder since the last sync\n"
            f"    Nothing was sent. If the group is to lose them too: {LET_GO}\n"
            f"    To have them back, and them alone: {BRING_BACK}"
        )


def refuse_hiding(paths: list[str]) -> None:
    """Ask before the others lose an entry that they have and that is private here now.

    Raises:
        Loss: there is one.
    """
    if paths:
        names = ", ".join(path.removesuffix(".toml") for path in paths)
        one = paths[0].removesuffix(".toml")
        raise Loss(
            f"{names}: private from now on, and the others have it: it goes from their folders,\n"
            "    and what it said so far stays in the history. Nothing was sent.\n"
            f"    If that is meant: {LET_GO}\n"
            f"    To go on sharing it: fieldbook set {one} private=false"
        )


def refuse_taking_in(objects: Objects, base: str, found: Mapping[str, Difference]) -> None:
    """Ask before what others took away goes here as well; `found` is what they changed.

    Raises:
        Loss: the other side has lost most of the entries.
    """
    now = {path: objects.read(each.after or "") for path, each in found.items()}
    gone = {path: each.before for path, each in found.items() if each.before and not now[path]}
    if len(gone) < SEVERAL:
        return
    before = count(objects.git, base)
    left = but_renamed({p: objects.read(name or "") for p, name in gone.items()}, now.values())
    if lost := great(left, before):
        raise Loss(
            f"the group took away {lost.words}; they are still here\n"
            f"    Ask who did, and why. To let them go here too: {LET_GO}"
        )
