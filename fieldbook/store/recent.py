"""Lines saved not long ago, kept a second time in the person's own state folder.

Another program may save a file it had open since before a line was added, and so drop the line
without knowing. `check` finds such a line here and offers it back.
"""

import os
import time
from collections.abc import Callable, Iterable
from contextlib import suppress
from typing import NamedTuple

MOST_BYTES = 256 * 1024
KEPT_FOR = 14 * 24 * 3600
"""How long a saved line is looked after [s]."""


class Kept(NamedTuple):
    """A line that was saved."""

    when: float
    """When it was saved [s since 1970]."""
    address: str
    key: str
    text: str


def state_folder() -> str:
    """Give the folder for what the program keeps for one person, outside of every notebook."""
    base = os.environ.get("XDG_STATE_HOME") or os.environ.get("LOCALAPPDATA")
    if not base or not os.path.isabs(base):
        base = os.path.join(os.path.expanduser("~"), ".local", "state")
    return os.path.join(base, "fieldbook")


def _file() -> str:
    return os.path.join(state_folder(), "recent-lines")


def remember(notebook: str, address: str, key: str, text: str) -> None:
    """Keep a second copy of a saved line; where that fails, the first one still stands."""
    with suppress(OSError):
        _add([_row(notebook, Kept(time.time(), address, key, text))])


def _row(notebook: str, kept: Kept) -> str:
    # A line of TOML holds no tab and no line end of its own: they are escaped.
    return f"{kept.when:.0f}\t{os.path.realpath(notebook)}\t{kept.address}\t{kept.key}\t{kept.text}"


def _add(rows: list[str]) -> None:
    os.makedirs(state_folder(), mode=0o700, exist_ok=True)
    path = _file()
    flags = os.O_WRONLY | os.O_CREAT | os.O_APPEND | getattr(os, "O_NOFOLLOW", 0)
    descriptor = os.open(path, flags, 0o600)
    try:
        os.write(descriptor, "".join(f"{row}\n" for row in rows).encode())
        is_large = os.fstat(descriptor).st_size > MOST_BYTES
    finally:
        os.close(descriptor)
    if is_large:
        os.replace(path, f"{path}-before")


def kept(notebook: str) -> list[Kept]:
    """Give the lines saved lately in this notebook, the oldest first."""
    return [line for line in _all(notebook) if line.key and line.when > time.time() - KEPT_FOR]


def last(notebook: str, address: str = "") -> Kept | None:
    """Give what was saved last in the notebook or in one entry; without a key it is no line."""
    found = [line for line in _all(notebook) if address in ("", line.address)]
    return found[-1] if found else None


def _all(notebook: str) -> list[Kept]:
    folder = os.path.realpath(notebook)
    return [Kept(float(parts[0]), *parts[2:]) for parts in _rows() if parts[1] == folder]


def drop(notebook: str, gone: Kept) -> None:
    """Keep no longer what was taken back."""
    _rewrite(notebook, lambda line: None if line == gone else line)


def _rows() -> list[list[str]]:
    rows = []
    for path in (f"{_file()}-before", _file()):
        with suppress(OSError), open(path, encoding="utf-8", errors="replace") as file:
            rows += [line.rstrip("\n").split("\t", 4) for line in file]
    return [row for row in rows if len(row) == 5 and row[0].isdecimal()]


def forget(notebook: str, lines: Iterable[tuple[str, str]]) -> None:
    """Look after these lines, each an address and a key, no longer."""
    gone = set(lines)
    _rewrite(notebook, lambda line: None if (line.address, line.key) in gone else line)


def forget_change(notebook: str, address: str, undo: Iterable[object]) -> None:
    """Keep no longer a change of fields that was taken back; it is known by what led back."""
    from json import dumps

    mark = dumps({"undo": list(undo)})[1:-1]
    _rewrite(
        notebook,
        lambda line: (
            None if not line.key and line.address == address and mark in line.text else line
        ),
    )


def renamed(notebook: str, old: str, new: str) -> None:
    """Look after the lines of an entry under its new address."""
    _rewrite(notebook, lambda line: line._replace(address=new) if line.address == old else line)


def _rewrite(notebook: str, change: Callable[[Kept], Kept | None]) -> None:
    folder = os.path.realpath(notebook)
    rows = []
    for parts in _rows():
        line = Kept(float(parts[0]), *parts[2:])
        if parts[1] != folder:
            rows.append("\t".join(parts))
        elif changed := change(line):
            rows.append(_row(notebook, changed))
    with suppress(OSError):
        beside = f"{_file()}-{os.getpid()}"
        with open(beside, "w", encoding="utf-8") as file:
            file.write("".join(f"{row}\n" for row in rows))
        os.replace(beside, _file())
        with suppress(FileNotFoundError):
            os.unlink(f"{_file()}-before")
