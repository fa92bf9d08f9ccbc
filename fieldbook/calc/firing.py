"""The state inside the bricks of a firing, from readings at one or more places."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from fieldbook.calc import carbon as burning
from fieldbook.calc.brick import PARAMETERS, Brick, Parameters, body_of, bound_water
from fieldbook.calc.heat_work import ENERGY_BAND, one_hour_temperature, work_along
from fieldbook.calc.march import Course, Inside, advance, at_rest
from fieldbook.calc.path import Path, grid_of, path_of, run_on
from fieldbook.calc.readings import Readings
from fieldbook.errors import NotPossible

AIR = 15.0  # degC, of a brick before the fire where nothing is known


@dataclass(frozen=True)
class PlaceState:
    """What is known of the brick at one place; arrays (bound, time), low, middle and high."""

    place: str
    probe: str
    time: np.ndarray
    """h, on the clock of the readings."""
    face: np.ndarray
    """degC."""
    core: np.ndarray
    """degC."""
    lag: np.ndarray
    """K, face less core."""
    free_water_left: np.ndarray
    """% of dry mass, at the core."""
    free_water_mean: np.ndarray
    """% of dry mass, over the brick."""
    bound_water_left: np.ndarray
    """0 to 1, at the core."""
    carbon_left: np.ndarray
    """0 to 1, the part of the half-thickness still black."""
    carbonate_left: np.ndarray
    """0 to 1, at the core."""
    heat_work: np.ndarray
    """degC, of one hour."""
    work: np.ndarray
    """s, integral of exp(-E/RT) at 400 kJ/mol."""
    last_reading: float
    age: float
    """h from the last reading to the moment asked for."""
    bridged: tuple[tuple[float, float], ...]

    def now(self, name: str) -> tuple[float, float, float]:
        """Low, middle and high of a quantity at the last time."""
        values = getattr(self, name)[:, -1]
        return float(values[0]), float(values[1]), float(values[2])

    def at(self, name: str, time: float) -> tuple[float, float, float]:
        """Low, middle and high of a quantity at a time, on straight lines."""
        values = getattr(self, name)
        low, middle, high = (float(np.interp(time, self.time, row)) for row in values)
        return low, middle, high


@dataclass(frozen=True)
class FiringState:
    """The bricks at all places that were read."""

    places: dict[str, PlaceState]
    until: float

    def _by_core(self) -> list[PlaceState]:
        return sorted(self.places.values(), key=lambda p: (p.now("core")[1], p.place))

    @property
    def coldest(self) -> PlaceState:
        """The place whose core is coldest now."""
        return self._by_core()[0]

    @property
    def hottest(self) -> PlaceState:
        """The place whose face is hottest now."""
        return max(self.places.values(), key=lambda p: (p.now("face")[1], p.place))

    @property
    def spread(self) -> float | None:
        """K between the faces of the hottest and the coldest place."""
        faces = [p.now("face")[1] for p in self.places.values()]
        return max(faces) - min(faces) if len(faces) > 1 else None


@dataclass
class _Sums:
    """What the derived curves carry from one stretch to the next."""

    time: float
    core: np.ndarray  # (3,)
    face: np.ndarray
    bump: float
    work: np.ndarray  # (energy, bound)
    burnt: np.ndarray  # (bound,)


class PlaceMarch:
    """The march at one place: takes up readings, keeps the state at the last of them."""

    def __init__(
        self, place: str, brick: Brick, parameters: Parameters, probe: str, every: float | None
    ) -> None:
        self.place, self.brick, self.parameters = place, brick, parameters
        self.probe, self.every = probe, every
        self.body = body_of(brick, parameters, probe)
        self.settle = (brick.thickness / 2) ** 2 / (
            parameters.green_diffusivity[1] / brick.factor * np.pi**2 / 4
        )
        self.inside: Inside | None = None
        self.sums: _Sums | None = None
        self.readings: Readings | None = None
        self.bridged: list[tuple[float, float]] = []
        self._chunks: list[dict[str, np.ndarray]] = []

    def take_up(self, readings: Readings) -> None:
        """March on through readings later than those taken up so far."""
        known = self.readings
        if known is not None:
            readings = _joined(known, readings)
        path = path_of(readings, self.every, known.time[-1] if known is not None else None)
        if known is None:
            self._begin(readings)
        if len(path.time) > 1:
            self._chunks.append(self._march(path, keep=True))
            self.bridged += path.bridged
        self.readings = readings

    def _begin(self, readings: Readings) -> None:
        first = float(readings.temperature[0])
        start = np.array([[min(first, AIR) if first > 40 else first, first, first]])
        self.inside = at_rest(start, reactions=3)
        bounds = start[0] + float(readings.half[0]) * np.array([-1, 0, 1])
        self.sums = _Sums(
            float(readings.time[0]),
            bounds,
            bounds,
            0.0,
            np.zeros((3, 3)),
            np.zeros(3),
        )
        self._chunks = [self._first(bounds, float(readings.time[0]))]

    def _first(self, bounds: np.ndarray, time: float) -> dict[str, np.ndarray]:
        ones, water = np.ones((3, 1)), np.array(self.brick.free_water)[:, None] * 100
        return {
            "time": np.array([time]),
            "face": bounds[:, None],
            "core": bounds[:, None],
            "lag": np.zeros((3, 1)),
            "free_water_left": water,
            "free_water_mean": water,
            "bound_water_left": ones,
            "carbon_left": ones,
            "carbonate_left": ones,
            "heat_work": np.full((3, 1), -273.15),
            "work": np.zeros((3, 1)),
        }

    def _march(self, path: Path, keep: bool) -> dict[str, np.ndarray]:
        assert self.inside is not None and self.sums is not None
        hours = grid_of(path)
        values = np.stack([np.interp(hours, path.time, row) for row in path.sets], axis=-1)
        half = np.interp(hours, path.time, path.half)
        bump = np.interp(hours, path.time, path.bump)
        inside, course = advance(
            self.body,
            self.inside,
            hours * 3600,
            values[:, None, :],
            (half + bump)[:, None],
        )
        lagged = _filtered(bump, hours, self.sums.bump, self.settle)
        curves, sums = self._derive(hours, course, half[1:], bump[1:], lagged[1:])
        if keep:
            self.inside, self.sums = inside, sums
        return curves

    def _derive(
        self,
        hours: np.ndarray,
        course: Course,
        half: np.ndarray,
        bump: np.ndarray,
        lagged: np.ndarray,
    ) -> tuple[dict[str, np.ndarray], _Sums]:
        sums = self.sums
        assert sums is not None
        face = _bounds(course.face[:, 0], half + bump)
        core = _bounds(course.core[:, 0], half + lagged)
        lag = np.sort((course.face - course.core)[:, 0].T, axis=0)
        left = course.left[:, :, 0]
        water = np.array(self.brick.free_water)[::-1] * 100
        shares = bound_water(self.brick)
        total = np.maximum(shares.sum(0), 1e-12)
        bound = (left[:, 1:] * shares).sum(1) / total
        whole_core = np.concatenate([sums.core[:, None], core], axis=1)
        work = (
            np.stack([work_along(hours, whole_core, e)[:, 1:] for e in ENERGY_BAND])
            + sums.work[:, :, None]
        )
        burnt = burning.burnt_through(hours, whole_core)[:, 1:] + sums.burnt[:, None]
        curves = {
            "time": hours[1:],
            "face": face,
            "core": core,
            "lag": lag,
            "free_water_left": np.sort((left[:, 0] * water).T, axis=0),
            "free_water_mean": np.sort((course.mean_left[:, 0] * water).T, axis=0),
            "bound_water_left": np.sort(bound.T, axis=0),
            "carbon_left": self._carbon_left(burnt),
            "carbonate_left": np.sort((course.root[:, 0] ** 3).T, axis=0),
            "heat_work": _heat_work(work),
            "work": work[1],
        }
        after = _Sums(
            float(hours[-1]),
            core[:, -1],
            face[:, -1],
            float(lagged[-1]),
            work[:, :, -1],
            burnt[:, -1],
        )
        return curves, after

    def _carbon_left(self, burnt: np.ndarray) -> np.ndarray:
        p, half = self.parameters, self.brick.thickness / 2
        content = np.array(self.brick.carbon)[::-1] * np.array(p.char_share)
        moles = burning.carbon_density.plain(content, np.array(self.brick.density)[::-1])
        reach = 2 * np.array(p.oxygen_diffusivity) * np.array(p.oxygen) * 3600 / half**2
        # burnt runs low, middle, high as the core does: the cold, slow brick keeps the most
        share = np.sqrt(np.minimum(burnt * (reach / np.maximum(moles, 1e-9))[:, None], 1.0))
        return np.sort(1 - share, axis=0)

    def state(self, until: float) -> PlaceState:
        """The state at the last reading, carried on by at most the reading interval in force."""
        assert self.readings is not None
        if len(self._chunks) > 1:
            self._chunks = [_glued(self._chunks)]
        curves = self._chunks[0]
        onward = run_on(self.readings, until, self.every)
        if onward is not None:
            curves = _glued([curves, self._march(onward, keep=False)])
        last = float(self.readings.time[-1])
        return PlaceState(
            place=self.place,
            probe=self.probe,
            last_reading=last,
            age=max(until - last, 0.0),
            bridged=tuple(self.bridged),
            **curves,
        )


def _glued(chunks: list[dict[str, np.ndarray]]) -> dict[str, np.ndarray]:
    return {name: np.concatenate([c[name] for c in chunks], axis=-1) for name in chunks[0]}


def _bounds(sets: np.ndarray, doubt: np.ndarray) -> np.ndarray:
    """Low, middle and high (3, time) of a temperature from its sets (time, set) and a doubt."""
    return np.stack([sets.min(1) - doubt, sets[:, 1], sets.max(1) + doubt])


def _heat_work(work: np.ndarray) -> np.ndarray:
    energies = np.array(ENERGY_BAND)[:, None, None]
    degrees = one_hour_temperature.plain(work, energies)
    return np.stack([degrees[:, 0].min(0), degrees[1, 1], degrees[:, 2].max(0)])


def _filtered(values: np.ndarray, hours: np.ndarray, start: float, settle: float) -> np.ndarray:
    """A quantity as the core feels it: behind, and smoothed over the settling time [s]."""
    keep = np.exp(-np.diff(hours) * 3600 / settle)
    out = [start]
    for k, value in zip(keep.tolist(), values[1:].tolist(), strict=True):
        out.append(out[-1] * k + value * (1 - k))
    return np.array(out)


def _joined(known: Readings, new: Readings) -> Readings:
    if new.probe != known.probe:
        raise NotPossible(f"the probe touched the {known.probe} so far, and now the {new.probe}")
    if new.time[0] <= known.time[-1]:
        raise NotPossible("a reading earlier than the last one taken up needs a new march")
    return Readings(
        np.concatenate([known.time, new.time]),
        np.concatenate([known.temperature, new.temperature]),
        np.concatenate([known.half, new.half]),
        known.probe,
    )


class March:
    """The march of a firing: each new reading costs only its own interval."""

    def __init__(
        self,
        brick: Brick | Mapping[str, Brick],
        parameters: Parameters = PARAMETERS,
        reading_every: float | None = None,
    ) -> None:
        self.brick, self.parameters, self.reading_every = brick, parameters, reading_every
        self._places: dict[str, PlaceMarch] = {}

    def take_up(self, place: str, readings: Readings) -> None:
        """Take up readings at a place, all later than those it has."""
        if not len(readings):
            return
        if place not in self._places:
            brick = self.brick if isinstance(self.brick, Brick) else self.brick[place]
            self._places[place] = PlaceMarch(
                place, brick, self.parameters, readings.probe, self.reading_every
            )
        self._places[place].take_up(readings)

    def state(self, until: float) -> FiringState:
        """The state of all places at a time not earlier than their last readings."""
        if not self._places:
            raise NotPossible("no reading yet: nothing is known of the bricks")
        return FiringState({n: p.state(until) for n, p in self._places.items()}, until)


def march(
    readings_by_place: Mapping[str, Readings],
    brick: Brick | Mapping[str, Brick],
    parameters: Parameters = PARAMETERS,
    until: float | None = None,
    reading_every: float | None = None,
) -> FiringState:
    """The state inside the bricks from all readings not later than `until` (hours)."""
    if until is None:
        until = max(float(r.time[-1]) for r in readings_by_place.values() if len(r))
    run = March(brick, parameters, reading_every)
    for place, readings in readings_by_place.items():
        run.take_up(place, readings.until(until))
    return run.state(until)
