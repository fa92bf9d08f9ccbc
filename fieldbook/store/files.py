"""One file of a notebook read anew: its record and all that is wrong with it."""

from __future__ import annotations

from datetime import UTC
from pathlib import Path
from typing import Any

from fieldbook.errors import Problem
from fieldbook.records import FOLDERS, KINDS, Settings
from fieldbook.store import durable, names
from fieldbook.store.folder import EntryFile, SettingsFile
from fieldbook.store.parsing import NotToml, decode
from fieldbook.store.places import Layout
from fieldbook.store.reading import Reader, read_settings
from fieldbook.store.repair import Mended, parse_or_mend
from fieldbook.store.zones import zone_of


def read_settings_file(path: Path) -> SettingsFile:
    """Read `notebook.toml`; where it cannot be, the settings are empty and the zone is UTC."""
    data, text, mended, problems = read_toml(path, names.SETTINGS_FILE)
    if data is None:
        return SettingsFile(Settings(), UTC, tuple(problems), {}, {})
    layout = Layout(text)
    zone = zone_of(data.get("timezone"))
    settings, reader = read_settings(data, layout, zone or UTC)
    if isinstance(data.get("timezone"), str) and zone is None:
        reader.problem(
            ("timezone",),
            f'timezone = "{names.shown(data["timezone"])}" is not known; UTC is used',
            'Write an IANA name, such as "Europe/Berlin" or "America/Chicago".',
        )
    found = (*problems, *reader.problems, *_unfinished(mended))
    return SettingsFile(settings, zone or UTC, found, data, {})


def read_entry(path: Path, address: str, settings: SettingsFile) -> EntryFile:
    """Read one entry with the zone and the measures of the settings."""
    file = names.file_of(address)
    folder, name = names.split(address)
    if not names.is_own_folder(str(path.parent)):
        missing = Problem(file, None, "is not there", "Make it with: fieldbook add")
        return EntryFile(None, (missing,), "", {})
    data, text, mended, problems = read_toml(path, file)
    if data is None:
        return EntryFile(None, tuple(problems), text, {})
    reader = Reader(file, Layout(text), settings.zone)
    reader.with_measures(settings.settings.measures, settings.known)
    record = reader.entry(KINDS[FOLDERS[folder]], name, data)
    found = (*problems, *reader.problems, *_unfinished(mended, file))
    return EntryFile(record, found, text, data)


def read_toml(
    path: Path, file: str
) -> tuple[dict[str, Any] | None, str, Mended | None, list[Problem]]:
    """Read a file: its data, text, unfinished end, and what prevents reading it."""
    try:
        raw = durable.read_file(str(path))
    except durable.NotAFile as error:
        return None, "", None, [Problem(file, None, error.what, error.remedy)]
    except FileNotFoundError:
        return None, "", None, [Problem(file, None, "is not there", _remedy_for(file))]
    except OSError as error:
        what = f"cannot be opened: {error.strerror}"
        return None, "", None, [Problem(file, None, what, "Check who may read the file.")]
    try:
        data, mended = parse_or_mend(raw)
    except NotToml as error:
        return None, _text_of(raw), None, [Problem(file, error.line, error.what, error.remedy)]
    return data, decode(mended.rest if mended else raw), mended, []


def _remedy_for(file: str) -> str:
    if file == names.SETTINGS_FILE:
        return "Make a notebook with: fieldbook start FOLDER"
    return "Make it with: fieldbook add"


def _text_of(raw: bytes) -> str:
    try:
        return decode(raw)
    except NotToml:
        return ""


def _unfinished(mended: Mended | None, file: str = names.SETTINGS_FILE) -> list[Problem]:
    if mended is None:
        return []
    left = names.shown(mended.comment.removeprefix("# unfinished: "))
    return [
        Problem(
            file,
            mended.line,
            f"the file ends in an unfinished line, as a power cut leaves it: {left}",
            "Log it again if it was not; the next write keeps this line as a remark.",
        )
    ]
