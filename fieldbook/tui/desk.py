"""The notebook as the screen uses it: read, written, watched. Nothing here draws."""

from __future__ import annotations

import threading
import time
from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import UTC, datetime, timedelta, tzinfo
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from fieldbook.errors import FieldbookError
from fieldbook.lines.reading import Observation, read_line
from fieldbook.lines.toml_text import read_key
from fieldbook.store import durable, parsing
from fieldbook.store.bearings import KIND_OF, Bearings, bearings
from fieldbook.store.names import NAME_RULE, SETTINGS_FILE, is_name, suggested_name
from fieldbook.store.zones import zone_of

if TYPE_CHECKING:
    from fieldbook.advice.actions import Action
    from fieldbook.advice.context import Context
    from fieldbook.advice.engine import Advice
    from fieldbook.store.append import Saved
    from fieldbook.store.folder import Store
    from fieldbook.tui.gathering import Fields
    from fieldbook.tui.look import Look
    from fieldbook.tui.prompt import Heard, Target

LONG, SELDOM = 5.0, 20.0
"""A look at all that takes longer than this [s] is taken only so many times its length apart."""
PATIENCE = 60.0
"""Seconds for which a look at all of it may give way to a newer one."""


MANY = 300
"""A notebook of more entries is not read whole before something is shown."""
AT_FIRST = 12
"""So many entries, touched last, are looked at then."""


class Progress(NamedTuple):
    """How many entries were looked at, of how many."""

    done: int
    of: int


class Desk:
    """One notebook on the desk."""

    def __init__(
        self,
        folder: Path | str,
        now: str | None = None,
        units: str | None = None,
        *,
        ascii_only: bool = False,
    ) -> None:
        self.folder, self.system, self.ascii_only = str(folder), units, ascii_only
        self.busy = threading.Lock()
        """Held while the notebook is read and worked out: one thread at a time."""
        self.cost = 1.0
        """Seconds that the last look at the whole notebook took."""
        self.progress = Progress(0, 0)
        """How far the look at all of it has got."""
        self.stopped = False
        """Whether the maker asked to leave the look at all of it."""
        self._wanted, self._last_whole = 0, -1e9
        self._is_under_way = self._gave_way = False
        self._let_in: list[str] = []
        self._ahead = timedelta()
        if now is not None:
            self._ahead = read_key(now, self.zone) - datetime.now(UTC)
        self._bearings: dict[str, Bearings] = {}

    @cached_property
    def store(self) -> Store:
        """The door to the disk. It is opened when first needed: the first paint needs none."""
        from fieldbook.store.folder import Store

        return Store(self.folder)

    @cached_property
    def zone(self) -> tzinfo:
        """The notebook's time zone."""
        try:
            path = Path(self.folder, SETTINGS_FILE)
            settings = parsing.parse(durable.read_file(str(path)))
        except (OSError, FieldbookError):
            return UTC
        return zone_of(settings.get("timezone")) or UTC

    def clock(self) -> datetime:
        """The time of day, or the one asked for, going on from there; in the notebook's zone."""
        return (datetime.now(UTC) + self._ahead).astimezone(self.zone).replace(microsecond=0)

    def looks(self, first: str = "", before: Look | None = None) -> Iterator[Look]:
        """Read the notebook and work out what is to be done now. Takes its time.

        With `first`, that entry is looked at before all others, and what is known of it is given at
        once, beside what was known before of the rest. Where the whole takes long, and was looked
        at not long ago or is being looked at, that is all. The first look at a large notebook
        begins with the entries touched last.
        """
        from fieldbook.tui.look import with_entry

        self._wanted += 1
        mine = self._wanted
        with self.busy:
            begun = time.monotonic()
            self._bearings.clear()
            self.zone = self.store.zone
            if first and before is not None:
                now = self.clock()
                yield with_entry(before, self._context(now), now, first)
            if self._is_under_way:
                self._let_in.append(first)
                return
            is_recent = self.cost > LONG and begun - self._last_whole < self.cost * SELDOM
            if first and is_recent and not self._gave_way:
                return
            if before is None and len(self.store.addresses) > MANY:
                yield self._touched_last()
            yield from self._whole(mine, begun)
            while "" in self._let_in and not self.stopped:  # what changed meanwhile is still owed
                yield from self._whole(self._wanted, time.monotonic())

    def _context(self, now: datetime) -> Context:
        from fieldbook.advice.context import Context

        return Context.of(self.store.notebook(now), now, self.store.shelf)

    def _whole(self, mine: int, begun: float) -> Iterator[Look]:
        """A look at all of it; others who only want one entry are let in between two entries."""
        from fieldbook.advice.engine import advise
        from fieldbook.tui.look import with_entry

        now = self.clock()
        context = self._context(now)
        addresses = context.notebook.addresses
        self._is_under_way, self._let_in, self.stopped = True, [], False
        self._gave_way = False
        try:
            for done, address in enumerate(addresses):
                self.progress = Progress(done, len(addresses))
                if self.stopped:
                    return
                if self._wanted != mine:
                    if begun - self._last_whole < PATIENCE:
                        self._gave_way = True  # the newer one owes the whole, recent or not
                        return
                    mine = self._let_others_in()
                advise(context, address)
            advice = advise(context)
            look = self._look(context, advice, now)
        finally:
            self._is_under_way, self.progress = False, Progress(0, 0)
        self.store.shelf.save()
        for address in filter(None, self._let_in):
            now = self.clock()
            look = replace(with_entry(look, self._context(now), now, address), first="")
        self._last_whole = time.monotonic()
        self.cost = self._last_whole - begun
        yield look

    def _let_others_in(self) -> int:
        """Step aside for whoever waits; gives what is wanted last."""
        wanted = self._wanted
        self.busy.release()
        time.sleep(0.02)
        self.busy.acquire()
        return wanted

    def _touched_last(self) -> Look:
        """What is to be done on the entries touched last, before the others are read."""
        from fieldbook.advice.engine import Advice, advise, in_turn
        from fieldbook.tui.touched import touched_last
        from fieldbook.tui.watching import stamp_of

        now = self.clock()
        context = self._context(now)
        actions: list[Action] = []
        touched = [address for address, _ in touched_last(stamp_of(self.folder), AT_FIRST)]
        for address in touched:
            actions += advise(context, address).actions
        return self._look(context, Advice(tuple(in_turn(actions, now))), now, touched)

    def _look(
        self, context: Context, advice: Advice, now: datetime, some: Sequence[str] | None = None
    ) -> Look:
        """A look, at all or only at `some` entries."""
        from fieldbook.report.stock import empty_map, stations_of
        from fieldbook.report.units import Units
        from fieldbook.tui.look import Look

        settings = context.notebook.settings
        units = Units.for_notebook(settings, self.system, ascii_only=self.ascii_only)
        stations = stations_of(context) if some is None else empty_map()
        lost = tuple(self.store.lost_lines())
        fire = fire_of(context, context.notebook.addresses if some is None else some)
        found = (now, self.store, context, advice, stations, units, lost)
        unreadable = self._unreadable(context, some)
        return Look(*found, unreadable=unreadable, fire=fire, is_all=some is None)

    def _unreadable(self, context: Context, some: Sequence[str] | None) -> tuple[str, ...]:
        notebook = context.notebook
        looked_at = notebook.addresses if some is None else some
        return tuple(f"{a}.toml" for a in looked_at if notebook.entry(a) is None)

    def bearings(self, address: str) -> Bearings:
        """What is known before a line on an entry is read."""
        if address not in self._bearings:
            self._bearings[address] = bearings(self.folder, address)
        return self._bearings[address]

    def read(self, address: str, typed: str, rule: str = "") -> Observation:
        """What a typed line says."""
        letter = typed.strip()
        if len(letter) == 1 and letter.isalpha():
            raise FieldbookError(f"{letter} alone is no observation; as a key it works after Esc")
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
            bricks_there=known.bricks_there,
            usual_place=known.usual_place,
            record=known.record,
        )

    def hear(self, target: Target, typed: str) -> Heard:
        """What a line at the prompt says, in words."""
        from fieldbook.tui.fields import meant
        from fieldbook.tui.prompt import Heard

        if target.new and not target.field:
            return Heard(self._heard_name(target, typed.strip()))
        if target.field and not typed.strip():
            return Heard(self._takes(target))
        if target.field:
            measures = self.store.settings.measures
            return Heard(meant(target.address, target.field, typed, measures))
        observation = self.read(target.address, typed, target.rule)
        return Heard(observation.words, observation.questions)

    def _takes(self, target: Target) -> str:
        """What the field takes that is asked for."""
        from fieldbook.tui.takes import takes

        names = self.store.addresses
        help_ = takes(target.address, target.field, self.store.settings.measures, names)
        ask = target.ask
        if ask is None:
            return help_
        after = "needed" if ask.is_needed else "Enter alone leaves it out"
        left = len(target.gathered.asks) - 1
        more = f"; then {left} more" if left else ""
        missing = f"{target.missing}; " if target.missing else ""
        return f"{missing}{help_}; {after}{more}"

    def _heard_name(self, target: Target, name: str) -> str:
        address = f"{folder_of(target.new)}/{name}"
        asks = self.go_on(target, name).gathered.asks
        asked = ", ".join(ask.said for ask in asks)
        following = f"; asked next: {asked}" if asked else ""
        if not name:
            return f"a name for the new {target.new}, such as {self.clock():%Y-%m}-a{following}"
        if not is_name(name):
            better = suggested_name(name)
            raise FieldbookError(f"write {better}, perhaps" if better else NAME_RULE)
        if Path(self.folder, f"{address}.toml").exists():
            raise FieldbookError(f"{address} is there already")
        return f"makes {address}.toml{following}"

    def go_on(self, target: Target, typed: str) -> Target:
        """The next blank of what is written all at once; the same target where there is none."""
        from fieldbook.records import KINDS
        from fieldbook.tui.gathering import answered, gather

        if target.new and not target.field:
            gathered = gather(KINDS[target.new], target.then, target.new)
            address = f"{folder_of(target.new)}/{typed.strip()}"
            target = target._replace(address=address)
        elif target.ask:
            gathered = answered(target.gathered, typed)
        else:
            return target
        field = gathered.asks[0].path if gathered.asks else ""
        return target._replace(field=field, gathered=gathered)

    def gathering(self, address: str, fields: Fields) -> Target | None:
        """The first blank of fields that hold others; None where they are single ones."""
        from fieldbook.store.typed import record_of
        from fieldbook.tui.gathering import gather, is_structured
        from fieldbook.tui.prompt import Target

        record = record_of(address)
        if not is_structured(record, fields):
            return None
        gathered = gather(record, fields, have=self.store.read(address).data)
        field = gathered.asks[0].path if gathered.asks else ""
        return Target(address, field, gathered=gathered)

    def make(self, target: Target, typed: str) -> str:
        """Make a new entry with all that was answered, in one write; gives its address."""
        from fieldbook.records import KINDS

        done = self.go_on(target, typed)
        fields = self._written(KINDS[target.new], done)
        return self.store.create(target.new, done.address.partition("/")[2], fields)

    def _written(self, record: type, target: Target) -> dict[str, object]:
        from fieldbook.store.values import Setting
        from fieldbook.tui.gathering import put_together

        setting = Setting(self.zone, self.store.settings.measures)
        return put_together(record, target.gathered, setting)

    def save(self, target: Target, typed: str) -> tuple[list[Saved], str]:
        """Put a line on the disk; gives what was saved, and in words."""
        from fieldbook.store.observing import save
        from fieldbook.store.typed import record_of

        if target.ask:
            done_with = self.go_on(target, typed)
            fields = self._written(record_of(target.address), done_with)
            if not fields:
                raise FieldbookError("every blank is empty; type one, or Esc")
            done = self.store.set_fields(target.address, fields)
            words = ", ".join(f"{name} {text}" for name, text in _told(done_with))
            return [done], words
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


def _told(target: Target) -> list[tuple[str, str]]:
    """What was gathered, field by field, in words."""
    from fieldbook.report.values import spell

    known = target.gathered.known
    return [(spell(path.replace(".", " ")), text) for path, text in known if text.strip()]


def folder_of(kind: str) -> str:
    """The folder that entries of a kind stand in."""
    return next(folder for folder, each in KIND_OF.items() if each == kind)


def fire_of(context: Context, addresses: Sequence[str]) -> str:
    """The firing under way, else the one that cools, else the one that is to be lit next."""
    from fieldbook.advice.events import BURNING, SHUT, phase_of
    from fieldbook.records import Firing

    entries = (context.notebook.entry(a) for a in sorted(addresses) if a.startswith("firings/"))
    phases = {e.address: phase_of(context, e) for e in entries if isinstance(e, Firing)}
    for wanted in (BURNING, (*SHUT, "opened"), ("planned",)):
        found = [address for address, phase in phases.items() if phase in wanted]
        if found:
            return found[-1]
    return ""
