"""A log line as TOML text, and the times that stand as its keys."""

from collections.abc import Container, Mapping
from datetime import UTC, date, datetime, time, timedelta, timezone, tzinfo

from fieldbook.errors import Unreadable
from fieldbook.lines.pattern import pattern

Value = object
"""Text, true or false, a number, a date or time, or a list or mapping of these."""

LAST_FIELDS = ("by", "note")
_BARE_KEY = pattern(r"[A-Za-z0-9_-]+\Z")
_KEY = pattern(
    r"([0-9]{4}-[0-9]{2}-[0-9]{2})[ Tt]([0-9]{2}:[0-9]{2})(:[0-9]{2})?(\.[0-9]{1,9})?"
    r" ?([Zz]|[+-][0-9]{2}:[0-9]{2})?\Z"
)
_SHORT_ESCAPES = {'"': '\\"', "\\": "\\\\", "\n": "\\n", "\t": "\\t", "\r": "\\r"}


def key_for(at: datetime, zone: tzinfo | timedelta | None, taken: Container[str]) -> str:
    """Give the key of a line seen `at`, in `zone` or at that offset; None keeps its own.

    Where the second is taken the key carries the milliseconds, the next free one where that is
    taken too.
    """
    if isinstance(zone, timedelta):
        zone = timezone(zone)
    local = at.astimezone(zone) if zone else at
    key = _key_text(local, "seconds")
    if key not in taken:
        return key
    # .000 is the moment that the whole second already names, so the count begins after it.
    milliseconds = max(1, local.microsecond // 1000)
    moment = local.astimezone(UTC).replace(microsecond=milliseconds * 1000)
    while True:
        key = _key_text(moment.astimezone(local.tzinfo), "milliseconds")
        if key not in taken:
            return key
        moment += timedelta(milliseconds=1)


def _key_text(moment: datetime, precision: str) -> str:
    offset = moment.utcoffset()
    if offset is None:
        raise ValueError("a line is keyed by a time with an offset")
    if offset % timedelta(minutes=1):
        # Local mean times before the zones: the offset of a key holds whole minutes.
        whole = timedelta(minutes=round(offset / timedelta(minutes=1)))
        moment = moment.astimezone(timezone(whole))
    return moment.isoformat(" ", precision)


def read_key(text: str | date, zone: tzinfo) -> datetime:
    """Read a key, or a TOML date-time, as a time with an offset; `zone` holds where it has none."""
    if isinstance(text, datetime):
        return text if text.tzinfo else text.replace(tzinfo=zone)
    written = text if isinstance(text, str) else text.isoformat()
    match = _KEY.match(written.strip()) if len(written) <= 64 else None
    if not match:
        raise Unreadable(f'"{_shortened(written)}" is not a time', _KEY_REMEDY)
    day, clock, seconds, fraction, offset = match.groups()
    iso = f"{day}T{clock}{seconds or ':00'}{(fraction or '')[:7]}{(offset or '').upper()}"
    try:
        moment = datetime.fromisoformat(iso)
    except ValueError as error:
        raise Unreadable(f'"{written}" is not a time there is', _KEY_REMEDY) from error
    return moment if moment.tzinfo else moment.replace(tzinfo=zone)


_KEY_REMEDY = 'Write date and time, such as "2026-05-03 07:40" or "2026-05-03 07:40:00-05:00".'


def _shortened(text: str) -> str:
    return text if len(text) <= 40 else text[:39] + "…"


def line_for(key: str, fields: Mapping[str, Value]) -> str:
    """Give the line `"KEY" = { field = value, … }`, `by` and `note` last, without a line end."""
    return f"{text_value(key)} = {table_for(fields)}"


def table_for(fields: Mapping[str, Value]) -> str:
    """Give `fields` as an inline table on one line, `by` and `note` last."""
    names = [name for name in fields if name not in LAST_FIELDS]
    names += [name for name in LAST_FIELDS if name in fields]
    if not names:
        return "{}"
    return "{ " + ", ".join(f"{_key(name)} = {value_text(fields[name])}" for name in names) + " }"


def _key(name: str) -> str:
    return name if _BARE_KEY.match(name) else text_value(name)


def value_text(value: Value) -> str:
    """Give one value as TOML on one line."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return text_value(value)
    if isinstance(value, int):
        return str(value)
    if isinstance(value, float):
        return repr(value)
    if isinstance(value, date | time):
        return value.isoformat()
    if isinstance(value, Mapping):
        return table_for(value)
    if isinstance(value, list | tuple):
        return "[" + ", ".join(value_text(item) for item in value) + "]"
    raise TypeError(f"{type(value).__name__} has no TOML text")


def text_value(text: str) -> str:
    """Give `text` as a TOML string; what is not printable is escaped, so that `cat` is safe."""
    if text.isprintable() and '"' not in text and "\\" not in text:
        return f'"{text}"'
    return '"' + "".join(_escaped(letter) for letter in text) + '"'


def _escaped(letter: str) -> str:
    if letter in _SHORT_ESCAPES:
        return _SHORT_ESCAPES[letter]
    if letter.isprintable():
        return letter
    number = ord(letter)
    if 0xD800 <= number <= 0xDFFF:
        raise Unreadable("the text is not UTF-8", "Type it again, or set the terminal to UTF-8.")
    return f"\\u{number:04x}" if number <= 0xFFFF else f"\\U{number:08x}"
