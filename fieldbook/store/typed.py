"""A field as a person typed it, `plan.peak` and `1040 C`, to a path and a TOML value."""

from __future__ import annotations

import tomllib
from datetime import UTC, date
from typing import Any

from fieldbook.errors import FieldbookError, Unreadable, WrongUse
from fieldbook.records import FOLDERS, KINDS, Settings, Spec, specs
from fieldbook.store.change import Change
from fieldbook.store.names import SETTINGS_FILE, nearest, shown, split
from fieldbook.store.places import Layout, Path, dotted, is_key, parts_of
from fieldbook.store.reading import Reader
from fieldbook.store.values import Setting, read_moment

_YES, _NO = ("true", "yes", "on"), ("false", "no", "off")


def record_of(address: str) -> type:
    """Give the record that an address holds."""
    if address == SETTINGS_FILE:
        return Settings
    return KINDS[FOLDERS[split(address)[0]]]


def change_of(record: type, field: str, value: object, setting: Setting) -> Change:
    """Read a field and its value as typed; an empty text takes the field away.

    Raises:
        WrongUse: there is no such field.
        FieldbookError: the value is none the field can hold.
    """
    path, spec = find_field(record, field)
    if value is None or value == "":
        return Change(path, None)
    try:
        meant = _from_text(value, path, spec, setting) if isinstance(value, str) else value
    except Unreadable as error:
        raise FieldbookError(f"{dotted(path)}: {error}") from error
    _prove(meant, path, spec, setting)
    return Change(path, meant)


def find_field(record: type, field: str) -> tuple[Path, Spec]:
    """Find the field at a dotted path; items of a list are counted from 1."""
    path: Path = ()
    spec: Spec | None = None
    if not is_key(field.strip()):
        raise WrongUse(f'"{shown(field)}" is not written as a field: write NAME or NAME.NAME.')
    for part in parts_of(field.strip()):
        if spec is None or spec.holds == "table":
            holder = record if spec is None else spec.of
            assert holder is not None
            spec = _spec(holder, part, path)
            path += (part,)
        elif spec.holds == "rows":
            spec = spec._replace(holds="table")
            path += (part,)
        elif spec.holds == "items":
            spec = spec._replace(holds="table")
            path += (_number(part, path),)
        elif spec.holds == "measures":
            spec = spec._replace(holds="amount")
            path += (part,)
        else:
            raise WrongUse(
                f"{dotted(path)} has no fields of its own, so there is no {shown(part)}."
            )
    assert spec is not None
    return path, spec


def _number(part: str, path: Path) -> int:
    if part.isdecimal() and int(part[:9]) > 0:
        return int(part[:9])
    raise WrongUse(f"{dotted(path)} is a list: write {dotted(path)}.1 for its first item.")


def _spec(record: type, part: str, above: Path) -> Spec:
    known = specs(record)
    if part in known:
        return known[part]
    if part == "log" and not above:
        raise WrongUse("Lines are added to the log with: fieldbook log ENTRY OBSERVATION")
    near = nearest(part, known, 1)
    hint = f"The nearest is {near[0]}." if near else f"There are: {', '.join(known)}."
    raise WrongUse(f"There is no field {shown(dotted((*above, part)))}. {hint}")


def _from_text(text: str, path: Path, spec: Spec, setting: Setting) -> Any:
    if text[:1] in ("[", "{", '"', "'"):
        return _from_toml(text, path)
    if spec.of is not None or spec.holds == "measures":
        example = "[{ … }]" if spec.holds == "items" else "{ … }"
        raise WrongUse(f"{dotted(path)} holds several fields: name one, or write TOML: {example}")
    if spec.holds == "texts" or (spec.holds == "flag_or_texts" and "," in text):
        return [part.strip() for part in text.split(",") if part.strip()]
    if spec.holds in ("flag", "flag_or_texts"):
        return _flag(text)
    if spec.holds in ("count", "number"):
        return _number_from(text, spec)
    if spec.holds == "moment":
        return _moment(text, setting)
    if spec.holds == "words":
        return next((word for word in spec.words if word == text.lower()), text)
    if spec.holds == "name":
        folder, slash, name = text.partition("/")
        return name if slash and folder in spec.refers.split() else text
    return text


def _from_toml(text: str, path: Path) -> Any:
    try:
        read = tomllib.loads(f"value = {text}")
    except (ValueError, RecursionError) as error:
        raise WrongUse(f"{dotted(path)}: {shown(text)} is not TOML: {error}") from error
    if list(read) != ["value"]:
        raise WrongUse(f"{dotted(path)}: {shown(text)} is more than one value.")
    return read["value"]


def _flag(text: str) -> Any:
    if text.lower() in _YES:
        return True
    return False if text.lower() in _NO else text


def _number_from(text: str, spec: Spec) -> Any:
    if text.isascii() and text.isdecimal() and len(text) < 16:
        return int(text)
    if spec.holds == "number":
        try:
            return float(text)
        except ValueError:
            return text
    return text


def _moment(text: str, setting: Setting) -> Any:
    """Keep a day as a TOML date; a time stays the text it is."""
    moment = read_moment(text, setting.zone)
    return date.fromisoformat(text.strip()) if moment.half_hours else text.strip()


def _prove(value: Any, path: Path, spec: Spec, setting: Setting) -> None:
    """Read the value as a file would be read; refuse what would be a problem there."""
    reader = Reader("", Layout(""), setting.zone).with_measures(setting.measures)
    reader.field(value, str(path[-1]), spec, path)
    if reader.problems:
        problem = reader.problems[0]
        raise FieldbookError(f"{problem.what}\n    {problem.remedy}", tuple(reader.problems))


NO_SETTING = Setting(UTC, {})
