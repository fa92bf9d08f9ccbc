"""What a few bricks say of the rest: mean, scatter, interval and limit of a sample."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from fieldbook.advice.derive import CONTRADICTS, Known, lines_of, shares, told, united
from fieldbook.advice.results import Result
from fieldbook.calc.statistics import (
    interval_of_mean,
    lower_limit,
    standard_deviation,
    upper_limit,
)
from fieldbook.calc.uncertainty import expanded, nominal

SHARE, CONFIDENCE = 0.90, 0.95
"""Of a limit: 90 of 100 bricks, at 95 in 100. The factor is exact: NIST e-Handbook 7.2.6.3."""
FEWEST_FOR_GROUPS = 8
"""Bricks from which on two kinds among them can be told apart; ours."""


def sample(
    name: str,
    bricks: Mapping[str, Known],
    unit: str,
    formula: Any = None,
    *,
    method: str = "",
    limit: str = "",
    extra: Mapping[str, Any] | None = None,
    **more: Any,
) -> Result:
    """The mean of some bricks, each beside it, with what the sample says of the rest.

    `limit` is `lower` or `both` where a limit for single bricks is wanted. `plus_minus` is that
    of measuring the mean: what all readings share stays whole in it, what is independent from
    brick to brick grows less with their number. A brick that was not measured is left out of
    `each`; one whose readings contradict each other stands there as None.
    """
    known = {brick: part for brick, part in bricks.items() if part.there}
    words = {**told(formula, method), **more}
    if not known:
        return _unmeasured(name, bricks, unit, dict(extra or {}), words)
    mean = sum(part.number for part in known.values()) / len(known)
    values = [part.value for part in known.values()]
    inputs = united(part.inputs for part in known.values())
    return Result(
        name=name,
        value=float(nominal(mean)),
        unit=unit,
        plus_minus=expanded(mean) or None,
        n=len(values),
        each={
            brick: part.value if part.there else None
            for brick, part in bricks.items()
            if part.there or not part.needs
        },
        from_=lines_of(inputs),
        inputs=inputs,
        budget=shares(mean),
        extra={**(extra or {}), **limits(values, limit), **(groups(values) if limit else {})},
        **{**scatter(values), **words},
    )


def _unmeasured(
    name: str,
    bricks: Mapping[str, Known],
    unit: str,
    extra: dict[str, Any],
    words: dict[str, Any],
) -> Result:
    """No brick tells it: what they lack, or that their readings contradict each other."""
    needs = united(part.needs for part in bricks.values())
    inputs = united(part.inputs for part in bricks.values())
    words = words if needs else {"because": CONTRADICTS, **words}
    return Result(
        name=name, value=None, unit=unit, needs=needs, inputs=inputs, extra=extra, **words
    )


def scatter(values: list[float]) -> dict[str, Any]:
    """Standard deviation and 95 % interval of the mean; nothing of a single brick."""
    if len(values) < 2:
        return {}
    interval = interval_of_mean(values)
    return {"sd": standard_deviation(values), "interval": (interval.low, interval.high)}


def limits(values: list[float], wanted: str = "lower") -> dict[str, Any]:
    """What 90 of 100 such bricks exceed (`lower`) or stay below (`both`) at 95 in 100, stated."""
    if len(values) < 2 or not wanted:
        return {}
    stated = {"limit_share": SHARE, "limit_confidence": CONFIDENCE}
    found = {"lower_limit": lower_limit(values, SHARE, CONFIDENCE)}
    if wanted == "both":
        found["upper_limit"] = upper_limit(values, SHARE, CONFIDENCE)
    return {**found, **stated}


def groups(values: list[float]) -> dict[str, Any]:
    """Two kinds of brick under one name: a gap wider than twice the scatter on either side of it.

    A mean of both describes neither. Looked for among eight bricks or more, two on each side.
    """
    if len(values) < FEWEST_FOR_GROUPS:
        return {}
    ordered = sorted(values)
    splits = range(2, len(ordered) - 1)
    at = max(splits, key=lambda i: ordered[i] - ordered[i - 1])
    low, high = ordered[:at], ordered[at:]
    squares = sum(standard_deviation(part) ** 2 * (len(part) - 1) for part in (low, high))
    within = (squares / (len(ordered) - 2)) ** 0.5
    if ordered[at] - ordered[at - 1] <= 2 * within:
        return {}
    told = [{"n": len(part), "mean": sum(part) / len(part)} for part in (low, high)]
    return {"two_groups": told}
