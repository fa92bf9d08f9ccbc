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
from fieldbook.store.zones import refuse_newer, zone_of

KIND_OF = dict(
    zip(FOLDERS, ("clay", "mix", "kiln", "batch", "firing", "test", "build"), strict=True)
)


class Bearings(NamedTuple):
    """What is known before a line is read."""

    zone: tzinfo
    maker: str | None
    measures: tuple[str, ...]
    kind: str
    places: tuple[str, ...]
    bricks: tuple[str, ...]


def bearings(notebook: str, address: str) -> Bearings:
    """Take the bearings for a line on an entry.

    Raises:
        FieldbookError: the notebook is of a newer format, in which nothing can be written.
    """
    settings = _head(notebook, SETTINGS_FILE)
    refuse_newer(settings)
    folder, _ = split(address)
    entry = _head(notebook, f"{address}.toml") if folder in ("firings", "batches", "tests") else {}
    maker = settings.get("maker")
    measures = settings.get("measures")
    return Bearings(
        zone_of(settings.get("timezone")) or UTC,
        maker if isinstance(maker, str) else None,
        tuple(measures) if isinstance(measures, dict) else (),
        KIND_OF[folder],
        _places(notebook, entry),
        _bricks(entry),
    )


def _places(notebook: str, entry: dict[str, Any]) -> tuple[str, ...]:
    """The places of a firing's kiln, and those its load names."""
    kiln = entry.get("kiln")
    found = _head(notebook, f"kilns/{kiln}.toml").get("places") if isinstance(kiln, str) else None
    places = [place for place in found or () if isinstance(place, str)]
    load = entry.get("load")
    for part in load if isinstance(load, list) else ():
        place = part.get("place") if isinstance(part, dict) else None
        if isinstance(place, str) and place not in places:
            places.append(place)
    return tuple(places)


def _bricks(entry: dict[str, Any]) -> tuple[str, ...]:
    for rows in ("marked", "specimens"):
        if isinstance(entry.get(rows), dict):
            return tuple(entry[rows])
    return ()


def _head(notebook: str, path: str) -> dict[str, Any]:
    """What stands before the log of a file; nothing where it cannot be read."""
    try:
        data = durable.read_file(os.path.join(notebook, path))
        head, header, _ = data.partition(b"\n[log]")
        return parsing.parse(head + b"\n" if header else head)
    except (OSError, FieldbookError):
        return {}
