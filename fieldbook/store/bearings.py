"""What a typed line needs to know of the notebook: zone, maker, measures, places. Little is read.

On the path of every logged line: it reads `notebook.toml` and, of a firing, the few lines before
its log, and imports nothing that the reading of TOML does not.
"""

import os
from datetime import UTC, tzinfo
from typing import Any, NamedTuple

from fieldbook.errors import FieldbookError
from fieldbook.store import durable, parsing
from fieldbook.store.names import FOLDERS, SETTINGS_FILE, split
from fieldbook.store.whose import own_maker
from fieldbook.store.zones import zone_of

KIND_OF = dict(
    zip(FOLDERS, ("clay", "mix", "kiln", "batch", "firing", "test", "build"), strict=True)
)


class Recorded:
    """What an entry holds, read when it is asked for."""

    __slots__ = ("_path",)

    def __init__(self, path: str) -> None:
        self._path = path

    def __call__(self) -> tuple[dict[str, Any], bytes]:
        """What stands before the log of the entry, and the text of its log as it is now."""
        return _parted(_read(self._path))

    def recent(self) -> bytes:
        """The end of the file, where the newest lines of its log stand."""
        try:
            descriptor = durable.open_file(self._path, os.O_RDONLY)
        except (OSError, FieldbookError):
            return b""
        try:
            size = os.fstat(descriptor).st_size
            os.lseek(descriptor, max(0, size - _RECENT), os.SEEK_SET)
            return os.read(descriptor, _RECENT)
        finally:
            os.close(descriptor)


class Bearings(NamedTuple):
    """What is known before a line is read."""

    zone: tzinfo
    maker: str | None
    measures: tuple[str, ...]
    kind: str
    places: dict[str, bool]
    """Place -> whether the kiln names it."""
    bricks: dict[str, Any]
    """Marked brick or specimen -> its row as written."""
    bricks_there: int | None = None
    """How many the batch or the load of the firing has; None where it is not written."""
    log_in: str = ""
    """The file whose log tells where readings are taken."""

    def usual_place(self) -> str:
        """What a reading that names no place counts for; empty where there is only one place."""
        if len(self.places) < 2 or not self.log_in:
            return ""
        return _usual_place(self.record()[1])

    @property
    def record(self) -> Recorded:
        """What the entry holds, to be called for it."""
        return Recorded(self.log_in)


def bearings(notebook: str, address: str) -> Bearings:
    """Take the bearings for a line on an entry."""
    settings = _head(notebook, SETTINGS_FILE)
    folder, _ = split(address)
    is_read = folder in ("firings", "batches", "tests")
    entry = _head(notebook, f"{address}.toml") if is_read else {}
    maker = settings.get("maker")
    measures = settings.get("measures")
    return Bearings(
        zone_of(settings.get("timezone")) or UTC,
        own_maker(notebook) or (maker if isinstance(maker, str) else None),
        tuple(measures) if isinstance(measures, dict) else (),
        KIND_OF[folder],
        _places(notebook, entry),
        _bricks(entry),
        _bricks_there(entry),
        os.path.join(notebook, f"{address}.toml"),
    )


def _places(notebook: str, entry: dict[str, Any]) -> dict[str, bool]:
    """The places of a firing's kiln, and those its load names."""
    kiln = entry.get("kiln")
    found = _head(notebook, f"kilns/{kiln}.toml").get("places") if isinstance(kiln, str) else None
    places = {place: True for place in found or () if isinstance(place, str)}
    load = entry.get("load")
    for part in load if isinstance(load, list) else ():
        place = part.get("place") if isinstance(part, dict) else None
        if isinstance(place, str):
            places.setdefault(place, False)
    return places


def _bricks(entry: dict[str, Any]) -> dict[str, Any]:
    for rows in ("marked", "specimens"):
        if isinstance(entry.get(rows), dict):
            return dict(entry[rows])
    return {}


def _bricks_there(entry: dict[str, Any]) -> int | None:
    load = entry.get("load")
    parts = load if isinstance(load, list) else [entry]
    counts = [part.get("count") if isinstance(part, dict) else None for part in parts]
    whole = [count for count in counts if isinstance(count, int)]
    return sum(whole) if whole and len(whole) == len(counts) else None


_LOG = b"\n[log]"
_PLACE = b'place = "'


def _usual_place(log: bytes) -> str:
    """The one place that the log names so far, if there is but one; else the kiln as a whole.

    The log is not parsed: this waits on every logged line.
    """
    begun = log.find(_PLACE) + len(_PLACE)
    end = log.find(b'"', begun)
    one = log[begun:end]
    if begun < len(_PLACE) or end < 0 or log.count(_PLACE) > log.count(_PLACE + one + b'"'):
        return "the kiln as a whole"
    return one.decode("utf-8", "replace")


_FIRST = 64 * 1024
"""Bytes that hold what stands before the log of most files."""
_RECENT = 8 * 1024
"""Bytes that hold the newest hundred lines of a log; ours."""


def _head(notebook: str, name: str) -> dict[str, Any]:
    """What stands before the log of a file; of a long one, its first bytes hold that."""
    path = os.path.join(notebook, name)
    data = _read(path, _FIRST)
    head, log = _parted(data)
    return head if log or len(data) < _FIRST else _parted(_read(path))[0]


def _read(path: str, most: int = 0) -> bytes:
    """A file, or nothing where it cannot be read."""
    try:
        return durable.read_file(path, most=most)
    except (OSError, FieldbookError):
        return b""


def _parted(data: bytes) -> tuple[dict[str, Any], bytes]:
    """What stands before the log of a file, and the log.

    Where what looks like the header of the log stands inside a note, the next one is tried.
    """
    at = data.find(_LOG)
    while at >= 0:
        try:
            return parsing.parse(data[: at + 1]), data[at + len(_LOG) :]
        except FieldbookError:
            at = data.find(_LOG, at + 1)
    try:
        return parsing.parse(data), b""
    except FieldbookError:
        return {}, b""
