"""How many bricks and how much mortar a build takes, by its geometry."""

from __future__ import annotations

import math
from typing import Any

from fieldbook.advice.context import Context
from fieldbook.advice.derive import Known, default, reading, united
from fieldbook.advice.results import Input
from fieldbook.calc import masonry
from fieldbook.calc.uncertainty import nominal
from fieldbook.errors import NotPossible
from fieldbook.frozen import frozen
from fieldbook.records import Build

JOINT, HOT_JOINT = 0.010, 0.005
"""[m] Where the maker wrote none; common practice."""
HOT = 200.0
"""[°C] Hot work: thin joints, no cement; common practice."""
NEEDS = {
    "wall": ("length", "height"),
    "flat lining": ("length", "height"),
    "paving": ("length", "width"),
    "arch": ("span", "rise"),
    "dome": ("inside_diameter",),
    "cylinder": ("inside_diameter", "height"),
}
"""What each form must have."""


@frozen
class Pieces:
    """What a build is measured by."""

    form: str
    sizes: dict[str, Known]
    brick: dict[str, Known]
    joint: Known
    leaves: int
    inputs: tuple[Input, ...]
    needs: tuple[str, ...]

    def size(self, name: str) -> float:
        """One size [m], without its uncertainty."""
        return self.sizes[name].value

    @property
    def lwh(self) -> tuple[float, float, float]:
        """The brick [m]."""
        return (self.brick["length"].value, self.brick["width"].value, self.brick["height"].value)

    @property
    def thickness(self) -> float:
        """[m] Of so many half-brick leaves and the joints between them."""
        _, width, _ = self.lwh
        return self.leaves * width + (self.leaves - 1) * self.joint.value


@frozen
class Count:
    """Bricks by geometry, before any are spared, and the mortar between them."""

    bricks: Any
    """A number, with uncertainty where the form is a plain area."""
    mortar: float
    """[m³]"""
    area: float
    """[m²] Of the inner or the front face."""
    method: str
    formula: str
    extra: dict[str, Any]


def pieces_of(build: Build, context: Context) -> Pieces:
    """The sizes of a build as numbers, with what is missing."""
    form = build.form or ""
    names = ("length", "height", "width", "inside_diameter", "span", "rise")
    sizes = {
        name: reading(context, getattr(build, name), name.replace("_", " "), name) for name in names
    }
    brick = {
        side: reading(
            context, getattr(build.brick, side, None), f"{side} of the brick", f"brick.{side}"
        )
        for side in ("length", "width", "height")
    }
    joint = reading(context, build.joint, "joint", "joint")
    if not joint.there:
        hot = build.hot_face is not None and build.hot_face.value > HOT
        thick = HOT_JOINT if hot else JOINT
        joint = default("joint", thick, "m", f"{1000 * thick:g} mm", "common practice")
    wanted = NEEDS.get(form, ())
    needs = united(
        [*(sizes[name].needs for name in wanted), *(side.needs for side in brick.values())]
    )
    if not wanted:
        needs = ("form", *needs)
    used = [*(sizes[name] for name in wanted), *brick.values(), joint]
    inputs = united(part.inputs for part in used if part.there)
    return Pieces(form, sizes, brick, joint, max(1, build.leaves or 1), inputs, needs)


def count(pieces: Pieces) -> Count:
    """Bricks and mortar of a build whose sizes are all known.

    Raises:
        NotPossible: sizes that make no such form.
    """
    sizes = [part.value for part in pieces.sizes.values() if part.there] + list(pieces.lwh)
    if min(sizes) <= 0 or pieces.joint.value < 0:
        raise NotPossible("a size must be greater than zero")
    return _FORMS[pieces.form](pieces)


def _plain_wall(pieces: Pieces) -> Count:
    length, height = pieces.sizes["length"], pieces.sizes["height"]
    per_area = masonry.bricks_per_area.plain(
        pieces.brick["length"].number, pieces.brick["height"].number,
        pieces.joint.number, pieces.leaves,
    )  # fmt: skip
    bricks = length.number * height.number * per_area
    area = length.value * height.value
    mortar = area * pieces.thickness - float(nominal(bricks)) * _volume(pieces)
    words = f"face area over one brick with its joint, {pieces.leaves} half-brick leaves thick"
    return Count(bricks, mortar, area, words, masonry.bricks_per_area.formula, {})


def _paving(pieces: Pieces) -> Count:
    length, width = pieces.sizes["length"], pieces.sizes["width"]
    per_area = masonry.bricks_per_area.plain(
        pieces.brick["length"].number, pieces.brick["width"].number, pieces.joint.number
    )
    bricks = length.number * width.number * per_area
    area = length.value * width.value
    mortar = area * pieces.lwh[2] - float(nominal(bricks)) * _volume(pieces)
    words = "area over one brick laid flat with its joint"
    return Count(bricks, mortar, area, words, masonry.bricks_per_area.formula, {})


def _arch(pieces: Pieces) -> Count:
    span, rise = pieces.size("span"), pieces.size("rise")
    length, width, height = pieces.lwh
    joint = pieces.joint.value
    along = pieces.sizes["length"]
    rows = math.ceil(along.value / (length + joint) - 1e-9) if along.there else 1
    radius = (span**2 / 4 + rise**2) / (2 * rise)
    angle = 4 * math.atan2(rise, span / 2)
    total, rings = 0, []
    for leaf in range(pieces.leaves):
        inner = radius + leaf * (width + joint)
        ring = masonry.ring(inner * angle, (inner + width) * angle, height, joint)
        rings.append(ring)
        total += ring.bricks * rows
    deep = along.value if along.there else length
    outer = radius + pieces.thickness
    shell = angle / 2 * (outer**2 - radius**2) * deep
    extra = {"rings": [ring.bricks for ring in rings], "rows": rows, **_taper(rings)}
    if not along.there:
        extra["length_taken"] = "one brick"
    mortar = shell - total * _volume(pieces)
    words = "whole bricks along the inner arc, each ring half a brick deep"
    return Count(float(total), mortar, radius * angle * deep, words, "n = arc / (H + j)", extra)


def _taper(rings: list[masonry.Ring]) -> dict[str, Any]:
    widest = max(rings, key=lambda ring: ring.outer_joint)
    told: dict[str, Any] = {"outer_joint": {"value": 1000 * widest.outer_joint, "unit": "mm"}}
    if widest.tapered:
        told["cut"] = "cut tapered bricks, or use thinner ones: the outer joint is above 15 mm"
    return told


def _dome(pieces: Pieces) -> Count:
    half = pieces.size("inside_diameter") / 2
    given = pieces.sizes["rise"]
    rise = given.value if given.there else half
    length, width, height = pieces.lwh
    joint = pieces.joint.value
    face = (length + joint) * (height + joint)
    bricks = 0
    for leaf in range(pieces.leaves):
        grow = leaf * (width + joint)
        bricks += masonry.dome_bricks(
            (half + grow, half + grow), rise + grow, width, face, tapered=False
        )
    thick = pieces.thickness
    shell = 2 / 3 * math.pi * ((half + thick) ** 2 * (rise + thick) - half**2 * rise)
    area = masonry.half_ellipsoid_area(half, half, rise)
    extra = {} if given.there else {"rise_taken": "half the diameter"}
    words = "inner area over the face of one brick with its joint, laid as stretchers"
    mortar = shell - bricks * _volume(pieces)
    return Count(float(bricks), mortar, area, words, "n = A / ((L + j)(H + j))", extra)


def _cylinder(pieces: Pieces) -> Count:
    across, tall = pieces.size("inside_diameter"), pieces.size("height")
    length, width, height = pieces.lwh
    joint = pieces.joint.value
    bricks, rings, laid = 0, [], ""
    for leaf in range(pieces.leaves):
        inner = across + 2 * leaf * (width + joint)
        ring, rises, laid = _course(inner, (length, width, height), joint)
        rings.append(ring)
        bricks += ring.bricks * math.ceil(tall / (rises + joint) - 1e-9)
    inside = across / 2
    shell = masonry.cylinder_volume.plain(inside, inside + pieces.thickness, tall)
    extra = {"laid": laid, "ring": [ring.bricks for ring in rings], **_taper(rings)}
    mortar = shell - bricks * _volume(pieces)
    words = f"whole bricks round the inner face, {laid}, times the courses"
    area = math.pi * across * tall
    return Count(
        float(bricks), mortar, area, words, "n = pi D / (face + j) x h / (rise + j)", extra
    )


def _course(
    across: float, brick: tuple[float, float, float], joint: float
) -> tuple[masonry.Ring, float, str]:
    """One ring half a brick deep: stretchers where they go round, else bricks stood on end."""
    length, width, height = brick
    try:
        flat = masonry.full_ring(across, width, length, joint)
    except NotPossible:
        flat = None
    if flat is not None and not flat.tapered:
        return flat, height, "laid flat as stretchers"
    return masonry.full_ring(across, width, height, joint), length, "stood on end"


def _volume(pieces: Pieces) -> float:
    length, width, height = pieces.lwh
    return length * width * height


_FORMS = {
    "wall": _plain_wall,
    "flat lining": _plain_wall,
    "paving": _paving,
    "arch": _arch,
    "dome": _dome,
    "cylinder": _cylinder,
}
