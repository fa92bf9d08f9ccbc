"""How fast the bricks of a mix were heated and cooled and came through, against the stress rule."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from fieldbook.advice.context import Context
from fieldbook.advice.events import lines_of, phase_of
from fieldbook.calc.brick import Brick
from fieldbook.calc.rates import FIRED, GREEN, stress_rate
from fieldbook.records import Batch, Firing, FiringLine, Mix, Size

SOUND, CRACKED = 0.03, 0.10
"""Share cracked or lost below which a rate came through, and above which it did not; common
practice."""
ENOUGH = 20
"""bricks below which a firing says nothing of a rate; common practice."""
WINDOW = 20 / 60
"""h: the least span a climb or fall is taken over."""
HEATING, FALLING = (150.0, 650.0), (300.0, 900.0)
"""degC between which the stress rule is what limits."""
LEAST, CAREFUL = 0.3, 0.8
"""The least factor, and what is left of the slowest rate that cracked; common practice."""


class Seen(NamedTuple):
    """One firing of a mix: its fastest climb and fall over those of the stress rule."""

    name: str
    climb: float | None
    fall: float | None
    bricks: int
    broken: int

    @property
    def share(self) -> float:
        """Cracked and lost bricks over all."""
        return self.broken / self.bricks


class Factor(NamedTuple):
    """What a mix has taught of a rate: a factor on the stress rule, and how surely."""

    value: float
    bricks: int
    firings: tuple[str, ...]


def seen_of(mix: Mix, context: Context) -> Iterator[Seen]:
    """The counted firings of a mix, with their rates and what broke."""
    batches = {batch.name: batch for batch in context.notebook.of(Batch) if batch.mix == mix.name}
    for firing in context.notebook.of(Firing):
        held = [load for load in firing.load if load.batch in batches]
        if not held or phase_of(context, firing) != "unloaded":
            continue
        rows = [row for row in firing.unloaded if row.batch in batches or row.batch is None]
        names = ("sound", "cracked", "soft", "overfired", "lost")
        bricks = sum(getattr(row, name) or 0 for row in rows for name in names)
        broken = sum((row.cracked or 0) + (row.lost or 0) for row in rows)
        brick = _brick(firing, [batches[load.batch] for load in held if load.batch])
        if bricks < ENOUGH or brick is None:
            continue
        climb, fall = fastest(firing, 1, *HEATING), fastest(firing, -1, *FALLING)
        yield Seen(
            firing.name,
            climb / stress_rate(brick, GREEN) if climb else None,
            fall / stress_rate(brick, FIRED, falling=True) if fall else None,
            bricks,
            broken,
        )


def _brick(firing: Firing, batches: list[Batch]) -> Brick | None:
    """The thickest brick of the load, or the bench it was set in."""
    sizes = [size for batch in batches for size in (batch.green or batch.mould,) if size]
    sides = [found for found in map(_sides, sizes) if found]
    if not sides:
        return None
    thickest = max(sides, key=min)
    bench = firing.setting.bench if firing.setting else None
    return Brick(*thickest, bench=bench.value if bench and not bench.is_bound else None)


def _sides(size: Size) -> tuple[float, float, float] | None:
    lengths = [size.length, size.width, size.height]
    known = [side.value for side in lengths if side and not side.is_bound and side.value > 0]
    return (known[0], known[1], known[2]) if len(known) == 3 else None


def fastest(firing: Firing, way: int, low: float, high: float) -> float | None:
    """The fastest climb (1) or fall (-1) between two temperatures at any place [K/h].

    Over at least 20 min, so that two readings of one minute make no rate.
    """
    found = []
    for rows in _by_place(firing).values():
        for i, first in enumerate(rows):
            after = next((row for row in rows[i + 1 :] if row[0] - first[0] >= WINDOW), None)
            if after is None:
                break
            top, bottom = max(first[1], after[1]), min(first[1], after[1])
            if bottom < high and top > low:
                found.append(way * (after[1] - first[1]) / (after[0] - first[0]))
    rising = [rate for rate in found if rate > 0]
    return max(rising, default=None)


def _by_place(firing: Firing) -> dict[str, list[tuple[float, float]]]:
    rows: dict[str, list[tuple[float, float]]] = {}
    for line in lines_of(firing):
        reading = _reading(line)
        if reading is not None:
            rows.setdefault(line.place or "", []).append((line.at.timestamp() / 3600, reading))
    return rows


def _reading(line: FiringLine) -> float | None:
    shown = line.temperature
    if shown is None or shown.is_bound or line.probe in ("wall", "flue"):
        return None
    return float(shown.value)


def factor_of(seen: list[Seen], what: str) -> Factor:
    """The factor on the stress rule that the firings of a mix allow for `climb` or `fall`.

    Never beyond the fastest that came through sound; below the slowest that cracked, where the
    other rate of that firing does not explain the cracks better.
    """
    rated = [one for one in seen if getattr(one, what) is not None]
    sound = {getattr(one, what): one for one in rated if one.share <= SOUND}
    bad = {getattr(one, what): one for one in rated if one.share >= CRACKED and _blame(one, what)}
    slowest_bad = min(bad, default=None)
    passed = [rate for rate in sound if slowest_bad is None or rate < slowest_bad]
    best = max(passed, default=0.0)
    if slowest_bad is not None and slowest_bad < 1:
        value = max(LEAST, best, CAREFUL * slowest_bad)
    else:
        value = max(1.0, best)
    told = [sound[rate] for rate in passed] + list(bad.values())
    return Factor(value, sum(one.bricks for one in told), tuple(one.name for one in told))


def _blame(one: Seen, what: str) -> bool:
    """Whether this rate is the likelier to have cracked the bricks: the higher over its rule."""
    mine = getattr(one, what)
    other = one.fall if what == "climb" else one.climb
    return mine is not None and (other is None or mine >= other)


def rate_facts(mix: Mix, context: Context) -> dict[str, object]:
    """The facts of a mix that the allowed climb and fall rest on."""
    seen = list(seen_of(mix, context))
    climb, fall = factor_of(seen, "climb"), factor_of(seen, "fall")
    return {
        "climb_factor": climb.value,
        "fall_factor": fall.value,
        "climb_learnt": climb,
        "fall_learnt": fall,
    }
