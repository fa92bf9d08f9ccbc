"""What a firing is known to be like inside its bricks: the answer of the march."""

import numpy as np

from fieldbook.frozen import frozen


@frozen
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
    """h, spans between readings longer than the interval in force."""
    joined: int = 0
    """Readings taken together with a neighbour, closer than the march needs; within 0.1 K."""

    def now(self, name: str) -> tuple[float, float, float]:
        """Low, middle and high of a quantity at the last time."""
        values = getattr(self, name)[:, -1]
        return float(values[0]), float(values[1]), float(values[2])

    def at(self, name: str, time: float) -> tuple[float, float, float]:
        """Low, middle and high of a quantity at a time, on straight lines."""
        values = getattr(self, name)
        low, middle, high = (float(np.interp(time, self.time, row)) for row in values)
        return low, middle, high


@frozen
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
