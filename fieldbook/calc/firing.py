"""The state inside the bricks of a firing, from readings at one or more places."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from fieldbook.calc.brick import PARAMETERS, Brick, Parameters, body_of, cells_for
from fieldbook.calc.curves import Curves, Stretch, Sums, curves_of, first_curves, first_sums
from fieldbook.calc.march import Body, Course, Inside, advance, at_rest
from fieldbook.calc.path import Path, between, grid_of, led, path_of, run_on, together
from fieldbook.calc.readings import Readings
from fieldbook.calc.state import FiringState, PlaceState
from fieldbook.errors import NotPossible

AIR = 15.0  # degC, of a brick before the fire where nothing is known; common practice
WARM = 40.0  # degC of a first reading above which the brick may still be cold; common practice
WORTH_SHARING = 1.0  # h that two places must have in common to be marched as one; ours


class PlaceMarch:
    """The march at one place: takes up readings, keeps the state at the last of them."""

    def __init__(
        self,
        place: str,
        brick: Brick,
        parameters: Parameters,
        probe: str,
        every: float | None = None,
    ) -> None:
        self.place, self.brick, self.parameters = place, brick, parameters
        self.probe, self.every = probe, every
        self.body = body_of(brick, parameters, probe)
        # a probe inside reads the core: the face leads it by the lag of each set
        ahead = (brick.thickness / 2) ** 2 / 2 / self.body.green_diffusivity[0] / 3600
        self.lead = ahead if probe == "inside" else None
        self.bridged: list[tuple[float, float]] = []
        self.joined = 0
        self._readings: Readings | None = None
        self._inside: Inside | None = None
        self._sums: Sums | None = None
        self._curves: list[Curves] = []

    def take_up(self, readings: Readings) -> None:
        """March on through readings later than those taken up so far."""
        path = self.lead_on(readings)
        if len(path.time) > 1:
            march_together([self], path)

    def lead_on(self, readings: Readings) -> Path:
        """Take note of readings later than those so far; the path through them, to be marched."""
        known = self._readings
        if known is None:
            self._begin(readings)
            path = path_of(readings, self.every)
        else:
            readings = _joined(known, readings)
            path = path_of(readings, self.every, float(known.time[-1]))
        self._readings = readings
        self.bridged += path.bridged
        return led(path, self.lead)

    def _begin(self, readings: Readings) -> None:
        first = float(readings.temperature[0])
        start = np.array([[min(first, AIR) if first > WARM else first, first, first]])
        bounds = start[0] + float(readings.half[0]) * np.array([-1, 0, 1])
        self._inside = at_rest(start, 3, cells_for(self.brick))
        self._sums = first_sums(bounds)
        self._curves = [first_curves(self.brick, float(readings.time[0]), bounds)]

    @property
    def inside(self) -> Inside:
        """The state at the last reading."""
        if self._inside is None:
            raise NotPossible(f"no reading at {self.place} yet: nothing is known of its bricks")
        return self._inside

    def curves(self, stretch: Stretch) -> tuple[Curves, Sums]:
        """The curves of a stretch that follows the last reading."""
        assert self._sums is not None
        if self.lead is not None:
            stretch = self._as_read(stretch)
        return curves_of(stretch, self.brick, self.parameters, self._sums)

    def _as_read(self, stretch: Stretch) -> Stretch:
        """With the core as the probe inside it read, so far as there are readings."""
        read = self._readings
        assert read is not None
        core, hours = stretch.course.core.copy(), stretch.hours[1:]
        known = hours <= read.time[-1] + 1e-9
        core[known] = np.interp(hours[known], read.time, read.temperature)[:, None]
        return replace(stretch, course=stretch.course._replace(core=core))

    def keep(self, inside: Inside, curves: Curves, sums: Sums) -> None:
        """Go on from here."""
        self._inside, self._sums = inside, sums
        self._curves.append(curves)

    def state(self, until: float) -> PlaceState:
        """The state at the last reading, carried on by at most the reading interval in force."""
        readings = self._readings
        if readings is None:
            raise NotPossible(f"no reading at {self.place} yet: nothing is known of its bricks")
        if len(self._curves) > 1:
            self._curves = [_glued(self._curves)]
        curves = self._curves[0]
        onward = run_on(readings, until, self.every)
        if onward is not None:
            onward = led(onward, self.lead)
            curves = _glued([curves, march_together([self], onward, keep=False)[0]])
        last = float(readings.time[-1])
        return PlaceState(
            place=self.place,
            probe=self.probe,
            last_reading=last,
            age=max(until - last, 0.0),
            bridged=tuple(self.bridged),
            joined=self.joined,
            **curves,
        )


def march_together(places: Sequence[PlaceMarch], path: Path, *, keep: bool = True) -> list[Curves]:
    """March several places as one along a path that holds them all; the curves of each."""
    grid = grid_of(path)
    body = Body(*_stacked([p.body for p in places]))
    inside = Inside(*_stacked([p.inside for p in places]))
    steps = len(grid.time)
    sets = grid.sets.reshape(len(places), 3, steps).transpose(2, 0, 1)
    inside, course = advance(body, inside, grid.time * 3600, sets, (grid.half + grid.bump).T)
    found = []
    for n, place in enumerate(places):
        stretch = Stretch(grid.time, grid.half[n], grid.bump[n], Course(*_only(course, n, 1)))
        curves, sums = place.curves(stretch)
        if keep:
            place.keep(Inside(*_only(inside, n, 0, keep_axis=True)), curves, sums)
            place.joined += grid.joined
        found.append(curves)
    return found


# In each of the tuples of arrays the reactions come before the place where there are any.
_WITH_REACTIONS = {"ln_frequency", "activation", "heat", "left"}


def _stacked(parts: Sequence[Body] | Sequence[Inside]) -> list[np.ndarray]:
    return [
        np.concatenate([getattr(p, name) for p in parts], axis=int(name in _WITH_REACTIONS))
        for name in parts[0]._fields
    ]


def _only(
    whole: Inside | Course, place: int, axis: int, *, keep_axis: bool = False
) -> list[np.ndarray]:
    wanted = slice(place, place + 1) if keep_axis else place
    return [
        getattr(whole, name)[(slice(None),) * (axis + (name in _WITH_REACTIONS)) + (wanted,)]
        for name in whole._fields
    ]


def _glued(parts: list[Curves]) -> Curves:
    return {name: np.concatenate([c[name] for c in parts], axis=-1) for name in parts[0]}


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

    @property
    def places(self) -> tuple[str, ...]:
        """The places that were read."""
        return tuple(self._places)

    def brick_at(self, place: str) -> Brick:
        """The brick that stands for a place."""
        return self.brick if isinstance(self.brick, Brick) else self.brick[place]

    def _at(self, place: str, probe: str) -> PlaceMarch:
        if place not in self._places:
            self._places[place] = PlaceMarch(
                place, self.brick_at(place), self.parameters, probe, self.reading_every
            )
        return self._places[place]

    def take_up(self, place: str, readings: Readings) -> None:
        """Take up readings at a place, all later than those it has."""
        if len(readings):
            self._at(place, readings.probe).take_up(readings)

    def take_up_all(self, readings_by_place: Mapping[str, Readings]) -> None:
        """Take up readings at several places, marching as one what they have in common."""
        read = {name: r for name, r in readings_by_place.items() if len(r)}
        places = [self._at(name, r.probe) for name, r in read.items()]
        paths = [place.lead_on(r) for place, r in zip(places, read.values(), strict=True)]
        begin = max((float(p.time[0]) for p in paths), default=0.0)
        end = min((float(p.time[-1]) for p in paths), default=0.0)
        alike = len({cells_for(p.brick) for p in places}) == 1
        if len(places) < 2 or not alike or end - begin < WORTH_SHARING:
            for place, path in zip(places, paths, strict=True):
                _march_alone(place, path)
            return
        for place, path in zip(places, paths, strict=True):
            _march_alone(place, between(path, path.time[0], begin))
        march_together(places, together([between(p, begin, end) for p in paths]))
        for place, path in zip(places, paths, strict=True):
            _march_alone(place, between(path, end, path.time[-1]))

    def state(self, until: float) -> FiringState:
        """The state of all places at a time not earlier than their last readings."""
        if not self._places:
            raise NotPossible("no reading yet: nothing is known of the bricks")
        return FiringState({n: p.state(until) for n, p in self._places.items()}, until)


def _march_alone(place: PlaceMarch, path: Path) -> None:
    if len(path.time) > 1:
        march_together([place], path)


def march(
    readings_by_place: Mapping[str, Readings],
    brick: Brick | Mapping[str, Brick],
    parameters: Parameters = PARAMETERS,
    until: float | None = None,
    reading_every: float | None = None,
) -> FiringState:
    """The state inside the bricks from all readings not later than `until`.

    Args:
        readings_by_place: by the name of the place.
        brick: the thickest and wettest brick, one for all places or one each.
        parameters: ranges of what is not known.
        until: h, on the clock of the readings; the last reading when not given.
        reading_every: h between readings, when the maker set it.
    """
    if until is None:
        until = max((float(r.time[-1]) for r in readings_by_place.values() if len(r)), default=0.0)
    run = March(brick, parameters, reading_every)
    run.take_up_all({place: r.until(until) for place, r in readings_by_place.items()})
    return run.state(until)


__all__ = ["AIR", "FiringState", "March", "PlaceMarch", "PlaceState", "march", "march_together"]
