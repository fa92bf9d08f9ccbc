"""Stages of a firing: a range of temperature and a condition at the core."""

from collections.abc import Sequence
from functools import cache
from typing import Any

from fieldbook.calc.firing import FiringState, PlaceState
from fieldbook.errors import NotPossible
from fieldbook.frozen import frozen
from fieldbook.tables import load

CONDITIONS = {
    "free_water_left": "% of dry mass at the core",
    "bound_water_left": "of 1 at the core",
    "carbon_left": "of 1 at the core",
    "heat_work": "degC of one hour at the core",
    "core": "degC",
}


@frozen
class Stage:
    """A stage, from the table that ships or from the maker's own."""

    name: str
    low: float
    """degC."""
    high: float
    over: str
    """What decides that it is over: a quantity of the state."""
    below: float | None
    means: str
    source: str
    also: tuple[tuple[float, float, str], ...] = ()
    wanted_only: bool = False
    ending_from: float | None = None
    """degC from which the stage is ending, where its end is itself a range."""


@frozen
class StageState:
    """How far a stage has got at one place."""

    name: str
    done: str
    """yes, no, or unknown where the limit lies within the bounds."""
    value: float
    low: float
    high: float
    limit: float
    begun: bool
    temperature_in_range: bool


@cache
def stages() -> tuple[Stage, ...]:
    """The stages of the published table, in order."""
    return tuple(_stage(row) for row in load("stages")["stage"])


def _stage(row: dict[str, Any]) -> Stage:
    return Stage(
        name=row["name"],
        low=float(row["from"]),
        high=float(row["to"]),
        over=row["over"],
        below=row.get("below"),
        means=row["means"],
        source=row["source"],
        also=tuple((float(a["from"]), float(a["to"]), a["source"]) for a in row["also"]),
        wanted_only=row.get("wanted_only", False),
    )


def own_stages(rows: Sequence[tuple[str, float, float, float | None]]) -> tuple[Stage, ...]:
    """The maker's own stages; conditions are those of the published table.

    Args:
        rows: name, from, to in degC, and from where it is ending or None. A name the table does
            not know has no condition of its own: it follows the temperature.
    """
    published = {s.name: s for s in stages()}
    same = {"evaporation": "water smoking"}
    own = []
    for name, low, high, ending_from in rows:
        like = published.get(same.get(name, name))
        own.append(
            Stage(
                name=name,
                low=low,
                high=high,
                over=like.over if like else "core",
                below=like.below if like else high,
                means=like.means if like else "the core has passed the range",
                source="the maker's own table",
                wanted_only=like.wanted_only if like else False,
                ending_from=ending_from,
            )
        )
    return tuple(own)


def in_range(temperature: float, table: Sequence[Stage] | None = None) -> list[tuple[str, bool]]:
    """Stages whose range holds a temperature, each with whether it is ending there."""
    found = []
    for stage in table if table is not None else stages():
        low, high = min(stage.low, stage.high), max(stage.low, stage.high)
        if stage.name != "cooling" and low <= temperature <= high:
            ending = stage.ending_from is not None and temperature >= stage.ending_from
            found.append((stage.name, ending))
    return found


def _limit(stage: Stage, wanted: float, open_below: float) -> float:
    if stage.over == "heat_work":
        return wanted
    if stage.name == "cooling":
        return open_below
    if stage.below is None:
        raise NotPossible(f"the stage {stage.name} has no condition")
    return stage.below


def state_of(stage: Stage, place: PlaceState, wanted: float, open_below: float) -> StageState:
    """How far a stage has got at a place; over only when its condition at the core is met."""
    low, value, high = place.now(stage.over)
    limit = _limit(stage, wanted, open_below)
    rising = stage.over == "heat_work"
    surely = low >= limit if rising else high <= limit
    surely_not = high < limit if rising else low > limit
    reached = float(place.core[2].max())
    begun = reached >= min(stage.low, stage.high) if stage.name != "cooling" else _falling(place)
    if stage.name == "cooling" and not begun:
        surely, surely_not = False, True
    done = "yes" if surely else "no" if surely_not else "unknown"
    core = place.now("core")[1]
    within = min(stage.low, stage.high) <= core <= max(stage.low, stage.high)
    return StageState(stage.name, done, value, low, high, limit, begun, within)


def _falling(place: PlaceState) -> bool:
    return place.now("core")[1] < float(place.core[1].max()) - 50


def stages_done(
    state: FiringState,
    *,
    wanted: float,
    open_below: float = 100.0,
    table: Sequence[Stage] | None = None,
    flash: bool = False,
) -> dict[str, list[StageState]]:
    """Each stage at each place, in the order of the table.

    Args:
        state: of the firing.
        wanted: one-hour temperature wanted, degC.
        open_below: degC of the hottest core at which the kiln may be opened.
        table: the maker's own stages in place of the published ones.
        flash: whether flashing is wanted.
    """
    rows = [s for s in (table if table is not None else stages()) if flash or not s.wanted_only]
    return {
        name: [state_of(stage, place, wanted, open_below) for stage in rows]
        for name, place in state.places.items()
    }
