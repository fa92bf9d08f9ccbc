"""The door to the disk: a notebook's folder as records."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime, tzinfo
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

from fieldbook.errors import Problem
from fieldbook.quantities import Amount
from fieldbook.records import Entry, Notebook, Settings
from fieldbook.store import names

if TYPE_CHECKING:
    from fieldbook.lines.reading import Observation
    from fieldbook.store.append import Saved
    from fieldbook.store.recent import Kept
    from fieldbook.store.shelf import Shelf
    from fieldbook.store.values import Setting

_YOUNG = 2_000_000_000
"""[ns] A file changed within this time may change again under the same stamp."""


class EntryFile(NamedTuple):
    """One file as read: never an error, but a record or the problems that prevent one."""

    record: Entry | None
    problems: tuple[Problem, ...]
    text: str
    """As it stands in the file; empty where it is no text."""
    data: dict[str, Any]
    """As TOML reads it; empty where it does not."""


class SettingsFile(NamedTuple):
    """`notebook.toml` as read; where it cannot be, the settings are empty and the zone is UTC."""

    settings: Settings
    zone: tzinfo
    problems: tuple[Problem, ...]
    data: dict[str, Any]
    known: dict[tuple[str, tuple[str, ...]], Amount]
    """Amounts of entries read with these settings before."""


Stamp = tuple[int, int, int]


class Store:
    """A notebook on the disk. Reading never changes a file."""

    def __init__(self, folder: Path | str) -> None:
        self.folder = Path(folder)
        self._read: dict[str, tuple[Stamp, EntryFile]] = {}
        self._settings: tuple[Stamp, SettingsFile] | None = None
        self._shelf: Shelf | None = None

    @classmethod
    def find(cls, start: Path | str) -> Store:
        """Open the notebook that `start` lies in."""
        return cls(names.find_notebook(str(start)))

    @property
    def settings(self) -> Settings:
        """The settings in `notebook.toml`."""
        return self.settings_file.settings

    @property
    def zone(self) -> tzinfo:
        """The notebook's time zone; UTC where none is written."""
        return self.settings_file.zone

    @property
    def problems(self) -> tuple[Problem, ...]:
        """What is wrong with `notebook.toml`."""
        return self.settings_file.problems

    @property
    def settings_file(self) -> SettingsFile:
        """`notebook.toml` as it stands now."""
        path = self.folder / names.SETTINGS_FILE
        stamp = _stamp(path)
        if self._settings is None or self._settings[0] != stamp or stamp == _UNKNOWN:
            self._settings = (stamp, self._kept_settings(path))
            self._read.clear()
        return self._settings[1]

    @property
    def addresses(self) -> tuple[str, ...]:
        """Every entry, as `FOLDER/NAME`, readable or not."""
        return tuple(names.addresses(str(self.folder)))

    def resolve(self, text: str) -> str:
        """Turn what a person typed into an address; refuse what is none or may be several."""
        return names.resolve(str(self.folder), text)

    def path(self, address: str) -> Path:
        """Give the file of an entry, or of the settings."""
        if address == names.SETTINGS_FILE:
            return self.folder / address
        folder, name = names.split(address)
        return self.folder / folder / f"{name}.toml"

    def read(self, address: str) -> EntryFile:
        """Read one entry. What is wrong with its content is told in `problems`."""
        settings = self.settings_file
        path = self.path(address)
        stamp = _stamp(path)
        known = self._read.get(address)
        if known and known[0] == stamp != _UNKNOWN:
            return known[1]
        read = self._kept_or_read(path, address, settings)
        self._read[address] = (stamp, read)
        return read

    def _kept_settings(self, path: Path) -> SettingsFile:
        if not self.shelf.is_for_settings():
            self._shelf = None  # what it holds was read by other settings
        kept = self._from_shelf(names.SETTINGS_FILE)
        if kept is not None:
            return SettingsFile(*kept)
        from fieldbook.store.files import read_settings_file

        fresh = read_settings_file(path)
        self._to_shelf(names.SETTINGS_FILE, fresh)
        return fresh

    def _from_shelf(self, address: str) -> tuple[Any, ...] | None:
        """A file as an earlier run read it, where its bytes are as they were then."""
        import pickle

        self.shelf.forget_states(address)
        packed = self.shelf.get(f"file {address}")
        state, read = pickle.loads(packed) if packed is not None else ("", None)
        return read if state == self.shelf.state(address) else None

    def _to_shelf(self, address: str, read: tuple[Any, ...]) -> None:
        import pickle

        packed = pickle.dumps((self.shelf.state(address), tuple(read)), protocol=5)
        self.shelf.put(f"file {address}", packed)

    def _kept_or_read(self, path: Path, address: str, settings: SettingsFile) -> EntryFile:
        """As an earlier run read it, where its bytes and the settings are as they were then."""
        kept = self._from_shelf(address)
        if kept is not None:
            return EntryFile(*kept)
        from fieldbook.store.files import read_entry

        fresh = read_entry(path, address, settings)
        self._to_shelf(address, fresh)
        return fresh

    @property
    def shelf(self) -> Shelf:
        """What is kept of this notebook from run to run."""
        if self._shelf is None:
            from fieldbook.store.shelf import Shelf

            self._shelf = Shelf(self.folder)
        return self._shelf

    def keep(self) -> None:
        """Keep what was read and worked out, for the next run."""
        if self._shelf is not None:
            self._shelf.save()

    def notebook(self, now: datetime | None = None) -> Notebook:
        """Give all of it as records, each read when first asked for."""
        if self._shelf is not None:
            self._shelf.forget_states()
        return Notebook(
            settings=self.settings,
            addresses=self.addresses,
            load=lambda address: self.read(address).record,
            now=now,
        )

    def check(self, now: datetime | None = None) -> list[Problem]:
        """Find everything that is wrong, by file and line.

        Without `now`, lines later than the clock are wrong; with it, lines later than `now` do not
        exist.
        """
        from fieldbook.store.checking import check

        return check(self, now)

    def append(
        self, address: str, observation: Observation, by: str | None = None
    ) -> tuple[Saved, ...]:
        """Save what a typed line says: a line of the log, a specimen, what was unloaded."""
        from fieldbook.store.observing import save

        return tuple(save(str(self.folder), address, observation, by))

    def add_line(self, address: str, at: datetime, fields: Mapping[str, object]) -> Saved:
        """Add one line of the log whose fields are known, such as a reading of a logger."""
        from fieldbook.store.append import append

        return append(str(self.folder), address, at, fields)

    def set_fields(
        self, address: str, fields: Mapping[str, object], seen: Mapping[str, Any] | None = None
    ) -> Saved:
        """Change fields, by dotted path; an empty text takes a field away.

        Text is read as typed, by the field's kind. `seen` are the data as the person had them in
        view: a field that another program changed since is refused.
        """
        from fieldbook.store.rows import set_changes
        from fieldbook.store.typed import change_of, record_of

        record, setting = record_of(address), self._setting
        changes = [change_of(record, field, value, setting) for field, value in fields.items()]
        return set_changes(str(self.folder), address, changes, seen)

    def set_row(self, address: str, table: str, name: str, fields: Mapping[str, object]) -> Saved:
        """Set fields of one row, such as a specimen, by their names within the row."""
        from fieldbook.store.places import dotted

        path = dotted((table, name))
        return self.set_fields(address, {f"{path}.{key}": value for key, value in fields.items()})

    def create(self, kind: str, name: str, fields: Mapping[str, object]) -> str:
        """Make an entry from the template of its kind and give its address."""
        from fieldbook.store.create import create

        return create(str(self.folder), kind, name, fields, self._setting)

    @classmethod
    def start(cls, folder: Path | str, fields: Mapping[str, object]) -> Store:
        """Make a new notebook with these settings."""
        from fieldbook.store.create import start

        start(str(folder), fields)
        return cls(folder)

    def rename(self, address: str, name: str) -> tuple[str, tuple[str, ...]]:
        """Rename an entry, with every reference; give its address and the entries changed."""
        from fieldbook.store.rename import rename

        return rename(self, address, name)

    def remove(self, address: str) -> None:
        """Take an entry away; refused while another one names it."""
        from fieldbook.store.rename import remove

        remove(self, address)

    def undo_last(self, saved: Saved) -> Saved:
        """Take back what was saved last."""
        from fieldbook.store.rows import undo

        return undo(str(self.folder), saved)

    def lost_lines(self) -> list[Kept]:
        """Give lines saved lately that are not in their entry any more."""
        from fieldbook.store.checking import lost_lines

        return lost_lines(self)

    def restore(self, lost: Kept) -> Saved:
        """Put back a line that another program dropped."""
        from fieldbook.store.append import restore

        return restore(str(self.folder), lost)

    def forget(self, lost: Kept) -> None:
        """Leave a dropped line out for good."""
        from fieldbook.store.recent import forget

        forget(str(self.folder), [(lost.address, lost.key)])

    @property
    def _setting(self) -> Setting:
        from fieldbook.store.values import Setting

        return Setting(self.zone, self.settings.measures)


_UNKNOWN: Stamp = (0, 0, 0)


def _stamp(path: Path) -> Stamp:
    """Tell whether a file is the one read before; a young stamp tells nothing."""
    try:
        status = path.lstat()
    except OSError:
        return _UNKNOWN
    now = datetime.now(UTC).timestamp() * 1e9
    if abs(now - status.st_mtime_ns) < _YOUNG:
        return _UNKNOWN
    return status.st_mtime_ns, status.st_size, status.st_ino
