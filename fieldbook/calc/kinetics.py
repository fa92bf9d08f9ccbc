"""How fast bound water, carbonate and other parts leave at a temperature."""

from typing import Any, NamedTuple

import numpy as np

from fieldbook.calc.properties import ZERO_CELSIUS
from fieldbook.errors import NotPossible, OutOfRange
from fieldbook.quantities import in_units

GAS_CONSTANT = 8.3145  # J/(mol K); CODATA 2018


class Reaction(NamedTuple):
    """A reaction d(a)/dt = A exp(-E/RT) f(a), with what it takes and where it is from."""

    name: str
    activation_energy: float  # J/mol
    ln_frequency: float  # ln of A in 1/s
    form: str  # "first", "R2" or "R3"
    source: str

    def rate(self, kelvin: Any) -> Any:
        """The rate constant [1/s] at a temperature in kelvin."""
        return np.exp(self.ln_frequency - self.activation_energy / (GAS_CONSTANT * kelvin))


_REDFERN = (
    "E: Redfern 1987, Clay Minerals 22, 447; A calibrated here to a peak at {} degC at 10 K/min"
)
_ONDRO = "Ondro et al. 2019, arXiv 1902.07088"
KAOLINITE_EARLY = Reaction(
    "kaolinite", 222e3, float(np.log(2.358e12)), "first", _REDFERN.format(525)
)
KAOLINITE_LATE = Reaction("kaolinite", 222e3, float(np.log(8.03e11)), "first", _REDFERN.format(550))
KAOLINITE = Reaction(
    "kaolinite",
    222e3,
    float(np.log(2.358e12 * 8.03e11) / 2),
    "first",
    "E: Redfern 1987, Clay Minerals 22, 447; A between the two calibrations",
)
ILLITE_EARLY = Reaction("illite, trans-vacant", 227e3, float(np.log(2.87e13 / 60)), "first", _ONDRO)
ILLITE_LATE = Reaction("illite, cis-vacant", 242e3, float(np.log(5.37e12 / 60)), "first", _ONDRO)
ILLITE = Reaction(
    "illite, between trans- and cis-vacant",
    234.5e3,
    float(np.log(2.87e13 / 60 * 5.37e12 / 60) / 2),
    "first",
    _ONDRO,
)
LIMESTONE = Reaction(
    "limestone",
    193.98e3,
    float(8.81 * np.log(10) - np.log(60)),
    "R3",
    "doi 10.13264/j.cnki.ysjskx.2016.06.003, 0.9 mm grains",
)
FINE_CALCITE = Reaction(
    "calcite, fine", 235.8e3, float(np.log(1.13e11)), "R2", "Crystals 2020, 10(9), 849, argon"
)

# Share of its mass that a mineral loses; from molar masses.
WATER_OF_KAOLINITE = 0.13957
"""of its mass, by molar masses."""
WATER_OF_ILLITE = 0.0452
"""of its mass, by molar masses."""
CO2_OF_CALCITE = 0.43971
"""of its mass, by molar masses."""

# Carbon dioxide over calcite, atm: p = a exp(-b / T). From memory; 894 degC at 1 atm, 14 K above
# what formation enthalpies give.
CARBON_DIOXIDE = (4.137e7, 20474.0)

# Heat taken up, J per kg of the mineral.
KAOLINITE_HEAT = (540e3, 800e3, 1100e3)  # lower bound from formation enthalpies; rest from memory
CALCITE_HEAT = 1782e3  # from formation enthalpies, cementkilns.co.uk


def remaining(start: Any, rate: Any, seconds: Any, form: str = "first") -> Any:
    """The share [1] left after some seconds at a steady rate constant [1/s], exact for each form.

    First order leaves start * exp(-k t). Of a shrinking disc (R2, f = 2(1-a)^(1/2)) the square
    root falls steadily, of a shrinking ball (R3, f = 3(1-a)^(2/3)) the cube root.
    """
    if form == "first":
        return start * np.exp(-rate * seconds)
    if form == "R2":
        return np.maximum(np.sqrt(start) - rate * seconds, 0.0) ** 2
    if form == "R3":
        return np.maximum(np.cbrt(start) - rate * seconds, 0.0) ** 3
    raise NotPossible(f"no reaction of the form {form!r}: first, R2 or R3")


def remaining_along(
    reaction: Reaction,
    hours: Any,
    celsius: Any,
    longest_step: float = 30.0,
    gas: float = 0.0,
) -> np.ndarray:
    """What is left of a part along a temperature curve, 1 at its start.

    Args:
        reaction: what goes on.
        hours: times of the curve, increasing.
        celsius: temperatures at these times; straight lines between them.
        longest_step: seconds; longer stretches are cut into parts.
        gas: partial pressure of the gas given off, atm, for a carbonate.

    Returns:
        The part left at each of the times, 0 to 1.
    """
    hours, celsius = np.asarray(hours, float), np.asarray(celsius, float)
    left = np.ones(len(hours))
    for i in range(1, len(hours)):
        seconds = (hours[i] - hours[i - 1]) * 3600
        if seconds < 0:
            raise NotPossible("the times of a curve must not run backwards")
        parts = max(1, int(np.ceil(seconds / longest_step)))
        middles = (np.arange(parts) + 0.5) / parts
        kelvin = celsius[i - 1] + (celsius[i] - celsius[i - 1]) * middles + ZERO_CELSIUS
        rate = reaction.rate(kelvin)
        if gas:
            rate = rate * drive_of_carbonate(kelvin, gas)
        left[i] = remaining(left[i - 1], float(rate.mean()), seconds, reaction.form)
    return left


def peak_temperature(reaction: Reaction, kelvin_per_minute: float) -> float:
    """Temperature [degC] at which a first-order reaction runs fastest on a steady climb.

    Formula:
        b E / (R Tp^2) = A exp(-E / (R Tp))
    Source:
        Kissinger 1957, Anal. Chem. 29, 1702.
    """
    if kelvin_per_minute <= 0:
        raise OutOfRange("peak_temperature: the climb must be above zero")
    beta, energy = kelvin_per_minute / 60, reaction.activation_energy / GAS_CONSTANT
    kelvin = 800.0
    for _ in range(100):
        new = energy / (reaction.ln_frequency - np.log(beta * energy / kelvin**2))
        if abs(new - kelvin) < 1e-6:
            break
        kelvin = new
    return float(new - ZERO_CELSIUS)


@in_units(temperature="degC", returns="atm")
def carbonate_equilibrium(temperature: Any) -> Any:
    """Pressure of carbon dioxide over calcite; at or above it calcite does not decompose.

    Formula:
        p = 4.137e7 exp(-20474 / T), T in kelvin
    Args:
        temperature: [degC]
    Returns:
        [atm]
    Source:
        from memory; it gives 894 degC at 1 atm, 14 K above what formation enthalpies give.
    """
    frequency, kelvin = CARBON_DIOXIDE
    return frequency * np.exp(-kelvin / (temperature + ZERO_CELSIUS))


def drive_of_carbonate(kelvin: Any, gas: Any) -> Any:
    """Factor on the rate of a carbonate in gas that holds carbon dioxide [atm], 0 to 1."""
    pressure = carbonate_equilibrium.plain(kelvin - ZERO_CELSIUS)
    return np.maximum(1.0 - gas / pressure, 0.0)
