"""What a change is, in words of the notebook: for histories, plans and what came in."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence

from fieldbook.errors import FieldbookError
from fieldbook.store.bearings import KIND_OF
from fieldbook.store.names import SETTINGS_FILE
from fieldbook.store.parsing import NotToml, parse
from fieldbook.sync.incoming import ENTRY
from fieldbook.sync.merge import DISPUTED
from fieldbook.sync.objects import Difference, Objects
from fieldbook.sync.renames import became
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
    parts = [f"{_counted(lines.values())} on {name}"] if lines else []
    if changed := changes_between(old, new):
        opened, settled = _disputes(old.get(DISPUTED), new.get(DISPUTED))
        fields = dict.fromkeys(".".join(field[:2]) for field, _ in changed if field[0] != DISPUTED)
        names = [each for each in fields if each not in (*opened, *settled)]
        parts += [f"{', '.join(names[:4])} of {name} changed"] if names else []
        if opened:
            parts.append(
                f"two values for {', '.join(opened)} of {name}: choose one (fieldbook news)"
            )
        parts += [f"{', '.join(settled)} of {name} settled"] if settled else []
    return "; ".join(parts) or f"{name} changed"


def _disputes(old: object, new: object) -> tuple[list[str], list[str]]:
    """Of which fields two makers set two values, and of which one was chosen."""
    was, now = (set(each) if isinstance(each, Mapping) else set() for each in (old, new))
    return sorted(now - was), sorted(was - now)


def words_of(sides: Mapping[str, tuple[bytes | None, bytes | None]]) -> list[str]:
    """What happened to some files, each as it was and as it is; one renamed is told once."""
    gone = {path: was for path, (was, now) in sides.items() if was is not None and now is None}
    fresh = {path: now for path, (was, now) in sides.items() if was is None and now is not None}
    new_names = became(gone, fresh)
    former = {new: old for old, new in new_names.items()}
    words = []
    for path, (was, now) in sides.items():
        if path in former:
            words += _renamed(former[path], path, gone[former[path]], fresh[path])
        elif path not in new_names:
            words.append(entry_words(path, was, now))
    return words


def _renamed(old: str, new: str, was: bytes, now: bytes) -> list[str]:
    kind, name = KIND_OF[old.partition("/")[0]], old.partition("/")[2].removesuffix(".toml")
    told = f"{kind} {name} is now {new.partition('/')[2].removesuffix('.toml')}"
    return [told] if was == now else [told, entry_words(new, was, now)]


SETTINGS_BEGUN = f"{SETTINGS_FILE} begun"
MOST = 16
"""Files of which it is told one by one what happened, as many as a screen shows at once; ours."""


def shortened(words: Sequence[str]) -> list[str]:
    """What many files did, in few lines: entries that were begun are counted by kind."""
    if len(words) <= MOST:
        return list(words)
    kinds = Counter(word.split(" ")[0] for word in words if _is_begun(word))
    counted = by_kind(kinds)
    others = [word for word in words if not _is_begun(word) and word != SETTINGS_BEGUN]
    more = [f"and {len(others) - MOST} more; fieldbook news tells them"] if others[MOST:] else []
    begun = [f"{', '.join(counted)} begun"] if counted else []
    return [*begun, *others[:MOST], *more]


def by_kind(kinds: Mapping[str, int]) -> list[str]:
    """How many entries of each kind: `1 clay`, `4 batches`."""
    rows = [(kinds.get(kind, 0), kind, folder) for folder, kind in KIND_OF.items()]
    return [f"{n} {kind if n == 1 else folder}" for n, kind, folder in rows if n]


def _is_begun(word: str) -> bool:
    return word.endswith(" begun") and word.split(" ", maxsplit=1)[0] in KIND_OF.values()


def between(objects: Objects, found: Mapping[str, Difference]) -> list[str]:
    """What differs from one moment to another."""
    sides = {
        path: (_read(objects, each.before), _read(objects, each.after))
        for path, each in found.items()
        if ENTRY.fullmatch(path)
    }
    return words_of(sides)


def _read(objects: Objects, name: str | None) -> bytes | None:
    return objects.read(name) if name else None


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
