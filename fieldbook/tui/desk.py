"""The notebook as the screen uses it: read, written, watched. Nothing here draws."""

from __future__ import annotations

import threading
import time
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from fieldbook.lines.reading import Observation, read_line
from fieldbook.lines.toml_text import read_key
from fieldbook.store.bearings import Bearings, bearings
from fieldbook.store.folder import Store
from fieldbook.store.names import SETTINGS_FILE

if TYPE_CHECKING:
    from fieldbook.store.append import Saved
    from fieldbook.tui.look import Look
    from fieldbook.tui.prompt import Heard, Target

LONG, SELDOM = 5.0, 20.0
"""A look at all that takes longer than this [s] is taken only so many times its length apart."""
PATIENCE = 60.0
"""Seconds for which a look at all of it may give way to a newer one."""


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
        self.cost = 1.0
        """Seconds that the last look at the whole notebook took."""
        self._wanted, self._last_whole = 0, -1e9
        self._ahead = timedelta()
        if now is not None:
            self._ahead = read_key(now, store.zone) - datetime.now(UTC)
        self._bearings: dict[str, Bearings] = {}

    def clock(self) -> datetime:
        """The time of day, or the one asked for, going on from there; in the notebook's zone."""
        return (datetime.now(UTC) + self._ahead).astimezone(self.store.zone).replace(microsecond=0)

    def looks(self, first: str = "", before: Look | None = None) -> Iterator[Look]:
        """Read the notebook and work out what is to be done now. Takes its time.

        With `first`, that entry is looked at before all others, and what is known of it is given at
        once, beside what was known before of the rest. Where the whole takes long, and was looked
        at not long ago, that is all.
        """
        from fieldbook.advice.context import Context
        from fieldbook.advice.engine import advise
        from fieldbook.report.stock import stations_of
        from fieldbook.report.units import Units
        from fieldbook.tui.look import Look, with_entry

        self._wanted += 1
        mine = self._wanted
        with self.busy:
            begun = time.monotonic()
            self._bearings.clear()
            now = self.clock()
            context = Context.of(self.store.notebook(now), now)
            settings = context.notebook.settings
            units = Units.for_notebook(settings, self.system, ascii_only=self.ascii_only)
            if first and before is not None:
                yield with_entry(before, context, now, first)
                if self.cost > LONG and begun - self._last_whole < self.cost * SELDOM:
                    return
            for address in context.notebook.addresses:
                if self._wanted != mine and begun - self._last_whole < PATIENCE:
                    return
                context.review(address)
            advice = advise(context)
            lost = tuple(self.store.lost_lines())
            yield Look(now, self.store, context, advice, stations_of(context), units, lost)
            self._last_whole = time.monotonic()
            self.cost = self._last_whole - begun

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

    def hear(self, target: Target, typed: str) -> Heard:
        """What a line at the prompt says, in words."""
        from fieldbook.tui.fields import meant
        from fieldbook.tui.prompt import Heard

        if target.field:
            measures = self.store.settings.measures
            return Heard(meant(target.address, target.field, typed, measures))
        observation = self.read(target.address, typed, target.rule)
        return Heard(observation.words, observation.questions)

    def save(self, target: Target, typed: str) -> tuple[list[Saved], str]:
        """Put a line on the disk; gives what was saved, and in words."""
        from fieldbook.store.observing import save

        if target.field:
            done = self.store.set_fields(target.address, {target.field: typed})
            return [done], f"{target.field} = {typed}"
        observation = self.read(target.address, typed, target.rule)
        by = self.bearings(target.address).maker
        return save(self.folder, target.address, observation, by), observation.words

    @property
    def is_there(self) -> bool:
        """Whether the notebook is still where it was."""
        return (Path(self.folder) / SETTINGS_FILE).exists()
