"""Several kinds of evidence for one temperature, combined by their widths."""

from collections.abc import Sequence
from itertools import pairwise

from fieldbook.errors import NotPossible
from fieldbook.frozen import frozen


@frozen
class Evidence:
    """What one observation says of a temperature."""

    kind: str
    """thermometer, glow, cone, draw brick, settling."""
    value: float
    """degC."""
    half: float
    """K, half-width."""
    side: str = "about"
    """about, above or below: a bound is never used as a value."""
    source: str = ""


@frozen
class Combined:
    """What all of them say together."""

    value: float | None
    half: float | None
    low: float | None
    """degC, the highest of the bounds from below."""
    high: float | None
    agree: bool
    why: str
    weights: dict[str, float]


def combined(evidence: Sequence[Evidence]) -> Combined:
    """Combine evidence: weights go with 1/half², bounds only cut the band.

    Where two say things that exclude each other nothing is averaged: the band then runs over both,
    and the answer says so.
    """
    about = [e for e in evidence if e.side == "about"]
    if any(e.half <= 0 for e in about):
        raise NotPossible("evidence without a width cannot be weighed")
    floors = [e for e in evidence if e.side == "above"]
    ceilings = [e for e in evidence if e.side == "below"]
    floor = max((e.value - e.half for e in floors), default=None)
    ceiling = min((e.value + e.half for e in ceilings), default=None)
    quarrels = _quarrels(evidence)
    why = "; ".join(quarrels)
    if not about:
        return Combined(None, None, floor, ceiling, not quarrels, why, {})
    if quarrels:
        low, high = min(e.value - e.half for e in about), max(e.value + e.half for e in about)
        middle, half = (low + high) / 2, (high - low) / 2
        weights = {e.kind: 1 / len(about) for e in about}
        return Combined(middle, half, floor, ceiling, False, why, weights)
    weight = [1 / e.half**2 for e in about]
    total = sum(weight)
    value = sum(w * e.value for w, e in zip(weight, about, strict=True)) / total
    half = total**-0.5
    weights = {}
    for w, e in zip(weight, about, strict=True):
        weights[e.kind] = weights.get(e.kind, 0.0) + w / total
    value, half = _cut(value, half, floor, ceiling)
    return Combined(value, half, floor, ceiling, True, "", weights)


def _cut(
    value: float, half: float, floor: float | None, ceiling: float | None
) -> tuple[float, float]:
    low = value - half if floor is None else max(value - half, floor)
    high = value + half if ceiling is None else min(value + half, ceiling)
    return (value, half) if low > high else ((low + high) / 2, (high - low) / 2)


def _band(e: Evidence) -> tuple[float, float]:
    low = e.value - e.half if e.side != "below" else float("-inf")
    high = e.value + e.half if e.side != "above" else float("inf")
    return low, high


def _quarrels(evidence: Sequence[Evidence]) -> list[str]:
    found = []
    for i, one in enumerate(evidence):
        for other in evidence[i + 1 :]:
            a, b = _band(one), _band(other)
            if a[0] > b[1] or b[0] > a[1]:
                found.append(
                    f"{one.kind} ({one.value:.0f} ± {one.half:.0f}) and "
                    f"{other.kind} ({other.value:.0f} ± {other.half:.0f}) exclude each other"
                )
    return found


def from_curve(
    measured: float, half: float, curve: Sequence[tuple[float, float]], kind: str = "draw brick"
) -> Evidence:
    """Heat-work [degC of one hour] from a shrinkage, by the mix's own trial bars.

    Args:
        measured: % of firing shrinkage.
        half: half-width of it.
        curve: (heat-work, shrinkage) of trial bars; shrinkage must grow with heat-work.
        kind: what was measured.
    """
    points = sorted(curve)
    if len(points) < 2:
        raise NotPossible("two trial bars at least make a shrinkage curve")
    if any(b[1] <= a[1] for a, b in pairwise(points)):
        raise NotPossible("the shrinkage of the trial bars does not grow with the fire")
    source = "the mix's own trial bars"
    low, high = _back(measured - half, points), _back(measured + half, points)
    if measured + half < points[0][1]:
        return Evidence(kind, points[0][0], 0.0, "below", source)
    if measured - half > points[-1][1]:
        return Evidence(kind, points[-1][0], 0.0, "above", source)
    return Evidence(kind, (low + high) / 2, max((high - low) / 2, 5.0), "about", source)


def _back(shrinkage: float, points: list[tuple[float, float]]) -> float:
    """The heat-work at a shrinkage, on straight lines, the end pieces carried on."""
    pairs = list(pairwise(points))
    for (w0, s0), (w1, s1) in pairs:
        if shrinkage <= s1 or (w1, s1) == points[-1]:
            return w0 + (w1 - w0) * (shrinkage - s0) / (s1 - s0)
    return points[-1][0]


def settling_shrinkage(settled: float, height: float) -> float:
    """Shrinkage [%] of a stack that has sunk; the bricks shrank no more, as they also bed in."""
    if height <= 0 or not 0 <= settled < height:
        raise NotPossible("a stack cannot settle by more than its height")
    return 100 * settled / height
