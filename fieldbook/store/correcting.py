"""A line of the log put right or taken out, found by where it stands in the file."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import TYPE_CHECKING

from fieldbook.errors import FieldbookError
from fieldbook.store import recent
from fieldbook.store.append import Saved
from fieldbook.store.change import Change
from fieldbook.store.places import Layout, Path, dotted
from fieldbook.store.rows import set_changes
from fieldbook.store.typed import change_of, record_of
from fieldbook.store.values import Setting

if TYPE_CHECKING:
    from fieldbook.store.folder import Store

_WHERE = re.compile(r"(?P<entry>.+?)(?:\.toml)?:(?P<line>[0-9]{1,9})\Z")


def split_where(text: str) -> tuple[str, int] | None:
    """Take `firings/2026-05-03.toml:54`, as problems are named, apart; None where it is none."""
    match = _WHERE.match(text)
    return (match["entry"], int(match["line"])) if match else None


def path_at(store: Store, address: str, line: int) -> Path:
    """Give the path of the log line, specimen or marked brick that stands at a line.

    Raises:
        FieldbookError: no such row stands there.
    """
    read = store.read(address)
    for path, number in Layout(read.text).lines.items() if read.record else ():
        if number == line and len(path) == 2 and path[0] in ("log", "specimens", "marked", "bars"):
            return path
    raise FieldbookError(
        f"{address}.toml:{line} is no line of the log and no brick.\n"
        "    Name a field instead: fieldbook set ENTRY FIELD=VALUE"
    )


def correct(store: Store, address: str, path: Path, fields: Mapping[str, object]) -> Saved:
    """Change fields of one line of the log; an empty text takes a field away."""
    line_type = record_of(address).line_type  # type: ignore[attr-defined]
    setting = Setting(store.zone, store.settings.measures)
    changes = [change_of(line_type, field, value, setting) for field, value in fields.items()]
    placed = [Change((*path, *change.path), change.value) for change in changes]
    saved = set_changes(str(store.folder), address, placed, store.read(address).data)
    recent.forget(str(store.folder), [(address, str(path[1]))])
    return saved


def take_out(store: Store, address: str, path: Path) -> Saved:
    """Take one line out of the log.

    Raises:
        FieldbookError: it is another row, which other lines may speak of.
    """
    if path[0] != "log":
        raise FieldbookError(
            f"{dotted(path)} is no line of the log, and lines of the log may speak of it.\n"
            f"    If it is to go all the same: fieldbook set {address} {dotted(path)}="
        )
    data = store.read(address).data
    saved = set_changes(str(store.folder), address, [Change(path, None)], data)
    recent.forget(str(store.folder), [(address, str(path[1]))])
    return saved
