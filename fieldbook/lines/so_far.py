"""What a line cannot say after what its entry holds so far: asked about before it is kept.

The log is not parsed as a whole: only lines that hold the word looked for are, the newest first.
Imported by the few lines that need it; a reading of the fire does not.
"""

import math
import tomllib
from collections.abc import Iterator, Mapping
from contextlib import suppress
from datetime import UTC, datetime, timedelta
from typing import Any

from fieldbook.lines.faces import bricks_taken
from fieldbook.lines.limits import MASS_RATIO, canonical, question

_LOOKED_AT = 200
"""Lines of a log that are looked at for one question; more hold no news."""
_LONGEST = 8192
"""Bytes of a log line that can matter here; a longer one is a story."""
_Line = tuple[datetime, dict[str, Any]]


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


def _lines(log: bytes, words: tuple[bytes, ...], at: datetime) -> Iterator[_Line]:
    """The lines that hold one of the words, from the end of the log; times in the zone of `at`."""
    for line in _texts(log, words):
        with suppress(ValueError, RecursionError):
            ((key, held),) = tomllib.loads(line.decode().strip()).items()
            seen = datetime.fromisoformat(key)
            if isinstance(held, dict):
                yield seen if seen.tzinfo else seen.replace(tzinfo=at.tzinfo), held


def _texts(log: bytes, words: tuple[bytes, ...]) -> Iterator[bytes]:
    """The text of such lines; a long log is searched, not cut into lines."""
    last = {word: log.rfind(word) for word in words}
    for _ in range(_LOOKED_AT):
        found = max(last.values())
        if found < 0:
            return
        begun = log.rfind(b"\n", 0, found) + 1
        line = log[begun : _end(log, found)]
        if len(line) <= _LONGEST:
            yield line
        for word, place in last.items():
            if place >= begun:
                last[word] = log.rfind(word, 0, begun)


def _end(log: bytes, place: int) -> int:
    end = log.find(b"\n", place)
    return len(log) if end < 0 else end


def _when(seen: datetime, at: datetime) -> str:
    local = seen.astimezone(at.tzinfo)
    return f"{local:%H:%M}" if local.date() == at.date() else f"{local:%Y-%m-%d %H:%M}"


_ONCE = ("lit", "peak", "sealed")
"""What happens once in a firing, in the order it comes in."""
_ORDER = (*_ONCE, "opened", "unloaded")
"""`cooling` is said before or after sealing."""


def _events(event: str, log: bytes, at: datetime) -> list[str]:
    """What happens once and stands there already, or stands on the wrong side of another."""
    if event not in _ORDER:
        return []
    logged = [(seen, held.get("event")) for seen, held in _lines(log, (b"event",), at)]
    for seen, other in logged:
        if other == event and event in _ONCE:
            way = "Correct that line if it is the slip,"
            if event == "lit":
                way = "Log a second fire on a firing of its own,"
            return [question(f"{event}:", f"the log has it already, at {_when(seen, at)}", way=way)]
    for seen, other in logged:
        step = _ORDER.index(other) - _ORDER.index(event) if other in _ORDER else 0
        is_past = seen.astimezone(UTC) <= at.astimezone(UTC)
        if (step > 0 and is_past) or (step < 0 and not is_past):
            when = f"{'before' if is_past else 'after'} it, at {_when(seen, at)}"
            return [question(f"{event}:", f"the log has {other} {when}", way="Correct the time,")]
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
    for seen, held in _sorted(_lines(log, (b"temperature",), at), at):
        _keep(newest, seen, held)
    _keep(newest, at, fields)
    whole = newest.get("")
    readings = [r for r in newest.values() if whole is None or r[1] >= whole[1]]
    left = [(_cooled(degrees, at - seen), seen, text) for degrees, seen, text in readings]
    hottest, seen, text = max(left, default=(0.0, at, ""))
    if hottest < _BURNS:
        return []
    what = "unloaded" if fields.get("event") else "out of the kiln"
    wrong = f"the kiln read {text} at {_when(seen, at)}, and such bricks burn hands"
    return [question(f"{what}:", wrong, way="Write it when they are out,")]


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


def _sorted(lines: Iterator[_Line], at: datetime) -> list[_Line]:
    """The lines up to `at`, the oldest first."""
    past = [line for line in lines if line[0].astimezone(UTC) <= at.astimezone(UTC)]
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
    moulded = _moulded(head, brick)
    was = _last_green(log, brick, at) or (moulded, "it was moulded with", _AIR_GIVES_IN_ALL)
    before = canonical(str(was[0]), "mass")
    # Beyond that it fits no mass of this brick, which is asked already.
    most = MASS_RATIO[1] * (canonical(str(moulded), "mass") or math.inf)
    if before is None or not before * (1 + (_SCALE + was[2]) / 100) < size <= most:
        return []
    wrong = f"is more than the {was[0]} {was[1]}, and bricks dry"
    return [question(str(mass), wrong, way="Write it again, log the rain that wetted it,")]


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
    for seen, held in reversed(_sorted(_lines(log, words, at), at)):
        its_own = held.get("brick") == brick
        if _is_wetted(held) or (its_own and "firing" in held):
            return held.get("mass"), "", math.inf
        if its_own and canonical(str(held.get("mass")), "mass") is not None:
            hours = (at - seen).total_seconds() / 3600
            gives = min(_AIR_GIVES_IN_ALL, _AIR_GIVES * hours)
            return held["mass"], f"of {_when(seen, at)}", gives
    return None


def _is_wetted(held: Mapping[str, object]) -> bool:
    note = str(held.get("note", "")).lower()
    return any(held.get(word) is True for word in _WET) or any(word in note for word in _WET_WORDS)


_SPARED = 1.5
"""Times what a build takes by its faces without joints: more is not laid, whatever breaks."""


def _laid(
    fields: Mapping[str, object], head: Mapping[str, Any], log: bytes, at: datetime
) -> list[str]:
    """More bricks laid than the build can take by its sizes."""
    takes, laid = bricks_taken(head), fields["laid"]
    if takes is None or not isinstance(laid, int):
        return []
    counts = [held.get("laid") for _, held in _lines(log, (b"laid",), at)]
    before = sum(count for count in counts if isinstance(count, int))
    if before + laid <= _SPARED * takes:
        return []
    total = f"with the {before} before it that is {before + laid} bricks, and " if before else ""
    return [question(f"laid {laid}:", f"{total}its sizes take some {_rounded(takes)}")]


def _rounded(number: float) -> int:
    step = 10 ** max(0, math.floor(math.log10(number)) - 1) if number >= 1 else 1
    return max(1, round(number / step)) * step
