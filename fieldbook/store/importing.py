"""Readings from a CSV file: what its columns are, what each row says, in log lines."""

from __future__ import annotations

import csv
import re
from datetime import datetime, timedelta, tzinfo
from pathlib import Path
from typing import NamedTuple

from fieldbook.errors import FieldbookError, Problem, Unreadable
from fieldbook.lines.limits import wrong_with
from fieldbook.lines.toml_text import read_key
from fieldbook.quantities import read_amount
from fieldbook.store.durable import read_file

LARGEST_ROWS = 200_000
_TIME = re.compile(r"\b(time|clock|when|date|datetime|timestamp|hours?|hrs?)\b", re.IGNORECASE)
_TEMPERATURE = re.compile(r"temp|°|deg|\bt\b|\b[cf]\b|probe|thermo", re.IGNORECASE)
_PLACE = re.compile(r"\b(place|where|channel|position)\b", re.IGNORECASE)
_DAY = re.compile(r"\bdate\b|\bday\b", re.IGNORECASE)
_ELAPSED = re.compile(r"elapsed|since|hours|\bhrs?\b|\bh\b", re.IGNORECASE)
_UNIT = re.compile(r"(?:°|deg\s*|[(\[_\s])([CF])(?:[)\]\s]|$)|^([CF])$", re.IGNORECASE)
_CLOCK = re.compile(
    r"(\d{1,2})[:.h](\d{2})(?:[:.](\d{2}))?\s*([ap])?\.?m?\.?\Z|(\d{1,2})\s*([ap])\.?m\.?\Z",
    re.IGNORECASE,
)

_ONLY_TEMPERATURE = re.compile(
    r"\b(?:temp(?:erature)?|thermocouple|probe|degrees?|deg)\b|[()\[\]_°]", re.IGNORECASE
)


class Columns(NamedTuple):
    """What each column is taken for, by its heading."""

    time: str
    temperatures: tuple[str, ...]
    place: str | None
    day: str | None
    unit: str
    """C or F; empty where every reading has its own."""
    elapsed: bool
    """Whether the times are hours since lighting."""

    def words(self) -> list[str]:
        """What was understood, for the person to look at before anything is written."""
        time = "hours since lighting" if self.elapsed else "time of day"
        day = f", its day from {self.day!r}" if self.day else ""
        lines = [f"time: column {self.time!r}, {time}{day}"]
        for name in self.temperatures:
            place = (
                f"place from {self.place!r}" if self.place else f"place {_place_of(name) or '—'}"
            )
            lines.append(f"temperature: column {name!r} in {self.unit or 'its own unit'}, {place}")
        return lines


class Reading(NamedTuple):
    """One reading, as a log line would hold it."""

    at: datetime
    fields: dict[str, object]


class Understood(NamedTuple):
    """What a file says."""

    columns: Columns
    readings: tuple[Reading, ...]
    problems: tuple[Problem, ...]


class Asked(NamedTuple):
    """What the person said of the columns; empty where it is to be found out."""

    time: str = ""
    temperature: str = ""
    place: str = ""
    unit: str = ""


def understand(path: Path, begun: datetime | None, zone: tzinfo, asked: Asked) -> Understood:
    """Read a CSV file of readings.

    `begun` is when the fire was lit: the day of clock times without one, and where elapsed hours
    begin. A clock that goes back has passed midnight.

    Raises:
        FieldbookError: no column can be taken for time or temperature, with what there is.
    """
    text = read_file(str(path)).decode("utf-8-sig", "replace")
    rows = _rows(text)
    heads = rows[0][1]
    columns = _columns(heads, [row for _, row in rows[1:]], asked)
    readings: list[Reading] = []
    problems: list[Problem] = []
    last: datetime | None = None
    for number, row in rows[1:]:
        cells = dict(zip(heads, row, strict=False))
        if not any(cell.strip() for cell in row):
            continue
        try:
            last = _time(cells, columns, begun, last, zone)
            readings += _readings(cells, columns, last)
        except Unreadable as error:
            problems.append(Problem(path.name, number, error.what, error.remedy))
    return Understood(columns, tuple(readings), tuple(problems))


def _rows(text: str) -> list[tuple[int, list[str]]]:
    """The rows with their lines in the file; remarks and empty lines left out."""
    kept = [
        (number, line)
        for number, line in enumerate(text.splitlines(), 1)
        if line.strip() and not line.startswith("#")
    ]
    lines = [line for _, line in kept]
    sample = "\n".join(lines[:20])
    try:
        dialect: type[csv.Dialect] | csv.Dialect = csv.Sniffer().sniff(sample, ",;\t")
    except csv.Error:
        dialect = csv.excel
    read = csv.reader(lines, dialect)
    try:
        rows = [(kept[read.line_num - 1][0], [cell.strip() for cell in row]) for row in read]
    except csv.Error as error:
        raise FieldbookError(f"the file is no CSV: {error}") from error
    if len(rows) < 2:
        raise FieldbookError("the file holds no rows\n    Its first line names the columns")
    if len(rows) > LARGEST_ROWS:
        raise FieldbookError(f"the file holds more than {LARGEST_ROWS} rows\n    Split it")
    return rows


def _columns(heads: list[str], rows: list[list[str]], asked: Asked) -> Columns:
    time = asked.time or next((h for h in heads if _TIME.search(h) and not _DAY.fullmatch(h)), "")
    place = asked.place or next((h for h in heads if _PLACE.search(h)), None)
    day = next((h for h in heads if _DAY.search(h) and h != time), None)
    used = {time, place, day}
    if asked.temperature:
        temperatures = tuple(part.strip() for part in asked.temperature.split(","))
    else:
        temperatures = tuple(h for h in heads if h not in used and _TEMPERATURE.search(h))
    missing = [name for name in (time, *temperatures) if name not in heads]
    if missing or not time or not temperatures:
        what = "time" if not time or time in missing else "temperature"
        raise FieldbookError(
            f"no column can be taken for the {what}; the columns are {', '.join(heads)}\n"
            f"    Name it: --{what} COLUMN"
        )
    units = {_unit_of(name) for name in temperatures}
    unit = asked.unit.upper() or (units.pop() if len(units) == 1 else "")
    return Columns(time, temperatures, place, day, unit, _is_elapsed(time, heads, rows))


def _is_elapsed(time: str, heads: list[str], rows: list[list[str]]) -> bool:
    at = heads.index(time)
    first = next((row[at] for row in rows if len(row) > at and row[at]), "")
    return bool(re.fullmatch(r"\d+(?:[.,]\d+)?", first)) and (
        bool(_ELAPSED.search(time)) or float(first.replace(",", ".")) == 0
    )


def _unit_of(heading: str) -> str:
    match = _UNIT.search(heading)
    return (match[1] or match[2]).upper() if match else ""


def _place_of(heading: str) -> str:
    """The place a heading such as `top C` names; nothing where it is only the temperature."""
    left = _UNIT.sub(" ", heading)
    left = _ONLY_TEMPERATURE.sub(" ", left)
    return " ".join(left.split()).lower()


def _time(
    cells: dict[str, str],
    columns: Columns,
    begun: datetime | None,
    last: datetime | None,
    zone: tzinfo,
) -> datetime:
    text = cells.get(columns.time, "")
    if columns.elapsed:
        if begun is None:
            raise Unreadable("hours since lighting, but the firing has no time lit", "Log: lit")
        try:
            return begun + timedelta(hours=float(text.replace(",", ".")))
        except (ValueError, OverflowError) as error:
            what = f"{text!r} is no number of hours since lighting"
            raise Unreadable(what, "Write it as 2.5") from error
    if columns.day and cells.get(columns.day):
        text = f"{cells[columns.day]} {text}"
    try:
        return read_key(text, zone)
    except Unreadable:
        return _clock(text, begun, last, zone)


def _clock(text: str, begun: datetime | None, last: datetime | None, zone: tzinfo) -> datetime:
    match = _CLOCK.match(text.strip())
    day = last or begun
    if not match or day is None:
        why = "it is no time" if not match else "its day is not known"
        raise Unreadable(f"{text!r}: {why}", "Write 2026-05-03 14:10, or log when it was lit")
    hour = int(match[1] or match[5])
    half = (match[4] or match[6] or "").lower()
    if hour > 23 or (half and not 1 <= hour <= 12) or int(match[2] or 0) > 59:
        raise Unreadable(f"{text!r} is no time of day", "Write it as 14:10 or 2:10 pm")
    if half:
        hour = hour % 12 + (12 if half == "p" else 0)
    at = day.astimezone(zone).replace(
        hour=hour, minute=int(match[2] or 0), second=int(match[3] or 0), microsecond=0
    )
    return at + timedelta(days=1) if last is not None and at < last else at


def _readings(cells: dict[str, str], columns: Columns, at: datetime) -> list[Reading]:
    found = []
    for name in columns.temperatures:
        text = cells.get(name, "")
        if not text or text.lower() in ("-", "nan", "n/a", "na", "open", "---"):
            continue
        written = f"{text} {columns.unit or _unit_of(name)}".strip()
        wrong = wrong_with("temperature", read_amount(written, "temperature").value)
        if wrong:
            raise Unreadable(
                f"{written} {wrong}",
                "Say the unit of the column with --unit, or leave a broken reading out.",
            )
        place = cells.get(columns.place, "") if columns.place else _place_of(name)
        fields: dict[str, object] = {"temperature": written}
        if place:
            fields["place"] = place
        found.append(Reading(at, fields))
    return found
