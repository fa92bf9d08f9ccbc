"""Bricks and mortar for a wall, paving, an arch, a dome, a cylinder."""

from math import ceil, pi, sqrt
from typing import Any, NamedTuple

from fieldbook.errors import NotPossible
from fieldbook.quantities import in_units

WIDEST_JOINT = 0.015  # m; wider ones ask for tapered bricks, common practice


def _refuse(**sides: float) -> None:
    for name, value in sides.items():
        if value <= 0:
            raise NotPossible(f"the {name} must be above zero")


@in_units(length="m", height="m", joint="m", leaves="1", returns="1/m2")
def bricks_per_area(length: Any, height: Any, joint: Any, leaves: Any = 1) -> Any:
    """Bricks in a square metre of wall, or of paving with width in place of height.

    Formula:
        n = leaves / ((L + j)(H + j))
    Args:
        length: [m] of the brick as laid, not nominal: a nominal size holds the joint already.
        height: [m] of the brick as laid.
        joint: [m] of mortar.
        leaves: [1] half-bricks of thickness, 1 when not given.
    Returns:
        [1/m2]
    Source:
        Geometry; common estimating practice.
    """
    return leaves / ((length + joint) * (height + joint))


@in_units(length="m", width="m", height="m", joint="m", returns="1/m3")
def bricks_per_volume(length: Any, width: Any, height: Any, joint: Any) -> Any:
    """Bricks in a cubic metre of brickwork.

    Formula:
        n = 1 / ((L + j)(W + j)(H + j))
    Args:
        length: [m] of the brick.
        width: [m] of the brick.
        height: [m] of the brick.
        joint: [m] of mortar.
    Returns:
        [1/m3]
    Source:
        Geometry; common estimating practice.
    """
    return 1 / ((length + joint) * (width + joint) * (height + joint))


def mortar_share(length: float, width: float, height: float, joint: float) -> float:
    """Mortar in brickwork, m3 for each m3."""
    bricks = bricks_per_volume.plain(length, width, height, joint)
    return float(1 - bricks * length * width * height)


class Ring(NamedTuple):
    """Bricks round an arch, a ring or one course of a cylinder."""

    bricks: int
    inner_joint: float
    """m, at the inner face."""
    outer_joint: float
    """m, at the outer face."""
    tapered: bool
    """The outer joint is too wide for bricks with square sides."""


def ring(inner_arc: float, outer_arc: float, face: float, joint: float) -> Ring:
    """Whole bricks along an arc, from its inner face.

    Args:
        inner_arc: m, length at the inner face.
        outer_arc: m, length at the outer face.
        face: m, width of a brick along the arc.
        joint: m, the least there may be at the inner face.
    """
    _refuse(arc=inner_arc, face=face)
    count = int(inner_arc / (face + joint) + 1e-9)
    if count < 1:
        raise NotPossible("the arc is shorter than one brick")
    outer = outer_arc / count - face
    return Ring(count, inner_arc / count - face, outer, outer > WIDEST_JOINT)


def full_ring(inner_diameter: float, depth: float, face: float, joint: float) -> Ring:
    """Bricks round a full circle of an inner diameter, standing `depth` deep (m)."""
    return ring(pi * inner_diameter, pi * (inner_diameter + 2 * depth), face, joint)


def arch(span: float, rise: float, depth: float, face: float, joint: float) -> Ring:
    """Bricks of one ring of an arch of a span and a rise; half a circle where the rise is half."""
    _refuse(span=span, rise=rise)
    if rise > span / 2 + 1e-9:
        raise NotPossible("an arch that rises more than half its span is no circle's part")
    radius = (span**2 / 4 + rise**2) / (2 * rise)
    angle = _arc_angle(span, rise)
    return ring(radius * angle, (radius + depth) * angle, face, joint)


def _arc_angle(span: float, rise: float) -> float:
    from math import atan2

    return 4 * atan2(rise, span / 2)


@in_units(inner="m", outer="m", height="m", returns="m3")
def cylinder_volume(inner: Any, outer: Any, height: Any) -> Any:
    """Volume of the wall of a cylinder.

    Formula:
        V = pi h (r2^2 - r1^2)
    Args:
        inner: [m] radius.
        outer: [m] radius.
        height: [m]
    Returns:
        [m3]
    Raises:
        NotPossible: the outer radius is not the greater.
    Source:
        Geometry.
    """
    if outer <= inner or inner < 0:
        raise NotPossible("cylinder_volume: the outer radius must be greater than the inner one")
    return pi * height * (outer**2 - inner**2)


def cylinder_bricks(
    inner_diameter: float, height: float, brick: tuple[float, float, float], joint: float
) -> int:
    """Bricks of a cylinder one brick deep: laid flat, headers inward.

    Args:
        inner_diameter: m.
        height: m.
        brick: length, width, height, m; the width shows inside.
        joint: m.
    """
    length, width, rise = brick
    _refuse(diameter=inner_diameter, height=height, rise=rise)
    courses = ceil(height / (rise + joint) - 1e-9)
    return courses * full_ring(inner_diameter, length, width, joint).bricks


def half_ellipsoid_area(a: float, b: float, c: float) -> float:
    """Area of half an ellipsoid of half-axes a, b and height c.

    Source: Knud Thomsen's approximation, p = 1.6075, within 1.1 %.
    """
    _refuse(a=a, b=b, c=c)
    p = 1.6075
    mean = ((a * b) ** p + (a * c) ** p + (b * c) ** p) / 3
    return float(2 * pi * mean ** (1 / p))


def dome_bricks(
    half_axes: tuple[float, float], rise: float, depth: float, face: float, *, tapered: bool
) -> int:
    """Bricks of a dome: inner area over the face for square ones, outer area for tapered ones.

    Args:
        half_axes: m, of the inside.
        rise: m, of the inside.
        depth: m, how thick the dome is.
        face: m2, what one brick shows.
        tapered: whether bricks are cut to a taper.
    """
    _refuse(face=face)
    grow = depth if tapered else 0.0
    area = half_ellipsoid_area(half_axes[0] + grow, half_axes[1] + grow, rise + grow)
    return ceil(area / face - 1e-9)


def hearth_bricks(outer_radius: float, length: float, width: float) -> float:
    """Bricks that cover a round hearth, by area."""
    _refuse(radius=outer_radius, length=length, width=width)
    return pi * outer_radius**2 / (length * width)


def with_losses(needed: float, yields: tuple[float, ...]) -> int:
    """How many to make for a number needed, by the share that comes through each stage."""
    made = needed
    for share in yields:
        if not 0 < share <= 1:
            raise NotPossible("the share that comes through a stage lies within 0 to 1")
        made /= share
    return ceil(made - 1e-9)


def cube_kiln(bricks: float, brick_volume: float) -> tuple[float, float, float]:
    """Side [m], area of the four faces and top [m2], area by volume [1/m] of a cube of bricks."""
    _refuse(bricks=bricks, volume=brick_volume)
    side = (bricks * brick_volume) ** (1 / 3)
    return side, 4 * side**2, 4 / side


def diagonal(a: float, b: float) -> float:
    """Diagonal of a rectangle, m: equal diagonals make a square corner."""
    return sqrt(a**2 + b**2)
