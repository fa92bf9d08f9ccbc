"""From the course of the march to the curves that are shown, low, middle and high."""

import numpy as np

from fieldbook.calc import carbon as burning
from fieldbook.calc.brick import Brick, Parameters, bound_water
from fieldbook.calc.heat_work import ENERGY_BAND, one_hour_temperature, work_along
from fieldbook.calc.march import Course
from fieldbook.calc.path import COLDEST
from fieldbook.frozen import frozen

Curves = dict[str, np.ndarray]


@frozen
class Sums:
    """What the curves carry from one stretch to the next."""

    core: np.ndarray  # (bound,), degC
    bump: float  # K, of the doubt as the core feels it
    work: np.ndarray  # (energy, bound), s
    burnt: np.ndarray  # (bound,)


@frozen
class Stretch:
    """A stretch of the march at one place."""

    hours: np.ndarray  # with its first moment
    half: np.ndarray  # K, of the instrument
    bump: np.ndarray  # K, of what happened between readings
    course: Course  # arrays (step, set) and (step, reaction, set)


def first_curves(brick: Brick, time: float, bounds: np.ndarray) -> Curves:
    """The curves at the first reading, before anything has happened."""
    ones, water = np.ones((3, 1)), np.array(brick.free_water)[:, None] * 100
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


def first_sums(bounds: np.ndarray) -> Sums:
    """Nothing done yet."""
    return Sums(bounds, 0.0, np.zeros((3, 3)), np.zeros(3))


def curves_of(
    stretch: Stretch, brick: Brick, parameters: Parameters, sums: Sums
) -> tuple[Curves, Sums]:
    """The curves of a stretch, and what they carry on."""
    hours, course = stretch.hours, stretch.course
    lagged = _felt(stretch.bump, hours, sums.bump, settling_time(brick, parameters))
    core = _bounds(course.core, stretch.half[1:] + lagged)
    whole_core = np.concatenate([sums.core[:, None], core], axis=1)
    done = np.stack([work_along(hours, whole_core, e)[:, 1:] for e in ENERGY_BAND])
    work = done + sums.work[:, :, None]
    burnt = burning.burnt_through(hours, whole_core)[:, 1:] + sums.burnt[:, None]
    water = np.array(brick.free_water)[::-1] * 100
    shares = bound_water(brick)
    bound = (course.left[:, 1:] * shares).sum(1) / np.maximum(shares.sum(0), 1e-12)
    curves = {
        "time": hours[1:],
        "face": _bounds(course.face, (stretch.half + stretch.bump)[1:]),
        "core": core,
        "lag": _sorted(course.face - course.core),
        "free_water_left": _sorted(course.left[:, 0] * water),
        "free_water_mean": _sorted(course.mean_left * water),
        "bound_water_left": _sorted(bound),
        "carbon_left": _carbon_left(burnt, brick, parameters),
        "carbonate_left": _sorted(course.root**3),
        "heat_work": _heat_work(work),
        "work": work[1],
    }
    return curves, Sums(core[:, -1], float(lagged[-1]), work[:, :, -1], burnt[:, -1])


def settling_time(brick: Brick, parameters: Parameters) -> float:
    """Seconds in which the core takes up most of a change at the face: 4 L^2 / (pi^2 alpha)."""
    alpha = parameters.green_diffusivity[1] / brick.factor
    return 4 * (brick.thickness / 2) ** 2 / (np.pi**2 * alpha)


def _sorted(sets: np.ndarray) -> np.ndarray:
    """Low, middle and high (3, time) of sets (time, set)."""
    return np.stack([sets.min(1), sets[:, 1], sets.max(1)])


def _bounds(sets: np.ndarray, doubt: np.ndarray) -> np.ndarray:
    """Low, middle and high (3, time) of a temperature from its sets (time, set) and a doubt."""
    low, middle, high = _sorted(sets)
    coldest = np.minimum(low, COLDEST)  # no doubt reaches below the coldest night
    return np.stack([np.maximum(low - doubt, coldest), middle, high + doubt])


def _heat_work(work: np.ndarray) -> np.ndarray:
    energies = np.array(ENERGY_BAND)[:, None, None]
    degrees = one_hour_temperature.plain(work, energies)
    return np.stack([degrees[:, 0].min(0), degrees[1, 1], degrees[:, 2].max(0)])


def _carbon_left(burnt: np.ndarray, brick: Brick, parameters: Parameters) -> np.ndarray:
    content = np.array(brick.carbon)[::-1] * np.array(parameters.char_share)
    moles = burning.carbon_density.plain(content, np.array(brick.density)[::-1])
    way = 2 * np.array(parameters.oxygen_diffusivity) * np.array(parameters.oxygen) * 3600
    reach = way / (brick.thickness / 2) ** 2
    # burnt runs low, middle, high as the core does: the cold, slow brick keeps the most
    share = np.sqrt(np.minimum(burnt * (reach / np.maximum(moles, 1e-9))[:, None], 1.0))
    return _sorted((1 - share).T)


def _felt(values: np.ndarray, hours: np.ndarray, start: float, settle: float) -> np.ndarray:
    """A quantity as the core feels it after each step: behind and smoothed over `settle` s."""
    keep = np.exp(-np.diff(hours) * 3600 / settle).tolist()
    felt, out = start, []
    for k, value in zip(keep, ((values[1:] + values[:-1]) / 2).tolist(), strict=True):
        felt = felt * k + value * (1 - k)
        out.append(felt)
    return np.array(out)
