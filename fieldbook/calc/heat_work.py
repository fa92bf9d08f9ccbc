"""Heat-work: the temperature which, held for one hour, would have done the same work."""

from typing import Any

import numpy as np

from fieldbook.calc.kinetics import GAS_CONSTANT
from fieldbook.calc.properties import ZERO_CELSIUS
from fieldbook.errors import OutOfRange
from fieldbook.quantities import in_units

ENERGY = 400e3  # J/mol
ENERGY_BAND = (200e3, 400e3, 600e3)
SOURCE = (
    "Activation energy 400 kJ/mol with 200 to 600 as the band: published values scatter from 100 "
    "(Khalfaoui et al. 2006) to 726 kJ/mol (kaolinite thermodilatometry), cones from 250 to 1170"
)


def work_rate(celsius: Any, energy: Any = ENERGY) -> Any:
    """Heat-work per second, exp(-E/RT), on a scale of its own."""
    return np.exp(-energy / (GAS_CONSTANT * (celsius + ZERO_CELSIUS)))


def integral_of_exp(time: Any, exponent: Any) -> np.ndarray:
    """Integral of exp(exponent) over time up to each time, zero at the first.

    Between two times the exponent runs on a straight line, so each step is taken exactly.
    """
    step, exponent = np.diff(np.asarray(time, float)), np.asarray(exponent, float)
    a, b = exponent[..., :-1], exponent[..., 1:]
    rises = np.abs(b - a) > 1e-6
    slope = np.where(rises, b - a, 1.0)
    mean = np.where(rises, (np.exp(b) - np.exp(a)) / slope, np.exp((a + b) / 2))
    done = np.cumsum(mean * step, axis=-1)
    return np.concatenate([np.zeros((*done.shape[:-1], 1)), done], axis=-1)


def work_along(hours: Any, celsius: Any, energy: Any = ENERGY) -> np.ndarray:
    """Heat-work [s] done up to each time of a curve, from zero at its first."""
    exponent = -energy / (GAS_CONSTANT * (np.asarray(celsius, float) + ZERO_CELSIUS))
    return integral_of_exp(np.asarray(hours, float) * 3600, exponent)


@in_units(work="s", energy="J/mol", returns="degC")
def one_hour_temperature(work: Any, energy: Any = ENERGY) -> Any:
    """The temperature which, held for one hour, does a given heat-work.

    Formula:
        T = E / (R ln(3600 s / W)), W = integral of exp(-E/RT) dt
    Args:
        work: [s] integral of exp(-E/RT) over the firing.
        energy: [J/mol] activation energy, 400e3 when not given.
    Returns:
        [degC], -273.15 where no work was done at all.
    Source:
        Arrhenius law; the same integral as the equivalent time of Geankoplis, ch. 9.12.
    """
    shortfall = np.log(3600.0) - np.log(np.maximum(work, 1e-300))
    if np.any(shortfall <= 0):
        raise OutOfRange("one_hour_temperature: more work than any temperature does in an hour")
    return energy / (GAS_CONSTANT * shortfall) - ZERO_CELSIUS


@in_units(hours="h", at="degC", reference="degC", energy="J/mol", returns="h")
def equivalent_time(hours: Any, at: Any, reference: Any, energy: Any = ENERGY) -> Any:
    """The time at a reference temperature that does the same work as some time at another.

    Formula:
        t_ref = t exp[-(E/R)(1/T - 1/T_ref)]
    Args:
        hours: [h] spent.
        at: [degC] where they were spent.
        reference: [degC] to which they are carried.
        energy: [J/mol] activation energy, 400e3 when not given.
    Returns:
        [h]
    Source:
        Arrhenius law; Geankoplis, ch. 9.12.
    """
    spent, wanted = at + ZERO_CELSIUS, reference + ZERO_CELSIUS
    return hours * np.exp(-(energy / GAS_CONSTANT) * (1 / spent - 1 / wanted))


def time_left(work: float, peak: float, hold: float, now: float, energy: float = ENERGY) -> float:
    """Hours at the present temperature until the wanted heat-work is done; zero once it is.

    Args:
        work: done so far, s.
        peak: degC, wanted.
        hold: hours at the peak, wanted.
        now: degC, at the core.
        energy: J/mol.
    """
    wanted = hold * 3600 * float(work_rate(peak, energy))
    return max(wanted - work, 0.0) / (3600 * float(work_rate(now, energy)))


def wanted_temperature(peak: float, hold: float, energy: float = ENERGY) -> float:
    """The one-hour temperature that a peak held for some hours stands for, degC."""
    if hold <= 0:
        raise OutOfRange("wanted_temperature: the hold must be longer than nothing")
    return float(one_hour_temperature.plain(hold * 3600 * work_rate(peak, energy), energy))
