"""Sizes of bricks against what the standards allow."""

from collections.abc import Sequence

from fieldbook.calc.uncertainty import sqrt
from fieldbook.errors import NotPossible
from fieldbook.quantities import in_units
from fieldbook.tables import load


@in_units(size="mm", returns="mm")
def size_tolerance(size: float, category: str) -> float:
    """What the mean of ten bricks may differ from the size wanted, or their range may be.

    Formula:
        max(least, c sqrt(size)); T1 c = 0.40, least 3; T2 0.25, 2; R1 0.6; R2 0.3
    Args:
        size: [mm] wanted.
        category: T1 or T2 for the mean, R1 or R2 for the range.
    Returns:
        [mm], not rounded.
    Raises:
        NotPossible: an unknown category, or no size.
    Source:
        EN 771-1, formula from memory; it gives the table of a guidance sheet for the UK.
    Example:
        >>> print(f"{size_tolerance.plain(215.0, 'T1'):.2f} {size_tolerance.plain(65.0, 'T2'):.2f}")
        5.87 2.02
    """
    rows = {row["name"]: row for row in load("brick_sizes")["tolerance"]}
    if category not in rows or size <= 0:
        raise NotPossible(f"a tolerance needs a size above zero and one of {', '.join(rows)}")
    allowed = rows[category]["coefficient"] * sqrt(size)
    return float(max(allowed, rows[category]["least"]))


@in_units(length="mm", width="mm", height="mm", returns=None)
def row_of_20(length: float, width: float, height: float, size: str) -> dict[str, bool]:
    """Whether rows of 20 bricks, laid along each side, come out at the right length.

    Formula:
        low <= row <= high, for each side
    Args:
        length: [mm] of 20 bricks end to end.
        width: [mm] of 20 bricks side by side.
        height: [mm] of 20 bricks one on the other, or on edge side by side.
        size: such as "modular 190 x 90 x 90".
    Returns:
        Side -> whether it passes.
    Raises:
        NotPossible: an unknown size.
    Source:
        IS 1077:1992.
    Example:
        >>> row_of_20.plain(3712.0, 1795.0, 1830.0, "modular 190 x 90 x 90")
        {'length': False, 'width': True, 'height': True}
    """
    rows = {row["name"]: row for row in load("brick_sizes")["row_of_20"]}
    if size not in rows:
        raise NotPossible(f"sizes are {', '.join(rows)}, not {size}")
    found = {"length": length, "width": width, "height": height}
    return {side: rows[size][side][0] <= row <= rows[size][side][1] for side, row in found.items()}


@in_units(bottom_gap="mm", corner_gaps="mm", returns="mm")
def warpage(bottom_gap: float = 0.0, corner_gaps: Sequence[float] = ()) -> float:
    """Warp of a brick: the greater of the gap under a straight edge and of the corner gaps.

    Formula:
        max(gap under the edge, greatest of the four corner gaps on a flat plate)
    Args:
        bottom_gap: [mm] between a concave face and a straight edge.
        corner_gaps: [mm] between a convex face and a flat plate, at the corners.
    Returns:
        [mm]
    Raises:
        NotPossible: a negative gap, or more than four corners.
    Source:
        IS 3495-4:1992.
    Example:
        >>> warpage.plain(1.5, [0.5, 2.0, 0.0, 1.0])
        2.0
    """
    gaps = [float(gap) for gap in corner_gaps]
    if len(gaps) > 4 or min([bottom_gap, *gaps]) < 0:
        raise NotPossible("a brick has four corners, and no gap is less than nothing")
    return float(max([bottom_gap, *gaps]))
