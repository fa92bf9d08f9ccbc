"""The notebook as the screen uses it: read, written, watched. Nothing here draws."""

from __future__ import annotations

import os
import threading
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from fieldbook.lines.reading import Observation, read_line
from fieldbook.lines.toml_text import read_key
from fieldbook.store.bearings import Bearings, bearings
from fieldbook.store.folder import Store
from fieldbook.store.names import FOLDERS, SETTINGS_FILE

if TYPE_CHECKING:
    from fieldbook.store.append import Saved
    from fieldbook.tui.look import Look

Stamp = dict[str, tuple[int, int]]


class Desk:
    """One notebook on the desk."""

    def __init__(
        self,
        store: Store,
        now: str | None = None,
        units: str | None = None,
        *,
        ascii_only: bool = False,
    ) -> None:
        self.store, self.system, self.ascii_only = store, units, ascii_only
        self.folder = str(store.folder)
        self.busy = threading.Lock()
        """Held while the notebook is read and worked out: one thread at a time."""
        self._ahead = timedelta()
        if now is not None:
            self._ahead = read_key(now, store.zone) - datetime.now(UTC)
        self._bearings: dict[str, Bearings] = {}

    def clock(self) -> datetime:
        """The time of day, or the one asked for, going on from there; in the notebook's zone."""
        return (datetime.now(UTC) + self._ahead).astimezone(self.store.zone).replace(microsecond=0)

    def look(self) -> Look:
        """Read the notebook and work out what is to be done now. Takes its time."""
        from fieldbook.advice.context import Context
        from fieldbook.advice.engine import advise
        from fieldbook.report.stock import stations_of
        from fieldbook.report.units import Units
        from fieldbook.tui.look import Look

        with self.busy:
            self._bearings.clear()
            now = self.clock()
            context = Context.of(self.store.notebook(now), now)
            units = Units.for_notebook(
                context.notebook.settings, self.system, ascii_only=self.ascii_only
            )
            advice = advise(context)
            return Look(now, self.store, context, advice, stations_of(context), units)

    def bearings(self, address: str) -> Bearings:
        """What is known before a line on an entry is read."""
        if address not in self._bearings:
            self._bearings[address] = bearings(self.folder, address)
        return self._bearings[address]

    def read(self, address: str, typed: str, rule: str = "") -> Observation:
        """What a typed line says."""
        known = self.bearings(address)
        return read_line(
            typed,
            known.kind,
            self.clock(),
            places=known.places,
            bricks=known.bricks,
            measures=known.measures,
            zone=known.zone,
            action=rule,
        )

    def save(self, address: str, observation: Observation) -> list[Saved]:
        """Put an observation on the disk."""
        from fieldbook.store.observing import save

        return save(self.folder, address, observation, self.bearings(address).maker)

    def stamp(self) -> Stamp:
        """Time and size of every file of the notebook, to see what changed."""
        found: Stamp = {}
        for name in ("", *FOLDERS):
            try:
                with os.scandir(Path(self.folder, name)) as listing:
                    for item in listing:
                        if item.name.endswith(".toml"):
                            status = item.stat(follow_symlinks=False)
                            found[f"{name}/{item.name}"] = (status.st_mtime_ns, status.st_size)
            except OSError:
                continue
        return found

    @property
    def is_there(self) -> bool:
        """Whether the notebook is still where it was."""
        return (Path(self.folder) / SETTINGS_FILE).exists()
