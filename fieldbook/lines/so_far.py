"""What a line cannot say after what its entry holds so far: asked about before it is kept.

Imported by the few lines that need it; a reading of the fire does not.
"""

import math
from collections.abc import Iterator, Mapping
from datetime import UTC, datetime, timedelta
from typing import Any

from fieldbook.lines.faces import bricks_taken
from fieldbook.lines.limits import canonical, question
from fieldbook.lines.log_text import Line, lines, when


def doubts(
    fields: Mapping[str, object], at: datetime, record: tuple[Mapping[str, Any], bytes]
) -> list[str]:
    """What is to be asked about fields that are understood, seen at `at`."""
    head, log = record
    if "laid" in fields:
        return _laid(fields, head, log, at)
    if "brick" in fields:
        return _heavier(fields, head, log, at)
    asked = _events(str(fields.get("event", "")), log, at)
    return asked or (_too_hot(fields, log, at) if _is_out(fields) else [])


_ONCE = ("lit", "peak", "sealed")
"""What happens once in a firing, in the order it comes in."""
_ORDER = (*_ONCE, "opened", "unloaded")
"""`cooling` is said before or after sealing."""


def _events(event: str, log: bytes, at: datetime) -> list[str]:
    """What happens once and stands there already, or stands on the wrong side of another."""
    if event not in _ORDER:
        return []
    logged = [(seen, held.get("event")) for seen, held in lines(log, (b"event",), at)]
    for seen, other in logged:
        if other == event and event in _ONCE:
            return [question(f"A second {event}? The log has one at {when(seen, at)}.")]
    for seen, other in logged:
        step = _ORDER.index(other) - _ORDER.index(event) if other in _ORDER else 0
        is_past = seen.astimezone(UTC) <= at.astimezone(UTC)
        if (step > 0 and is_past) or (step < 0 and not is_past):
            side = "before" if is_past else "after"
            return [question(f"Which time? {other} stands {side} it, {when(seen, at)}.")]
    return []


_BURNS = 80.0
"""[degC] Stone this hot burns the hand that touches it for a second (ISO 13732-1; from memory)."""
_HALVES = 4.0
"""[h] In which a small kiln that stands open loses half its heat; all others take longer. Ours,
from memory."""
_AIR = 15.0
"""[degC] What a kiln cools down to; common practice."""
_ON_BRICKS = ("gas", "face", "inside", None)


def _is_out(fields: Mapping[str, object]) -> bool:
    counted = any(fields.get(word) for word in ("sound", "soft", "overfired"))
    return counted or fields.get("event") == "unloaded"


def _too_hot(fields: Mapping[str, object], log: bytes, at: datetime) -> list[str]:
    """Bricks that came out while the newest readings say that they burn hands."""
    newest: dict[str, tuple[float, datetime, str]] = {}
    for seen, held in _sorted(lines(log, (b"temperature",), at), at):
        _keep(newest, seen, held)
    _keep(newest, at, fields)
    whole = newest.get("")
    readings = [r for r in newest.values() if whole is None or r[1] >= whole[1]]
    left = [(_cooled(degrees, at - seen), seen, text) for degrees, seen, text in readings]
    hottest, seen, text = max(left, default=(0.0, at, ""))
    if hottest < _BURNS:
        return []
    return [question(f"Out so hot? The kiln read {text} at {when(seen, at)}.")]


def _keep(
    newest: dict[str, tuple[float, datetime, str]], seen: datetime, held: Mapping[str, object]
) -> None:
    """Keep a reading of the ware as the newest of its place."""
    text = held.get("temperature")
    if not isinstance(text, str) or held.get("probe") not in _ON_BRICKS:
        return
    degrees = canonical(text, "temperature")
    if degrees is not None:
        newest[str(held.get("place", ""))] = degrees, seen, text


def _sorted(found: Iterator[Line], at: datetime) -> list[Line]:
    """The lines up to `at`, the oldest first."""
    past = [line for line in found if line[0].astimezone(UTC) <= at.astimezone(UTC)]
    return sorted(past, key=lambda line: line[0].astimezone(UTC))


def _cooled(degrees: float, since: timedelta) -> float:
    """The least a kiln can have cooled down to [degC]."""
    hours = since.total_seconds() / 3600
    return _AIR + (degrees - _AIR) * math.pow(0.5, hours / _HALVES)


_SCALE = 1.0
"""[%] Of the mass: two weighings of one brick differ by as much; common practice."""
_AIR_GIVES, _AIR_GIVES_IN_ALL = 0.15, 4.0
"""[%/h] and [%] Of the mass: what an air-dry brick takes up from damp air, which holds it between
1 and 5 % of water; ours, from memory."""
_WET = ("rain", "frost")
_WET_WORDS = ("rain", "soak", "wet", "flood", "water", "dew", "fog", "mist")


def _heavier(
    fields: Mapping[str, object], head: Mapping[str, Any], log: bytes, at: datetime
) -> list[str]:
    """A green brick that weighs more than before, though nothing has wetted it."""
    mass, brick = fields.get("mass"), str(fields.get("brick"))
    size = canonical(mass, "mass") if isinstance(mass, str) else None
    if size is None or "firing" in fields or any(fields.get(word) for word in _WET):
        return []
    was = _last_green(log, brick, at) or (_moulded(head, brick), "as moulded", _AIR_GIVES_IN_ALL)
    before = canonical(str(was[0]), "mass")
    if before is None or size <= before * (1 + (_SCALE + was[2]) / 100):
        return []
    return [f"{mass}? {was[0]} {was[1]}. Log the rain, or end with ! to keep it."]


def last_weighed(log: bytes, brick: str, at: datetime) -> str | None:
    """What the brick weighed when it was weighed last; None where the log does not say."""
    for _, held in reversed(_sorted(lines(log, (b"mass",), at), at)):
        mass = held.get("mass")
        if held.get("brick") == brick and canonical(str(mass), "mass"):
            return str(mass)
    return None


def _moulded(head: Mapping[str, Any], brick: str) -> object:
    """The mass of a marked brick as moulded; None where it is not written."""
    marked = head.get("marked")
    row = marked.get(brick) if isinstance(marked, dict) else None
    return row.get("mass") if isinstance(row, dict) else None


def _last_green(log: bytes, brick: str, at: datetime) -> tuple[object, str, float] | None:
    """Its mass when last weighed, when that was, and the percentage damp air can have given since.

    Without end where it was wetted or fired; None where it was neither weighed nor wetted.
    """
    words = (b"mass", b"rain", b"frost", b"note", b"firing")
    for seen, held in reversed(_sorted(lines(log, words, at), at)):
        its_own = held.get("brick") == brick
        if _is_wetted(held) or (its_own and "firing" in held):
            return held.get("mass"), "", math.inf
        if its_own and canonical(str(held.get("mass")), "mass") is not None:
            hours = (at - seen).total_seconds() / 3600
            gives = min(_AIR_GIVES_IN_ALL, _AIR_GIVES * hours)
            return held["mass"], "when last weighed", gives
    return None


def _is_wetted(held: Mapping[str, object]) -> bool:
    note = str(held.get("note", "")).lower()
    return any(held.get(word) is True for word in _WET) or any(word in note for word in _WET_WORDS)


_SPARED = 1.5
"""Times what a build takes by its faces without joints: more is not laid, whatever breaks;
ours."""


def _laid(
    fields: Mapping[str, object], head: Mapping[str, Any], log: bytes, at: datetime
) -> list[str]:
    """More bricks laid than the build can take by its sizes."""
    takes, laid = bricks_taken(head), fields["laid"]
    if takes is None or not isinstance(laid, int):
        return []
    counts = [held.get("laid") for _, held in lines(log, (b"laid",), at)]
    before = sum(count for count in counts if isinstance(count, int))
    if before + laid <= _SPARED * takes:
        return []
    total = f"That makes {before + laid}, and its sizes" if before else "Its sizes"
    return [question(f"laid {laid}? {total} take some {_rounded(takes)}.")]


def _rounded(number: float) -> int:
    step = 10 ** max(0, math.floor(math.log10(number)) - 1) if number >= 1 else 1
    return max(1, round(number / step)) * step
