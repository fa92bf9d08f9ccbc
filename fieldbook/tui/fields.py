"""The fields of an entry, one by one: what is written, what could be, and the help of each."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from fieldbook.errors import FieldbookError
from fieldbook.lines.toml_text import value_text
from fieldbook.quantities import read_amount
from fieldbook.records import Spec, specs
from fieldbook.report.values import spell
from fieldbook.store.typed import find_field, record_of


class Field(NamedTuple):
    """One field of an entry."""

    path: str
    """As `set` takes it, such as `plan.peak`; empty for what cannot be set one by one."""
    name: str
    """In plain words."""
    said: str
    """What is written; empty where nothing is."""
    typed: str
    """What is written, as one would type it to change it."""
    help: str
    is_log: bool = False
    """Whether it is a line of the log."""


def written(record: type, data: Mapping[str, Any]) -> Iterator[Field]:
    """What an entry holds, in the order of its file; the log last, a line a line."""
    yield from _of_table(record, data, "")
    log = data.get("log")
    for key, line in log.items() if isinstance(log, Mapping) else ():
        yield Field("", _key(str(key)), plain(line), "", IN_THE_LOG, is_log=True)


IN_THE_LOG = "a line of the log; E opens it in your editor"


def _key(key: str) -> str:
    """When a line was noted, without seconds and offset."""
    return key[:16].replace("T", " ")


def unwritten(record: type, data: Mapping[str, Any]) -> Iterator[Field]:
    """What could be written and is not."""
    for name, spec in specs(record).items():
        if name not in data:
            yield Field(name, spell(name), "", "", help_of(spec))


def _of_table(record: type | None, data: Mapping[str, Any], above: str) -> Iterator[Field]:
    known = specs(record) if record else {}
    for name, value in data.items():
        path = f"{above}.{name}" if above else name
        spec = known.get(name)
        if path == "log":
            continue
        if spec is None:
            yield Field("", spell(path), plain(value), "", "no field of this kind of entry")
        elif spec.holds == "table" and isinstance(value, Mapping):
            yield from _of_table(spec.of, value, path)
        elif spec.holds == "rows" and isinstance(value, Mapping):
            for row, fields in value.items():
                yield _field(f"{path}.{row}", fields, spec)
        elif spec.holds == "items" and isinstance(value, list):
            for number, fields in enumerate(value, 1):
                yield _field(f"{path}.{number}", fields, spec)
        else:
            yield _field(path, value, spec)


def _field(path: str, value: Any, spec: Spec) -> Field:
    typed = value if isinstance(value, str) else _toml(value)
    return Field(path, spell(path.replace(".", " ")), plain(value), typed, help_of(spec))


def _toml(value: Any) -> str:
    try:
        return value_text(value)
    except (TypeError, ValueError, AttributeError):
        return str(value)


def help_of(spec: Spec) -> str:
    """What a field is for, and what may be written in it."""
    said = spec.help
    if spec.words:
        said += f": {', '.join(spec.words)}"
    elif spec.dimensions:
        said += f" [{' or '.join(spell(name) for name in spec.dimensions)}]"
    elif spec.holds == "name":
        said += f" [the name of one of {spec.refers.replace(' ', ' or ')}]"
    elif spec.holds in EXAMPLES:
        said += f" [{EXAMPLES[spec.holds]}]"
    return said + (", needed" if spec.required else "")


EXAMPLES = {
    "count": "a whole number",
    "moment": "a day or a time, such as 2026-05-03 or 2026-05-03 07:40",
    "flag": "yes or no",
    "texts": "words, with commas between",
    "items": "a list: [ { … } ]",
    "rows": "a table, a row a line",
    "table": "several fields: name one, such as NAME.FIELD",
}
"""What may be written, where the help does not say."""


def plain(value: Any) -> str:
    """A value as it is read, without the signs of the file."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Mapping):
        return ", ".join(f"{spell(str(key))} {plain(part)}" for key, part in value.items())
    if isinstance(value, list):
        return ", ".join(plain(part) for part in value)
    return str(value)


def meant(address: str, path: str, typed: str, measures: Mapping[str, Any]) -> str:
    """What a value typed for a field says; refuses what the field cannot hold.

    Raises:
        FieldbookError: there is no such field, or it cannot hold that.
    """
    _, spec = find_field(record_of(address), path)
    if spec.holds == "amount":
        if len(spec.dimensions) == 1:
            read_amount(typed, spec.dimensions[0], measures)
        return f"{spell(path.replace('.', ' '))}: {typed}  ({help_of(spec)})"
    if spec.words and typed.strip().lower() not in spec.words:
        raise FieldbookError(f"{typed} is none of {', '.join(spec.words)}")
    if spec.holds == "count" and not typed.strip().isdigit():
        raise FieldbookError(f"{spell(path)} is a whole number")
    return f"{spell(path.replace('.', ' '))}: {typed}  ({help_of(spec)})"
