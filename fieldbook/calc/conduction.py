"""Heat on its way into a brick: lags, series, the box factor, and the modes the march uses."""

from functools import lru_cache
from typing import Any, NamedTuple

import numpy as np

from fieldbook.errors import NotPossible, OutOfRange
from fieldbook.quantities import in_units

STEFAN_BOLTZMANN = 5.670374e-8  # W/(m2 K4); CODATA 2018


@in_units(rate="K/s", half_thickness="m", diffusivity="m2/s", returns="K")
def steady_lag(rate: Any, half_thickness: Any, diffusivity: Any) -> Any:
    """How far the core of a slab trails its faces once a climb has gone on for long.

    Formula:
        D = r L^2 / (2 alpha)
    Args:
        rate: [K/s] climb of the faces.
        half_thickness: [m] from face to core.
        diffusivity: [m2/s] of the body.
    Returns:
        [K]
    Source:
        Carslaw & Jaeger, Conduction of Heat in Solids.
    """
    return rate * half_thickness**2 / (2 * diffusivity)


def _ramp_fraction(fourier: Any, terms: int = 200) -> Any:
    n = np.arange(terms)
    odd = 2 * n + 1
    fo = np.asarray(fourier, float)[..., None]
    series = ((-1.0) ** n / odd**3 * np.exp(-(odd**2) * np.pi**2 * fo / 4)).sum(-1)
    return 1 - 32 / np.pi**3 * series


@in_units(rate="K/s", half_thickness="m", diffusivity="m2/s", time="s", returns="K")
def ramp_lag(rate: Any, half_thickness: Any, diffusivity: Any, time: Any) -> Any:
    """How far the core of a slab trails its faces some time after a climb began.

    Formula:
        D = r L^2/(2 alpha) {1 - (32/pi^3) sum (-1)^n/(2n+1)^3 exp[-(2n+1)^2 pi^2 Fo/4]}
    Args:
        rate: [K/s] climb of the faces.
        half_thickness: [m] from face to core.
        diffusivity: [m2/s] of the body.
        time: [s] since the climb began from an even temperature.
    Returns:
        [K]
    Source:
        Carslaw & Jaeger, Conduction of Heat in Solids.
    """
    return steady_lag.plain(rate, half_thickness, diffusivity) * _ramp_fraction(
        diffusivity * time / half_thickness**2
    )


def plane_wall_roots(biot: float, terms: int = 40) -> np.ndarray:
    """The first roots of z tan z = Bi; for an infinite Biot number (n + 1/2) pi."""
    if biot <= 0:
        raise OutOfRange("plane_wall_roots: the Biot number must be above zero")
    low = np.arange(terms) * np.pi
    high = low + np.pi / 2
    if np.isinf(biot):
        return high
    for _ in range(60):
        middle = (low + high) / 2
        under = middle * np.sin(middle) * (-1.0) ** np.arange(terms) < biot * np.cos(middle) * (
            -1.0
        ) ** np.arange(terms)
        low, high = np.where(under, middle, low), np.where(under, high, middle)
    return (low + high) / 2


def plane_wall(biot: float, fourier: float, place: float = 0.0, terms: int = 40) -> float:
    """What is left, 0 to 1, of the first difference in a slab put into gas of another temperature.

    Formula:
        theta = sum C_n exp(-z_n^2 Fo) cos(z_n x/L), z tan z = Bi, C = 4 sin z/(2z + sin 2z)
    Args:
        biot: h L / k; infinite where the faces are held at the gas temperature.
        fourier: alpha t / L^2.
        place: distance from the core over the half-thickness.
        terms: how many terms of the series.
    Source: Carslaw & Jaeger, Conduction of Heat in Solids.
    """
    z = plane_wall_roots(biot, terms)
    weight = 4 * np.sin(z) / (2 * z + (0 if np.isinf(biot) else np.sin(2 * z)))
    return float((weight * np.exp(-(z**2) * fourier) * np.cos(z * place)).sum())


@lru_cache(maxsize=64)
def box_factor(length: float, width: float, height: float) -> float:
    """How much less the core of a loose brick lags than a slab of its least side, 0 to 1.

    The core of a steadily heated box, from the double series of the Poisson equation, over
    r L^2 / (2 alpha) of a slab of the least side.

    Source: Carslaw & Jaeger, Conduction of Heat in Solids, worked out here.
    """
    sides = sorted((length, width, height))
    if sides[0] <= 0:
        raise NotPossible("each side of a brick must be above zero")
    first, second = np.arange(1, 60, 2), np.arange(1, 600, 2)
    wave = (np.pi / sides[0] * first[:, None]) ** 2 + (np.pi / sides[1] * second) ** 2
    sign = np.where(first % 4 == 1, 1.0, -1.0)[:, None] * np.where(second % 4 == 1, 1.0, -1.0)
    along = 1 - 1 / np.cosh(np.minimum(np.sqrt(wave) * sides[2] / 2, 500.0))
    centre = (16 / np.pi**2 * sign / (first[:, None] * second) / wave * along).sum()
    return float(min(centre / (sides[0] ** 2 / 8), 1.0))


class Modes(NamedTuple):
    """The shapes into which the temperature of half a slab falls apart, each with its own decay."""

    shapes: np.ndarray  # mode to node, cores first, the face node left out
    weights: np.ndarray  # node to mode
    decay: np.ndarray  # times alpha / L^2 gives 1/s
    ones: np.ndarray  # the even temperature, in modes


@lru_cache(maxsize=8)
def modes(cells: int) -> Modes:
    """Modes of half a slab cut into cells, core insulated by symmetry, face given."""
    number = np.arange(cells)
    wave = (number + 0.5) * np.pi
    shapes = np.cos(number[:, None] * wave[None, :] / cells).T.copy()
    weight = np.ones(cells)
    weight[0] = 0.5
    weights = (2 / cells) * (shapes * weight).T.copy()
    decay = (2 * cells * np.sin(wave / (2 * cells))) ** 2
    return Modes(shapes, weights, decay, weights.sum(0))


@in_units(gas="degC", face="degC", convection="W/(m2 K)", emissivity="1", returns="W/(m2 K)")
def film_coefficient(gas: Any, face: Any, convection: Any, emissivity: Any) -> Any:
    """How well hot gas and glowing neighbours heat the face of a brick.

    Formula:
        h = h_c + e s (Tg^2 + Tf^2)(Tg + Tf), temperatures in kelvin
    Args:
        gas: [degC] what the probe in the gas reads.
        face: [degC] of the brick.
        convection: [W/(m2 K)] 15 to 50 in a wood-fired kiln, from memory.
        emissivity: [1] of what the face sees, 0.3 to 0.9, from memory.
    Returns:
        [W/(m2 K)]
    Source:
        Stefan-Boltzmann law; the range of the coefficients is from memory.
    """
    hot, cold = gas + 273.15, face + 273.15
    return convection + emissivity * STEFAN_BOLTZMANN * (hot**2 + cold**2) * (hot + cold)


@in_units(
    rate="K/s",
    density="kg/m3",
    specific_heat="J/(kg K)",
    volume="m3",
    film="W/(m2 K)",
    area="m2",
    returns="K",
)
def gas_lag(
    rate: Any, density: Any, specific_heat: Any, *, volume: Any, film: Any, area: Any
) -> Any:
    """How far the face of a body trails the gas once a climb has gone on for long.

    Formula:
        D = r rho c V / (h A)
    Args:
        rate: [K/s] climb of the gas.
        density: [kg/m3] of the body.
        specific_heat: [J/(kg K)] of the body.
        volume: [m3] of the body.
        film: [W/(m2 K)] film coefficient.
        area: [m2] of its faces.
    Returns:
        [K]
    Source:
        Heat balance of a body that climbs steadily.
    """
    return rate * density * specific_heat * volume / (film * area)
