"""The loss of most of a notebook is asked about before it is carried over, in either direction."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from fieldbook.errors import FieldbookError
from fieldbook.sync.incoming import ENTRY, count
from fieldbook.sync.objects import Difference, Objects
from fieldbook.sync.renames import log_of

SEVERAL = 5
"""Fewer entries than this may go without a question."""

LET_GO = "fieldbook sync --let-go"
"""What carries over even such a loss; every question about one names it."""


class Loss(FieldbookError):
    """Most of the notebook would go; a person says whether it may."""


def most_of(gone: Iterable[str], before: int) -> list[str]:
    """The entries that go, where they are most of those that were; else none."""
    entries = [path for path in gone if ENTRY.fullmatch(path) and "/" in path]
    return entries if len(entries) >= SEVERAL and 2 * len(entries) > before else []


def but_renamed(was: Mapping[str, bytes | None], now: Iterable[bytes | None]) -> list[str]:
    """Of entries that are gone, those of which nothing else holds the bytes or every line."""
    others = {each for each in now if each}
    lines = set().union(*(log_of(each) for each in others))
    return [
        path
        for path, data in was.items()
        if data not in others and not (data and log_of(data) and log_of(data) <= lines)
    ]


def refuse_sending(gone: list[str], before: int) -> None:
    """Ask before the others lose what is gone here.

    Raises:
        Loss: most of the entries are gone from this folder.
    """
    if entries := most_of(gone, before):
        raise Loss(
            f"{len(entries)} of {before} entries are gone from this folder since the last sync\n"
            f"    Nothing was sent. If the group is to lose them too: {LET_GO}\n"
            f"    To have them back: {_back(entries)}"
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


def _back(entries: list[str]) -> str:
    folders = sorted({path.partition("/")[0] for path in entries})
    return f"git checkout HEAD -- {' '.join(folders)}"


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
    if entries := most_of(left, before):
        raise Loss(
            f"the group took away {len(entries)} of {before} entries; they are still here\n"
            f"    Ask who did, and why. To let them go here too: {LET_GO}"
        )
