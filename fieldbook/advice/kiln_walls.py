"""The shell of a kiln: how much of it heats up, and what goes out through it."""

from __future__ import annotations

import math

from fieldbook.advice.results import Input
from fieldbook.frozen import frozen
from fieldbook.quantities import Amount
from fieldbook.records import Kiln

WALL_DENSITY = 1700.0
"""kg/m3 of brick and clay mortar; building brick 1600 to 2080 (ASHRAE)."""
WALL_CONDUCTIVITY = (0.5, 0.7, 1.0)
"""W/(m K) of brick and earth walls: 0.35 adobe to 1.02 dense brick (ASHRAE)."""
WALL_THICKNESS = 0.25
"""m, where none is written: a small round kiln has at least 254 mm (Agumba and Abbott 1996)."""
OUTER_FILM = 12.0
"""W/(m2 K) from a warm wall to still air, convection and radiation; from memory."""
AIR = 20.0
"""degC round the kiln where nobody wrote it; common practice."""


@frozen
class Walls:
    """What the walls are to the heat balance: low, middle and high where not written."""

    area: float
    """m2, outside, walls and top."""
    thickness: float
    """m"""
    mass: tuple[float, float, float]
    """kg"""
    conductivity: tuple[float, float, float]
    """W/(m K)"""
    inputs: tuple[Input, ...]

    def flux(self, inside: float, i: int) -> float:
        """W/m2 outwards at a mean inner face [degC] with the low, middle or high conductivity."""
        resistance = self.thickness / self.conductivity[i] + 1 / OUTER_FILM
        return max(inside - AIR, 0.0) / resistance


def walls_of(kiln: Kiln) -> Walls | None:
    """The shell of a kiln as written; its size fills in what is not. None without a size."""
    inside = _inside(kiln)
    thickness = _value(kiln.wall_thickness) or WALL_THICKNESS
    area = _value(kiln.wall_area) or (_outer_area(inside, thickness) if inside else None)
    if area is None:
        return None
    inputs = [
        _said("wall area", kiln.wall_area, f"{area:.1f} m2", "from its size inside and its walls"),
        _said("wall thickness", kiln.wall_thickness, f"{thickness * 1000:.0f} mm", "from memory"),
    ]
    written = _value(kiln.wall_mass)
    mass = written or area * thickness * WALL_DENSITY
    inputs.append(
        _said("mass that heats up", kiln.wall_mass, f"{mass:.0f} kg", "area, thickness, 1700 kg/m3")
    )
    share = 0.1 if written else 0.3
    conductivity = _value(kiln.wall_conductivity)
    inputs.append(
        _said("conductivity of the wall", kiln.wall_conductivity, "0.5 to 1 W/(m K)", "ASHRAE")
    )
    return Walls(
        area,
        thickness,
        (mass * (1 - share), mass, mass * (1 + share)),
        (conductivity,) * 3 if conductivity else WALL_CONDUCTIVITY,
        tuple(inputs),
    )


def inside_volume(kiln: Kiln) -> float | None:
    """m3 inside, from its sides or its diameter."""
    inside = _inside(kiln)
    if inside is None:
        return None
    a, b, h, round_ = inside
    return (math.pi / 4 * a * a if round_ else a * b) * h


def _inside(kiln: Kiln) -> tuple[float, float, float, bool] | None:
    height, diameter = _value(kiln.height), _value(kiln.diameter)
    length, width = _value(kiln.length), _value(kiln.width)
    if height and diameter:
        return diameter, diameter, height, True
    return (length, width, height, False) if height and length and width else None


def _outer_area(inside: tuple[float, float, float, bool], thickness: float) -> float:
    a, b, h, round_ = inside
    a, b, h = a + 2 * thickness, b + 2 * thickness, h + thickness
    if round_:
        return math.pi * a * h + math.pi / 4 * a * a
    return 2 * (a + b) * h + a * b


def _value(amount: Amount | None) -> float | None:
    return amount.value if amount and not amount.is_bound and amount.value > 0 else None


def _said(name: str, amount: Amount | None, text: str, source: str) -> Input:
    if _value(amount) is not None and amount is not None:
        return Input(name, amount.text, amount.where)
    return Input(name, text, "", source)
