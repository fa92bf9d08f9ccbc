"""A temperature that no fire comes to so soon after the reading before it.

Every reading is looked at in this way, so only the end of the log is read, and few lines of that.
"""

from collections.abc import Iterator, Mapping
from datetime import UTC, datetime
from itertools import islice

from fieldbook.lines.limits import canonical, question
from fieldbook.lines.log_text import lines, when

_AT_ONCE, _A_MINUTE = 60.0, 25.0
"""[K] and [K/min] A bare thermocouple where wood is stoked goes up or down by some 20 K/min, and
jumps where a door is opened (from memory): what stays below both together is not asked about."""
_MINUTES = 30.0
"""[min] After that long any temperature may be reached; common practice."""
_LOOKED_AT = 20
"""Lines with a temperature that are parsed at the most; ours."""
_Reading = tuple[datetime, float, str]
"""When, what [degC], and as written."""


def doubts(fields: Mapping[str, object], at: datetime, log: bytes) -> list[str]:
    """What is to be asked about a temperature seen at `at`; `log` is the end of the log."""
    now = _reading(at, fields)
    earlier = _before(fields, at, log)
    last = next(earlier, None) if now else None
    if now is None or last is None or _goes_with(last, now):
        return []
    second = next(earlier, None)
    if second and _goes_with(second, now) and not _goes_with(second, last):
        return []  # The last one was the odd one.
    seen, _, text = last
    place = f"The {fields['place']}" if "place" in fields else "The kiln"
    return [question(f"{now[2]}? {place} read {text} at {when(seen, at)}.")]


def _before(fields: Mapping[str, object], at: datetime, log: bytes) -> Iterator[_Reading]:
    """The readings with this probe at this place, the newest first."""
    for seen, held in islice(lines(log, (b"temperature",), at), _LOOKED_AT):
        reading = _reading(seen, held)
        if reading and _spot(held) == _spot(fields) and _minutes(seen, at) >= 0:
            yield reading


def _reading(seen: datetime, fields: Mapping[str, object]) -> _Reading | None:
    """A temperature that is known; `> 1000 C` is none."""
    text = fields.get("temperature")
    if not isinstance(text, str) or text.lstrip()[:1] in ("<", ">"):
        return None
    degrees = canonical(text, "temperature")
    return None if degrees is None else (seen, degrees, text)


def _spot(fields: Mapping[str, object]) -> tuple[object, object]:
    return fields.get("place"), fields.get("probe", "gas")


def _minutes(earlier: datetime, later: datetime) -> float:
    return (later.astimezone(UTC) - earlier.astimezone(UTC)).total_seconds() / 60


def _goes_with(one: _Reading, other: _Reading) -> bool:
    """Whether a fire can go from one reading to the other."""
    minutes = abs(_minutes(one[0], other[0]))
    return minutes > _MINUTES or abs(one[1] - other[1]) <= _AT_ONCE + _A_MINUTE * minutes
