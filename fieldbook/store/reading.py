"""TOML data to a record, field by field after its schema; what is wrong is collected."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields
from datetime import UTC, tzinfo
from functools import cache
from typing import Any

from fieldbook.errors import Problem, Unreadable
from fieldbook.lines.toml_text import read_key, text_value
from fieldbook.quantities import Amount
from fieldbook.quantities.finding import find_unit
from fieldbook.records import Entry, Line, Moment, Settings, Spec, specs
from fieldbook.store.names import SETTINGS_FILE, nearest, shown
from fieldbook.store.places import Layout, Path, dotted
from fieldbook.store.values import Setting, kind_of, read_value, refuse_year
from fieldbook.store.zones import FORMAT


@cache
def attributes(record: type) -> Mapping[str, str]:
    """Field name -> attribute: `for` is a word of Python, so its attribute is `for_`."""
    return {f.name.rstrip("_"): f.name for f in fields(record) if "spec" in f.metadata}


class Reader:
    """Reads one file; holds what was found wrong and the line of every field."""

    def __init__(self, file: str, layout: Layout, zone: tzinfo = UTC) -> None:
        self.file = file
        self.layout = layout
        self.setting = Setting(zone, {})
        self.problems: list[Problem] = []
        self.lines_of: dict[str, int] = {}

    def with_measures(
        self,
        measures: Mapping[str, Amount],
        known: dict[tuple[str, tuple[str, ...]], Amount] | None = None,
    ) -> Reader:
        """Let local measures be used as units; `known` are amounts read with them before."""
        self.setting = self.setting._replace(measures=measures, known=known)
        return self

    def problem(self, path: Path, what: str, remedy: str) -> None:
        """Note what is wrong at a path of the file."""
        self.problems.append(Problem(self.file, self.layout.line(path), what, remedy))

    def entry(self, record: type[Entry], name: str, data: dict[str, Any]) -> Entry:
        """Read an entry."""
        own = {key: value for key, value in data.items() if key not in ("log", "disputed")}
        values = self.values(record, own, ())
        disputed = data.get("disputed", {})
        if not isinstance(disputed, dict):
            disputed = {}
        lines = self.log(record.line_type, data.get("log", {}))
        return record(
            name=name, lines_of=self.lines_of, disputed=disputed, log=tuple(lines), **values
        )

    def values(self, record: type, data: dict[str, Any], above: Path) -> dict[str, Any]:
        """Read the fields of one record."""
        known, names = specs(record), attributes(record)
        found: dict[str, Any] = {}
        for key, value in data.items():
            path = (*above, key)
            if key not in known:
                self._unknown(path, known, record)
                continue
            self._note_line(path)
            read = self.field(value, key, known[key], path)
            if read is not None:
                found[names[key]] = read
        for key, spec in known.items():
            if spec.required and key not in data:
                self._missing(key, spec, above)
        return found

    def field(self, value: Any, key: str, spec: Spec, path: Path) -> Any:
        """Read one field; None where its value cannot be used."""
        if spec.of is not None or spec.holds == "measures":
            return self._nested(value, spec, path)
        try:
            return self._placed(read_value(value, key, spec, self.setting), path)
        except Unreadable as error:
            joint = " = " if error.what[:1] == '"' else ": "
            self.problem(path, f"{self.named(path)}{joint}{error.what}", error.remedy)
        if spec.holds == "text" and type(value) is int:
            return str(value)
        return None

    def _placed(self, read: Any, path: Path) -> Any:
        if isinstance(read, Amount):
            where = self.where(path)
            # Written out, since this is done for every amount of a notebook.
            return Amount(
                read.value, read.half, read.dimension, read.text, read.unit, read.how, where
            )
        if isinstance(read, Moment):
            return Moment(read.at, read.half_hours, read.text, self.where(path))
        if isinstance(read, tuple):
            return tuple(self._placed(each, path) for each in read)
        return read

    @staticmethod
    def named(path: Path) -> str:
        """Name a field as a message should: of a log line the line number says which."""
        return shown(dotted(path[2:] if path[0] == "log" and len(path) > 2 else path))

    def where(self, path: Path) -> str:
        """Give the place of a path as `FOLDER/FILE.toml:LINE`."""
        line = self.layout.line(path)
        return f"{self.file}:{line}" if line else self.file

    def _note_line(self, path: Path) -> None:
        line = self.layout.line(path)
        if line and path[0] != "log":
            self.lines_of[dotted(path)] = line

    def _nested(self, value: Any, spec: Spec, path: Path) -> Any:
        if spec.holds == "items":
            return self._items(value, spec, path)
        if not isinstance(value, dict):
            self._not_a_table(value, path)
            return None
        if spec.holds == "measures":
            return self._measures(value, spec, path)
        assert spec.of is not None
        if spec.holds == "table":
            return spec.of(**self.values(spec.of, value, path))
        return self._rows(value, spec.of, path)

    def _rows(self, value: dict[str, Any], record: type, path: Path) -> dict[str, Any]:
        rows = {}
        for name, row in value.items():
            if isinstance(row, dict):
                self._note_line((*path, name))
                rows[name] = record(**self.values(record, row, (*path, name)))
            else:
                self._not_a_table(row, (*path, name))
        return rows

    def _items(self, value: Any, spec: Spec, path: Path) -> tuple[Any, ...] | None:
        assert spec.of is not None
        if not isinstance(value, list):
            self.problem(
                path,
                f"{self.named(path)}: {kind_of(value)} stands here, and a list of tables is wanted",
                f"Write {path[-1]} = [{{ … }}], one {{ … }} for each.",
            )
            return None
        items = []
        for number, item in enumerate(value, 1):
            if isinstance(item, dict):
                self._note_line((*path, number))
                items.append(spec.of(**self.values(spec.of, item, (*path, number))))
            else:
                self._not_a_table(item, (*path, number))
        return tuple(items)

    def _not_a_table(self, value: Any, path: Path) -> None:
        self.problem(
            path,
            f"{self.named(path)}: {kind_of(value)} stands here, and a table is wanted",
            f"Write its fields in braces: {shown(str(path[-1]))} = {{ FIELD = VALUE }}",
        )

    def _measures(self, value: dict[str, Any], spec: Spec, path: Path) -> dict[str, Amount]:
        plain = spec._replace(holds="amount")
        measures = {}
        for name, text in value.items():
            if any(find_unit(name, dimension) for dimension in spec.dimensions):
                self.problem(
                    (*path, name),
                    f"{dotted((*path, name))}: {shown(name)} is a unit already",
                    "Choose another name for the measure.",
                )
                continue
            amount = self.field(text, name, plain, (*path, name))
            if amount is not None and not amount.is_bound and amount.value > 0:
                measures[name] = amount
        return measures

    def _unknown(self, path: Path, known: Mapping[str, Spec], record: type) -> None:
        names = [*known, "log", "disputed"] if issubclass(record, Entry) else list(known)
        near = nearest(str(path[-1]), names, 1)
        hint = f"The nearest known key is {near[0]}. " if near else ""
        self.problem(
            path,
            f"{self.named(path)} is not a key known here; it is kept as it is",
            f"{hint}What has no key of its own can stand in note.",
        )

    def _missing(self, key: str, spec: Spec, above: Path) -> None:
        example = {"name": '"NAME"', "count": "NUMBER", "moment": "2026-05-03", "items": "[{ … }]"}
        self.problem(
            above,
            f"{dotted((*above, key))} is missing: {spec.help}",
            f"Write {key} = {example.get(spec.holds, chr(34) + 'TEXT' + chr(34))}",
        )

    def log(self, record: type[Line], data: Any) -> list[Line]:
        """Read the log, sorted by time."""
        if not isinstance(data, dict):
            self._not_a_table(data, ("log",))
            return []
        lines = [self._line(record, key, value) for key, value in data.items()]
        return sorted((line for line in lines if line), key=lambda line: (line.at, line.key))

    def _line(self, record: type[Line], key: str, value: Any) -> Line | None:
        path: Path = ("log", key)
        try:
            at = read_key(key, self.setting.zone)
            refuse_year(at)
        except Unreadable as error:
            self.problem(path, f"log: {error.what}", error.remedy)
            return None
        if not isinstance(value, dict):
            self.problem(
                path,
                f"log: {kind_of(value)} stands at {shown(key)}, and a table is wanted",
                f"Write it in braces: {text_value(key)} = {{ note = … }}",
            )
            return None
        where = self.where(path)
        return record(at=at, where=where, key=key, **self.values(record, value, path))


def read_settings(data: dict[str, Any], layout: Layout, zone: tzinfo) -> tuple[Settings, Reader]:
    """Read `notebook.toml`; the local measures first, since the rest may use them."""
    reader = Reader(SETTINGS_FILE, layout, zone)
    measures = data.get("measures")
    if isinstance(measures, dict):
        quiet = Reader(SETTINGS_FILE, layout, zone)
        reader.with_measures(quiet._measures(measures, specs(Settings)["measures"], ("measures",)))
    own = {key: value for key, value in data.items() if key != "disputed"}
    settings = Settings(lines_of=reader.lines_of, **reader.values(Settings, own, ()))
    if settings.format not in (None, FORMAT):
        reader.problem(
            ("format",),
            f"format = {settings.format}, and this program knows format {FORMAT}",
            "Use a newer program; nothing is written to this notebook.",
        )
    return settings, reader
