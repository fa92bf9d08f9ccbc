"""A derived value with all that stands behind it."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import field, replace
from datetime import datetime
from types import MappingProxyType
from typing import Any, NamedTuple

from fieldbook.frozen import frozen

NOTHING: Mapping[str, Any] = MappingProxyType({})


class Input(NamedTuple):
    """One thing a result was worked out from."""

    name: str
    """What it is in the words of the formula, such as `dry mass of brick 1`."""
    text: str
    """As the maker wrote it, or as it was derived."""
    where: str
    """File and line; empty for a default."""
    source: str = ""
    """Of a default: where it comes from."""


class Share(NamedTuple):
    """How much one input adds to the uncertainty of a result."""

    label: str
    plus_minus: float


@frozen(kw_only=True)
class Result:
    """One value of `derived`: what it is, how sure, and where it comes from.

    `value` is a float in `unit`, a str (a word, or an ISO 8601 time with unit `time`), a list of
    dicts with `name`, or None where it cannot be had; then `needs` or `because` says why.
    """

    name: str
    value: float | int | str | list[dict[str, Any]] | None
    unit: str | None
    plus_minus: float | None = None
    low: float | None = None
    high: float | None = None
    interval: tuple[Any, Any] | None = None
    n: int | None = None
    sd: float | None = None
    each: Mapping[str, Any] = field(default_factory=dict)
    extra: Mapping[str, Any] = field(default_factory=dict)
    """More that belongs to it and is shown in JSON, such as `hours` of a soak."""
    method: str = ""
    source: str = ""
    from_: tuple[str, ...] = ()
    needs: tuple[str, ...] = ()
    because: str = ""
    """Why there is no value, or why it is withheld, in one sentence."""
    formula: str = ""
    inputs: tuple[Input, ...] = ()
    budget: tuple[Share, ...] = ()
    age: float | None = None
    """Hours between the last observation it rests on and now, where that matters."""

    @property
    def known(self) -> bool:
        """Whether there is a value."""
        return self.value is not None

    @property
    def number(self) -> float:
        """The value as a float; NaN where there is none."""
        return float(self.value) if isinstance(self.value, int | float) else math.nan

    def but(self, **changes: Any) -> Result:
        """The same with some fields changed."""
        return replace(self, **changes)

    def json(self) -> dict[str, Any]:
        """As `show --json` prints it: what is not there is left out."""
        answer: dict[str, Any] = {"value": _plain(self.value), "unit": self.unit}
        if self.value is None and not self.unit:
            del answer["unit"]
        optional = {
            "plus_minus": self.plus_minus,
            "low": self.low,
            "high": self.high,
            "interval": list(self.interval) if self.interval else None,
            "n": self.n,
            "sd": self.sd,
            "each": dict(self.each) or None,
            **self.extra,
            "method": self.method or None,
            "source": self.source or None,
            "from": list(self.from_) or None,
            "needs": list(self.needs) or None,
            "because": self.because or None,
            "age": self.age,
        }
        answer.update({key: _plain(value) for key, value in optional.items() if value is not None})
        return answer


def _plain(value: Any) -> Any:
    """JSON's own types: floats to ten significant digits, so that machines agree."""
    if isinstance(value, bool | str | int) or value is None:
        return value
    if isinstance(value, datetime):
        return value.isoformat()
    if isinstance(value, Mapping):
        return {str(key): _plain(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(item) for item in value]
    number = float(value)
    return float(f"{number:.10g}") if math.isfinite(number) else None


@frozen(kw_only=True)
class Verdict:
    """A grade, or why there is none."""

    standard: str
    edition: str
    grade: str | None
    sure: str
    because: tuple[str, ...] = ()
    short_of_next: tuple[str, ...] = ()
    settle: str = ""
    """The cheapest measurement that would settle a verdict that is withheld."""
    source: str = ""

    def json(self) -> dict[str, Any]:
        """As `show --json` prints it."""
        answer: dict[str, Any] = {
            "standard": self.standard,
            "edition": self.edition,
            "grade": self.grade,
            "sure": self.sure,
            "because": list(self.because),
            "short_of_next": list(self.short_of_next),
        }
        if self.settle:
            answer["settle"] = self.settle
        if self.source:
            answer["source"] = self.source
        return answer
