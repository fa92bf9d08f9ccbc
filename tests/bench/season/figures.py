"""What a season took: observations, firings, bricks, wood."""

import re
from typing import NamedTuple

HOUR = 3600.0
ROW = re.compile(r"(?:bars|marked)\.(\d+)")
"""A bar or a marked brick in a line that sets fields."""


class FireFigures(NamedTuple):
    """Observations at one fire."""

    name: str
    bricks: int
    hours: float
    """From lighting to the peak."""
    climbing: float
    """A hour, on average, from lighting to the peak."""
    busiest: int
    """In the busiest hour of the climb."""
    cooling: float
    """A hour, on average, from the peak to the opening."""
    wood: float
    peak: float
    """degC: what the coldest place did, held for an hour, in truth."""


class Figures(NamedTuple):
    """One season."""

    seed: int
    days: float
    outside: int
    """Lines written outside the firings."""
    parts: int
    """Bricks, bars, specimens and places in them."""
    fires: tuple[FireFigures, ...]
    out: dict[str, int]
    """Bricks by how they came out."""
    fit: float
    """Of all bricks set in a kiln, those that are truly fit for the wall."""
    needed: int
    wood: float

    @property
    def firings(self):
        return len(self.fires)


def when(rounds, event):
    return next((r.at for r in rounds if event in r.wrote), None)


def fire_figures(world, diary, name):
    """Figures of one fire, from the diary and from what truly happened."""
    rounds = [r for r in diary if r.entry == f"firings/{name}" and r.wrote]
    lit, peak, opened = (when(rounds, event) for event in ("lit", "peak", "opened"))
    load = world.fires[name]
    climb = [r.at for r in rounds for _ in r.wrote if lit < r.at <= peak]
    cool = [r.at for r in rounds for _ in r.wrote if peak < r.at <= opened]
    busiest = max(sum(0 <= (b - a).total_seconds() < HOUR for b in climb) for a in climb)
    up, down = ((b - a).total_seconds() / HOUR for a, b in ((lit, peak), (peak, opened)))
    return FireFigures(
        name, sum(load.counts.values()), up, len(climb) / up, busiest, len(cool) / down,
        load.fire.wood, float(min(slab.heat() for slab in load.fire.inside)),
    )  # fmt: skip


def at_a_fire(world, diary):
    """The observations made between the lighting of a kiln and its opening."""
    found = []
    for name in world.fires:
        rounds = [r for r in diary if r.entry == f"firings/{name}" and r.wrote]
        lit, opened = when(rounds, "lit"), when(rounds, "opened")
        found += [r for r in rounds if lit and lit <= r.at and (opened is None or r.at <= opened)]
    return found


def season_figures(world, maker, needed):
    """Figures of a season that reached its end."""
    at_fire = set(map(id, at_a_fire(world, maker.diary)))
    outside = [r for r in maker.diary if r.wrote and id(r) not in at_fire]
    done = {name: load for name, load in world.fires.items() if load.came}
    fires = tuple(fire_figures(world, maker.diary, name) for name in done)
    return Figures(
        world.seed,
        world.hour() / 24,
        sum(len(r.wrote) for r in outside),
        sum(parts_of(line) for r in outside for line in r.wrote),
        fires,
        came(done.values()),
        world.fit_share(done.values()),
        needed,
        sum(fire.wood for fire in fires),
    )


def parts_of(line):
    """Bricks, bars or places of one line."""
    if line.startswith("fieldbook ") and "#" not in line:
        return max(1, len(set(ROW.findall(line))))
    return line.count(", ") + 1


def came(loads):
    total = {}
    for load in loads:
        for counts, _ in load.came.values():
            for name, count in counts.items():
                total[name] = total.get(name, 0) + count
    return total
