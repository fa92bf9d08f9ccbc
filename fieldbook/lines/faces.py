"""How many bricks a build takes at the most, by its faces, with no joints: to doubt a count by."""

import math
from collections.abc import Mapping
from contextlib import suppress

from fieldbook.lines.limits import canonical


def bricks_taken(build: Mapping[str, object]) -> float | None:
    """The outer face of a build over the face of one brick, times its leaves.

    None where its form or a size is not written. Without joints it is some 5 to 20 % more than the
    bricks that go in.
    """
    brick, leaves = build.get("brick"), build.get("leaves", 1)
    if not isinstance(brick, Mapping) or not isinstance(leaves, int):
        return None
    leaves = max(1, leaves)
    with suppress(KeyError, ZeroDivisionError, OverflowError):
        form = build.get("form")
        area = _area(str(form), build, brick, leaves * _size(brick, "width"))
        side = _size(brick, "width" if form == "paving" else "height")
        taken = leaves * area / (_size(brick, "length") * side)
        return taken if taken > 0 else None
    return None


def _size(table: Mapping[str, object], name: str) -> float:
    """A length [m].

    Raises:
        KeyError: none is written there.
    """
    size = canonical(str(table[name]), "length")
    if size is None:
        raise KeyError(name)
    return size


def _area(
    form: str, build: Mapping[str, object], brick: Mapping[str, object], deep: float
) -> float:
    """The outer face [m²] of a build that is `deep` metres thick."""
    if form in ("wall", "flat lining"):
        return _size(build, "length") * _size(build, "height")
    if form == "paving":
        return _size(build, "length") * _size(build, "width")
    if form == "cylinder":
        return math.pi * (_size(build, "inside_diameter") + 2 * deep) * _size(build, "height")
    if form == "dome":
        half = _size(build, "inside_diameter") / 2
        rise = _size(build, "rise") if "rise" in build else half
        return 2 * math.pi * (max(half, rise) + deep) ** 2
    if form == "arch":
        along = _size(build, "length") if "length" in build else _size(brick, "length")
        return _arc(_size(build, "span"), _size(build, "rise"), deep) * along
    raise KeyError(form)


def _arc(span: float, rise: float, deep: float) -> float:
    radius = (span**2 / 4 + rise**2) / (2 * rise)
    return 4 * math.atan2(rise, span / 2) * (radius + deep)
