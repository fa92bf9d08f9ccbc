"""Cones: heat-work seen as bending, by chart and by how fast the last 100 degC were climbed."""

from typing import Any

import numpy as np

from fieldbook.calc.evidence import Evidence
from fieldbook.calc.kinetics import GAS_CONSTANT
from fieldbook.calc.properties import ZERO_CELSIUS
from fieldbook.errors import NotPossible
from fieldbook.frozen import frozen
from fieldbook.tables import load

HALF = 15.0  # K; the two charts disagree by up to 15 where they overlap
HALF_OTHER_RATE = 40.0  # K, where the chart knows one rate only; ten times slower lowers by 23-81
STATES = {"standing": "below", "bent": "about", "down": "above"}


@frozen
class Bend:
    """Where a cone bends at a climb."""

    cone: str
    value: float
    half: float
    chart: str
    source: str


def charts() -> tuple[str, ...]:
    """Names of the charts that ship."""
    return tuple(row["name"] for row in load("cones")["chart"])


def _row(cone: str, chart: str | None) -> tuple[dict[str, Any], np.ndarray, np.ndarray]:
    for row in load("cones")["chart"]:
        if chart in (None, row["name"]) and cone in row["cones"]:
            rates, values = np.array(row["rates"], float), np.array(row["cones"][cone], float)
            known = np.isfinite(values)
            return row, rates[known], values[known]
    raise NotPossible(f"no chart gives cone {cone}; there are: {', '.join(charts())}")


def bending(cone: str, climb: float, chart: str | None = None) -> Bend:
    """Temperature at which a cone bends.

    Args:
        cone: its number as printed, such as "010".
        climb: K/h over the last 100 degC.
        chart: name of the chart; the newest that gives the cone when not named.
    """
    if climb <= 0:
        raise NotPossible("a cone is read against the climb of the last 100 degC, above zero")
    row, rates, values = _row(cone, chart)
    half = HALF if rates.min() / 1.5 <= climb <= rates.max() * 1.5 else HALF_OTHER_RATE
    if len(rates) == 1:
        value = float(values[0])
    else:
        held = float(np.clip(climb, rates[0], rates[-1]))
        value = float(np.interp(np.log(held), np.log(rates), values))
    return Bend(cone, value, half, row["name"], row["source"])


def cone_energy(cone: str, chart: str | None = None) -> float:
    """Activation energy [J/mol] of a cone's bending, from its row of the chart.

    The slope of ln(climb / T²) over 1/T by least squares. Source: Kissinger 1957, Anal. Chem. 29.
    """
    _, rates, values = _row(cone, chart)
    if len(rates) < 2:
        raise NotPossible(f"the chart gives cone {cone} at one climb only")
    kelvin = values + ZERO_CELSIUS
    slope = np.polyfit(1 / kelvin, np.log(rates / kelvin**2), 1)[0]
    return float(-slope * GAS_CONSTANT)


def cone_evidence(cone: str, state: str, climb: float, chart: str | None = None) -> Evidence:
    """What a cone says: standing is a bound from above, bent a value, down a bound from below."""
    if state not in STATES:
        raise NotPossible(f"a cone is standing, bent or down, and not {state}")
    bend = bending(cone, climb, chart)
    return Evidence("cone", bend.value, bend.half, STATES[state], bend.source)
