"""What may come in: plain entries in plain folders; anything else is refused in a plain word."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Mapping
from typing import NamedTuple

from fieldbook.errors import FieldbookError
from fieldbook.store.names import FOLDERS, is_name
from fieldbook.sync.git import Git
from fieldbook.sync.objects import Difference, Objects
from fieldbook.text import clean

LARGEST = 16 * 1024 * 1024
ENTRY = re.compile(rf"(notebook|({'|'.join(FOLDERS)})/[a-z0-9][a-z0-9-]*)\.toml")
OWN = {".gitignore"}
RUNS = re.compile(
    r".*\.(py[cdwz]?|pth|egg|so|dll|dylib|exe|com|bat|cmd|ps1|vbs|js|sh|app|desktop|lnk|scr|msi|jar)",
    re.IGNORECASE | re.DOTALL,
)
"""Names of what a system or Python would run. A picture or a README beside the entries may come."""


def is_entry(path: str) -> bool:
    """Whether a path is that of an entry, or of the settings, on every disk."""
    return bool(ENTRY.fullmatch(path)) and ("/" not in path or is_name(path.split("/")[1][:-5]))


class Item(NamedTuple):
    """One file of a commit."""

    mode: str
    size: int
    path: str
    contents: str = ""
    """The id of its bytes."""


def items(git: Git, commit: str) -> list[Item]:
    """Every file of a commit."""
    listed = git("ls-tree", "-r", "-z", "--long", "--full-tree", commit).text
    found = []
    for row in filter(None, listed.split("\0")):
        about, _, path = row.partition("\t")
        mode, _, contents, size = about.split()
        found.append(Item(mode, int(size) if size.isdigit() else 0, path, contents))
    return found


def count(git: Git, commit: str) -> Counter[str]:
    """How many entries a commit holds, by their folder."""
    listed = git("ls-tree", "-r", "-z", "--name-only", "--full-tree", commit).text.split("\0")
    return Counter(p.partition("/")[0] for p in listed if "/" in p and ENTRY.fullmatch(p))


def refuse_unsafe(objects: Objects, commit: str, found: Mapping[str, Difference]) -> None:
    """Refuse a commit that brings more than a notebook may hold; `found` is what it brings.

    Raises:
        FieldbookError: what it is, by name.
    """
    came = {path: each for path, each in found.items() if each.after}
    for path, each in came.items():
        size = 0 if each.mode == "160000" else objects.size(each.after or "")
        trouble = _trouble(Item(each.mode, size, path))
        if trouble:
            raise FieldbookError(
                f"what came in is not taken: {clean(path)} {trouble}\n"
                "    The notebook is as it was. Ask whoever sent it to take that out."
            )
    if any(each.before is None for each in came.values()):
        _refuse_collisions(item.path for item in items(objects.git, commit))


def _trouble(item: Item) -> str:
    if item.mode == "120000":
        return "is a link"
    if item.mode == "160000":
        return "is another repository"
    if item.size > LARGEST:
        return "is larger than 16 MiB"
    parts = item.path.split("/")
    if any(part.lower() in (".git", "..", ".fieldbook") for part in parts):
        return "stands where only the program writes"
    if any(RUNS.fullmatch(part.rstrip(". ")) for part in parts):
        return "could be run as a program"
    if ENTRY.fullmatch(item.path) and "/" in item.path and not is_name(parts[1][:-5]):
        return "has a name that not every disk can hold"
    if item.mode == "100755" and ENTRY.fullmatch(item.path):
        return "is marked as a program"
    return ""


def _refuse_collisions(paths: Iterable[str]) -> None:
    seen: dict[str, str] = {}
    for path in paths:
        folded = path.casefold()
        if folded in seen:
            raise FieldbookError(
                f"what came in is not taken: {clean(path)} and {clean(seen[folded])} "
                "are one file on some disks\n    Ask whoever sent it to rename one."
            )
        seen[folded] = path
