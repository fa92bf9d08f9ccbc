"""What is wrong with a notebook as a whole, beside what reading each file finds."""

from __future__ import annotations

import os
import stat
from collections.abc import Iterator
from datetime import UTC, datetime
from functools import cache
from typing import TYPE_CHECKING, Any

from fieldbook.errors import Problem
from fieldbook.lines.limits import FUELS, LIMITS, wrong_with
from fieldbook.records import Entry, Firing, FiringLine, Kiln, Mix
from fieldbook.store import names, recent
from fieldbook.store.places import dotted
from fieldbook.store.references import references

if TYPE_CHECKING:
    from fieldbook.store.folder import Store


def check(store: Store, now: datetime | None) -> list[Problem]:
    """Find everything that is wrong, file by file and line by line."""
    problems = [*store.problems, *odd_files(str(store.folder))]
    addresses = store.addresses
    clock = None if now else datetime.now(UTC)
    for address in addresses:
        problems += entry_problems(store, address, addresses, clock)
    return problems + _lost_lines(store)


def entry_problems(
    store: Store,
    address: str,
    addresses: tuple[str, ...] = (),
    clock: datetime | None = None,
) -> list[Problem]:
    """Find what is wrong in one entry, in the order of its lines; with a clock, lines ahead of it.

    `addresses` are those of the notebook, where they are known already.
    """
    read = store.read(address)
    found = list(read.problems)
    if read.record:
        found += _missing_entries(read.record, addresses or store.addresses)
        found += _places(read.record, store)
        found += _parts(read.record)
        found += _beyond_reason(read.record)
        if clock is not None:
            found += _later_lines(read.record, clock)
    return sorted(found, key=lambda problem: problem.line or 0)


def odd_files(notebook: str) -> Iterator[Problem]:
    """Files that look like entries and are none: they are never read, so they are pointed out."""
    with os.scandir(notebook) as listing:
        for item in sorted(listing, key=lambda item: item.name):
            if item.name in names.FOLDERS:
                yield from _odd_in(notebook, item.name)
            elif problem := _odd_at_top(item):
                yield problem


def _odd_at_top(item: os.DirEntry[str]) -> Problem | None:
    shown = names.shown(item.name)
    if item.name.startswith(".") or item.name == names.SETTINGS_FILE:
        return None
    if item.name.endswith(".toml"):
        return Problem(shown, None, "is in no folder, so it is not read", _FOLDERS_REMEDY)
    if item.is_dir(follow_symlinks=False) and _holds_entries(item.path):
        near = names.nearest(item.name, names.FOLDERS, 1)
        remedy = f"Rename the folder to {near[0]}." if near else _FOLDERS_REMEDY
        return Problem(shown, None, "is not a folder of entries, so it is not read", remedy)
    return None


_FOLDERS_REMEDY = f"Entries stand in {', '.join(names.FOLDERS)}: move it there, or elsewhere."


def _holds_entries(path: str) -> bool:
    try:
        with os.scandir(path) as listing:
            return any(item.name.endswith(".toml") for item in listing)
    except OSError:
        return False


def _odd_in(notebook: str, folder: str) -> Iterator[Problem]:
    path = os.path.join(notebook, folder)
    if not names.is_own_folder(path):
        what = "is a link or a file, not a folder; it is not read"
        yield Problem(folder, None, what, "Put the folder itself in its place.")
        return
    try:
        with os.scandir(path) as listing:
            items = sorted(listing, key=lambda item: item.name)
    except OSError as error:
        what = f"cannot be opened: {error.strerror}"
        yield Problem(folder, None, what, "Check who may read the folder.")
        return
    for item in items:
        is_meant = not item.name.startswith(".") and item.name.lower().endswith(".toml")
        if is_meant and (problem := _odd_file(folder, item)):
            yield problem


def _odd_file(folder: str, item: os.DirEntry[str]) -> Problem | None:
    file = f"{folder}/{names.shown(item.name)}"
    mode = item.stat(follow_symlinks=False).st_mode
    if stat.S_ISLNK(mode):
        remedy = "Put the file itself in place of the link."
        return Problem(file, None, "is a link; links are not followed", remedy)
    if stat.S_ISDIR(mode):
        return Problem(file, None, "is a folder, not a file", "Move it out of the notebook.")
    if not stat.S_ISREG(mode):
        return Problem(file, None, "is not a regular file", "Move it out of the notebook.")
    name = item.name.removesuffix(".toml")
    if names.is_name(name) and item.name.endswith(".toml"):
        return None
    better = names.suggested_name(item.name[:-5])
    remedy = f"Rename the file to {better}.toml." if better else names.NAME_RULE
    return Problem(file, None, "has a name that no entry can have, so it is not read", remedy)


def _missing_entries(entry: Entry, addresses: tuple[str, ...]) -> Iterator[Problem]:
    for found in references(entry):
        if any(f"{folder}/{found.name}" in addresses for folder in found.folders):
            continue
        there = [a for a in addresses if a.partition("/")[0] in found.folders]
        near = names.nearest(found.name, there, 1)
        hint = f'The nearest is "{near[0].partition("/")[2]}".' if near else ""
        where = " or ".join(found.folders)
        yield Problem(
            entry.path,
            found.line,
            f'{found.field} = "{found.name}" names an entry that is not in {where}',
            hint or f"Make the entry in {where}, or write the name of one that is there.",
        )


def _later_lines(entry: Entry, clock: datetime) -> Iterator[Problem]:
    for line in reversed(entry.log):
        if line.at <= clock:
            return
        yield Problem(
            entry.path,
            _number(line.where),
            f"{names.shown(line.key)} is later than the clock; the line is not used",
            "Put the time of the line right, or the clock.",
        )


def _number(where: str) -> int | None:
    number = where.rpartition(":")[2]
    return int(number) if number.isdecimal() else None


def _places(entry: Entry, store: Store) -> Iterator[Problem]:
    if isinstance(entry, Kiln):
        seen: set[str] = set()
        for place in entry.places:
            if place.casefold() in seen:
                yield Problem(
                    entry.path,
                    entry.lines_of.get("places"),
                    f'places has "{names.shown(place)}" twice',
                    "Give each place a name of its own.",
                )
            seen.add(place.casefold())
    elif isinstance(entry, Firing) and entry.kiln:
        kiln = store.read(f"kilns/{entry.kiln}").record
        if isinstance(kiln, Kiln) and kiln.places:
            yield from _misspelt_places(entry, kiln.places)


def _misspelt_places(entry: Firing, places: tuple[str, ...]) -> Iterator[Problem]:
    """Places that are spelled almost as one of the kiln's; others may be meant as they are."""
    used = [(f"load.{n}.place", item.place) for n, item in enumerate(entry.load, 1)]
    used += [(f"unloaded.{n}.place", item.place) for n, item in enumerate(entry.unloaded, 1)]
    found = [(entry.lines_of.get(path), place) for path, place in used]
    found += [(_number(line.where), getattr(line, "place", None)) for line in entry.log]
    for number, place in found:
        if not place or place in places:
            continue
        near = names.nearest(place, places, 1)
        if near:
            yield Problem(
                entry.path,
                number,
                f'place = "{names.shown(place)}" is no place of kilns/{entry.kiln}',
                f'Write "{near[0]}" if that is meant, or add the place to the kiln.',
            )


_NEEDED: tuple[tuple[type[Entry], str, tuple[tuple[str, str], ...]], ...] = (
    (Mix, "parts", (("clay", "temper"), ("volume", "mass"))),
    (Firing, "load", (("batch", "refired"),)),
)


def _parts(entry: Entry) -> Iterator[Problem]:
    """Parts of a mix and of a load that do not say of what, or how much."""
    for record, field, choices in _NEEDED:
        if not isinstance(entry, record):
            continue
        for number, item in enumerate(getattr(entry, field), 1):
            for one, other in choices:
                path = dotted((field, number))
                if not _any_written(entry, item, path, one, other):
                    what = f"{path} has neither {one} nor {other}"
                    line = entry.lines_of.get(path)
                    yield Problem(entry.path, line, what, f"Write {one} = … or {other} = …")


def _any_written(entry: Entry, item: Any, path: str, *fields: str) -> bool:
    return any(getattr(item, f) is not None or f"{path}.{f}" in entry.lines_of for f in fields)


_ROWS, _TABLES = ("marked", "specimens", "bars"), ("mould", "green", "plan")


def _beyond_reason(entry: Entry) -> Iterator[Problem]:
    """Figures that no reading of this trade can be; what was typed is kept as it stands."""
    holders: list[Any] = [entry, *(getattr(entry, table, None) for table in _TABLES), *entry.log]
    for rows in _ROWS:
        holders += getattr(entry, rows, {}).values()
    for holder in holders:
        kind: Any = type(holder)
        for field in _limited(kind):
            amount = getattr(holder, field)
            wrong = wrong_with(field, amount.value, amount.dimension) if amount else ""
            if wrong and not _is_of_the_curve(holder, field, amount):
                what = f'{field} = "{names.shown(amount.text)}" {wrong}'
                line = _number(amount.where)
                where = f" with: fieldbook set {entry.path}:{line} {field}=…" if line else ""
                remedy = (
                    f"Put the figure or its unit right{where if _is_row(holder, entry) else ''}"
                )
                yield Problem(entry.path, line, what, f"{remedy}; until then it stands.")


def _is_of_the_curve(holder: Any, field: str, amount: Any) -> bool:
    """Whether the review of the firing names it, which leaves it out of the curve."""
    if field != "temperature" or not isinstance(holder, FiringLine) or amount.is_bound:
        return False
    return holder.probe not in ("wall", "flue")


def _is_row(holder: Any, entry: Entry) -> bool:
    """Whether something stands on a line of its own, which `set` can be told by its number."""
    return any(holder is line for line in entry.log) or any(
        holder is row for rows in _ROWS for row in getattr(entry, rows, {}).values()
    )


@cache
def _limited(holder: type) -> tuple[str, ...]:
    """Fields of a record that have a limit: those of one brick or one line, not of a building."""
    if issubclass(holder, Entry):
        return ("no_hotter_than",) if hasattr(holder, "no_hotter_than") else ()
    return tuple(field for field in (*LIMITS, *FUELS) if hasattr(holder, field))


def _lost_lines(store: Store) -> list[Problem]:
    """Lines that were saved not long ago and stand in their entry no longer."""
    what = "a line saved lately is gone, most likely by another program"
    remedy = (
        "Close the file in the other program; fieldbook check --restore puts the line back, "
        "--forget leaves it out."
    )
    return [
        Problem(names.file_of(line.address), None, f"{what}: {names.shown(line.text)}", remedy)
        for line in lost_lines(store)
    ]


def lost_lines(store: Store) -> list[recent.Kept]:
    """Lines saved lately that their entry does not hold any more, the oldest first.

    A line may have got another millisecond by a merge, so its content counts, not its key.
    """
    texts: dict[str, str | None] = {}
    lost = []
    for line in recent.kept(str(store.folder)):
        if line.address not in texts:
            texts[line.address] = _text_or_none(store, line.address)
        text = texts[line.address]
        content = line.text.partition(" = ")[2]
        if text is not None and content not in text:
            lost.append(line)
    return lost


def _text_or_none(store: Store, address: str) -> str | None:
    """Give an entry's text; None where it is gone or cannot be read, which is told elsewhere."""
    read = store.read(address)
    return read.text if read.record else None
