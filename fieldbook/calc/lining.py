"""Heat through walls and linings of one or more layers: loss, faces, stored heat, warm-up."""

from collections.abc import Callable, Sequence
from itertools import pairwise
from math import log, pi

from fieldbook.calc.conduction import STEFAN_BOLTZMANN
from fieldbook.errors import NotPossible
from fieldbook.frozen import frozen

CONVECTION = 8.0  # W/(m2 K), of an outer face in still air, from memory
EMISSIVITY = 0.9  # of brick and soot, from memory

Conductivity = float | Callable[[float], float]


@frozen
class Layer:
    """A layer, from the hot side outwards."""

    material: str
    thickness: float
    """m."""
    conductivity: Conductivity
    """W/(m K), or a function of the layer's mean temperature, degC."""
    density: float = 1800.0
    """kg/m3."""
    specific_heat: float = 1000.0
    """J/(kg K)."""

    def at(self, mean: float) -> float:
        """Conductivity at a mean temperature."""
        k = self.conductivity(mean) if callable(self.conductivity) else self.conductivity
        if k <= 0:
            raise NotPossible(f"the conductivity of {self.material} must be above zero")
        return k


@frozen
class Wall:
    """A wall in steady state."""

    flux: float
    """W/m2 of a flat wall; W for each metre of a cylinder."""
    faces: tuple[float, ...]
    """degC, from the hot face to the outer one."""
    stored: float
    """J/m2, or J/m, above the temperature of the surroundings."""


def flat_wall(layers: Sequence[Layer], hot: float, cold: float) -> Wall:
    """A flat wall between two faces of known temperature.

    Formula: q = (T1 - Tn) / sum(L/k), k at the mean temperature of each layer, by iteration.
    Source: Coulson & Richardson, Chemical Engineering vol. 1, ch. 9.
    """
    return _wall(layers, hot, cold, [layer.thickness for layer in layers], None)


def cylinder_wall(layers: Sequence[Layer], inner_radius: float, hot: float, cold: float) -> Wall:
    """A cylinder, for each metre of its length.

    Formula: Q = 2 pi (T1 - Tn) / sum[ln(r2/r1)/k].
    Source: Dutta, Heat Transfer, ch. 2.
    """
    if inner_radius <= 0:
        raise NotPossible("the inner radius must be above zero")
    ways, radius = [], inner_radius
    for layer in layers:
        ways.append(log((radius + layer.thickness) / radius) / (2 * pi))
        radius += layer.thickness
    return _wall(layers, hot, cold, ways, inner_radius)


def _wall(
    layers: Sequence[Layer],
    hot: float,
    cold: float,
    ways: Sequence[float],
    inner_radius: float | None,
) -> Wall:
    if not layers or any(layer.thickness <= 0 for layer in layers):
        raise NotPossible("a wall needs layers, each thicker than nothing")
    faces = [hot + (cold - hot) * i / len(layers) for i in range(len(layers) + 1)]
    flux = 0.0
    for _ in range(100):
        means = [(a + b) / 2 for a, b in pairwise(faces)]
        resist = [w / layer.at(m) for w, layer, m in zip(ways, layers, means, strict=True)]
        flux = (hot - cold) / sum(resist)
        new = [hot]
        for r in resist:
            new.append(new[-1] - flux * r)
        if max(abs(a - b) for a, b in zip(new, faces, strict=True)) < 1e-6:
            faces = new
            break
        faces = new
    return Wall(flux, tuple(faces), _stored(layers, faces, cold, inner_radius))


def _stored(
    layers: Sequence[Layer], faces: Sequence[float], base: float, inner_radius: float | None
) -> float:
    heat, radius = 0.0, inner_radius or 0.0
    for layer, (a, b) in zip(layers, pairwise(faces), strict=True):
        outer = radius + layer.thickness
        volume = layer.thickness if inner_radius is None else pi * (outer**2 - radius**2)
        heat += volume * layer.density * layer.specific_heat * ((a + b) / 2 - base)
        radius = outer
    return heat


def outer_film(face: float, air: float, convection: float = CONVECTION) -> float:
    """Heat [W/m2] from an outer face to the air and what stands around.

    Formula: q = h (Ts - Ta) + e s (Ts^4 - Ta^4), temperatures in kelvin.
    """
    hot, cold = face + 273.15, air + 273.15
    return convection * (face - air) + EMISSIVITY * STEFAN_BOLTZMANN * (hot**4 - cold**4)


def wall_in_air(
    layers: Sequence[Layer],
    hot: float,
    air: float,
    inner_radius: float | None = None,
    convection: float = CONVECTION,
) -> Wall:
    """A wall whose outer face gives its heat to the air: the face is found by halving."""
    if hot <= air:
        raise NotPossible("the hot face must be hotter than the air")
    outer_radius = (inner_radius or 0.0) + sum(layer.thickness for layer in layers)
    area = 1.0 if inner_radius is None else 2 * pi * outer_radius
    low, high = air, hot
    for _ in range(60):
        face = (low + high) / 2
        wall = _between(layers, hot, face, inner_radius)
        if wall.flux > outer_film(face, air, convection) * area:
            low = face
        else:
            high = face
    wall = _between(layers, hot, face, inner_radius)
    return Wall(wall.flux, wall.faces, _stored(layers, wall.faces, air, inner_radius))


def _between(layers: Sequence[Layer], hot: float, cold: float, inner_radius: float | None) -> Wall:
    if inner_radius is None:
        return flat_wall(layers, hot, cold)
    return cylinder_wall(layers, inner_radius, hot, cold)


def warm_up_time(layers: Sequence[Layer]) -> float:
    """Hours until a wall heated on one face is within about 10 % of its steady state.

    From the slowest decay of the stack taken as one slab, heat capacity against resistance:
    t = ln(10) * 4 R C / pi^2. Exact for one layer whose outer face loses nothing; for more an
    order of magnitude. Source: Carslaw & Jaeger, Conduction of Heat in Solids.
    """
    resistance = sum(layer.thickness / layer.at(400.0) for layer in layers)
    capacity = sum(layer.thickness * layer.density * layer.specific_heat for layer in layers)
    return log(10) * 4 * resistance * capacity / pi**2 / 3600


def hot_face_limit(fired_at: float, half: float, peak_limit: float) -> float:
    """The hottest that a face of these bricks may be used at, degC; never for molten metal.

    Fifty degrees below what the coldest of them have seen, less its uncertainty, and not above
    the mix's own limit. Source: common practice.
    """
    return min(fired_at - half - 50.0, peak_limit)


def aluminium_heat(start: float, end: float, solid: float = 0.9, fusion: float = 390.0) -> float:
    """Heat [kJ/kg] to melt aluminium and warm it on.

    Args:
        start: degC.
        end: degC, above 660.
        solid: kJ/(kg K).
        fusion: kJ/kg.

    Source: P. K. Nag, Basic and Applied Thermodynamics, ch. 3: liquid 29.93/27 kJ/(kg K).
    """
    if end < 660 or start > 660:
        raise NotPossible("aluminium_heat: from solid below 660 degC to liquid above it")
    return solid * (660 - start) + fusion + 29.93 / 27 * (end - 660)
