"""Thermocouples: emf of type K, the cold junction, and how far new wire may be out."""

from typing import Any

import numpy as np

from fieldbook.errors import OutOfRange
from fieldbook.quantities import in_units

_K = (
    -0.176004136860e-1, 0.389212049750e-1, 0.185587700320e-4, -0.994575928740e-7,
    0.318409457190e-9, -0.560728448890e-12, 0.560750590590e-15, -0.320207200030e-18,
    0.971511471520e-22, -0.121047212750e-25,
)  # fmt: skip
_K_BUMP = (0.118597600000, -0.118343200000e-3, 126.9686)


@in_units(temperature="degC", returns="mV")
def emf_of_k(temperature: Any) -> Any:
    """Voltage of a type K thermocouple whose cold junction is at 0 degC.

    Formula:
        E = sum c_i t^i + a0 exp[a1 (t - 126.9686)^2]
    Args:
        temperature: [degC] 0 to 1372.
    Returns:
        [mV]
    Raises:
        OutOfRange: a temperature lies outside 0 to 1372 degC.
    Source:
        NIST ITS-90 thermocouple database, monograph 175.
    """
    if np.any((np.asarray(temperature) < 0) | (np.asarray(temperature) > 1372)):
        raise OutOfRange("emf_of_k: temperature must lie within 0 to 1372 degC")
    whole = sum(c * temperature**i for i, c in enumerate(_K))
    height, narrow, centre = _K_BUMP
    return whole + height * np.exp(narrow * (temperature - centre) ** 2)


def temperature_of_k(emf: float, junction: float = 0.0) -> float:
    """Temperature [degC] of a type K hot junction, from its emf [mV] and the cold junction's.

    The emf of the cold junction is added first; reading it as if it were at 0 degC reads low.
    """
    whole = emf + float(emf_of_k.plain(junction))
    low, high = 0.0, 1372.0
    if not float(emf_of_k.plain(low)) <= whole <= float(emf_of_k.plain(high)):
        raise OutOfRange(
            "temperature_of_k: the voltage is none of a type K between 0 and 1372 degC"
        )
    for _ in range(60):
        middle = (low + high) / 2
        if float(emf_of_k.plain(middle)) < whole:
            low = middle
        else:
            high = middle
    return (low + high) / 2


@in_units(temperature="degC", returns="K")
def tolerance(temperature: Any, grade: int = 2) -> Any:
    """How far new type K or N wire may be out; it drifts further with age.

    Formula:
        class 1: the greater of 1.5 K and 0.4 %; class 2: of 2.5 K and 0.75 %
    Args:
        temperature: [degC] -40 to 1200, for class 1 to 1000.
        grade: class 1 or 2; 2 when not given.
    Returns:
        [K], half-width
    Raises:
        OutOfRange: the class has no tolerance there.
    Source:
        IEC 60584, as restated by picopolska.pl and sab-cable.com.
    """
    least, share, top = {1: (1.5, 0.004, 1000.0), 2: (2.5, 0.0075, 1200.0)}[grade]
    if np.any((np.asarray(temperature) < -40) | (np.asarray(temperature) > top)):
        raise OutOfRange(f"tolerance: class {grade} runs from -40 to {top:.0f} degC")
    return np.maximum(least, share * np.abs(temperature))
