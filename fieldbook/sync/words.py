"""What a change is, in words of the notebook: for histories, plans and what came in."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from fieldbook.errors import FieldbookError
from fieldbook.store.bearings import KIND_OF
from fieldbook.store.parsing import NotToml, parse
from fieldbook.sync.incoming import ENTRY
from fieldbook.sync.objects import Difference, Objects
from fieldbook.sync.values import changes_between


def entry_words(path: str, before: bytes | None, after: bytes | None) -> str:
    """One file's change: `3 readings on firing 2026-05-03`, `batch 2026-05-a begun`."""
    folder, _, file = path.partition("/")
    name = f"{KIND_OF[folder]} {file.removesuffix('.toml')}" if folder in KIND_OF else path
    if before is None:
        return f"{name} begun"
    if after is None:
        return f"{name} removed"
    try:
        old, new = parse(before), parse(after)
    except (NotToml, FieldbookError):
        return f"{name} changed"
    lines = {k: v for k, v in new.get("log", {}).items() if k not in old.get("log", {})}
    old.pop("log", None), new.pop("log", None)
    parts = []
    if lines:
        parts.append(f"{_counted(lines.values())} on {name}")
    if changed := changes_between(old, new):
        fields = ", ".join(dict.fromkeys(".".join(field[:2]) for field, _ in changed[:4]))
        parts.append(f"{fields} of {name} changed")
    return "; ".join(parts) or f"{name} changed"


def between(objects: Objects, found: Mapping[str, Difference]) -> list[str]:
    """What differs from one moment to another."""
    words = []
    for path, each in found.items():
        if ENTRY.fullmatch(path):
            sides = (objects.read(name) if name else None for name in (each.before, each.after))
            words.append(entry_words(path, *sides))
    return words


def message(title: str, words: Sequence[str]) -> str:
    """A commit's message: the first words as its title, all of them below where there are more."""
    more = f"; and {len(words) - 3} more" if len(words) > 3 else ""
    body = "\n\n" + "\n".join(words) if more else ""
    return f"{'; '.join(words[:3]) or title}{more}{body}"


def _counted(lines: Iterable[object]) -> str:
    kinds = [("reading" if isinstance(x, dict) and "temperature" in x else "line") for x in lines]
    number = len(kinds)
    what = "reading" if all(kind == "reading" for kind in kinds) else "observation"
    return f"{number} {what}{'s' if number != 1 else ''}"
