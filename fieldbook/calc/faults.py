"""Likely causes of what came out, ranked by the faults table and by what the curve shows."""

from collections.abc import Callable, Mapping
from dataclasses import fields

from fieldbook.frozen import frozen
from fieldbook.tables import load


@frozen
class CurveFacts:
    """What a firing's log and the march say; None where it is not known."""

    climb_below_150: float | None = None
    """K/h, the fastest there."""
    allowed_below_150: float | None = None
    wet_core_at_120: float | None = None
    """% of dry mass at the core when the face passed 120 °C, the upper bound."""
    hold_below_150: float | None = None
    """h with less than 10 K/h below 150 °C."""
    climb_dehydration: float | None = None
    """K/h, the fastest from 150 to 650 °C."""
    allowed_climb: float | None = None
    oxidation_hours: float | None = None
    """h from 650 to 900 °C at the core."""
    carbon_left: float | None = None
    """0 to 1, the upper bound when the core passed 900 °C."""
    air_ratio: float | None = None
    heat_work: float | None = None
    """degC of one hour, at the coldest place."""
    wanted: float | None = None
    hottest: float | None = None
    """degC, the hottest face."""
    peak_limit: float | None = None
    spread: float | None = None
    """K."""
    flame: float | None = None
    """degC, the hottest this flame can be."""
    fall_quartz: float | None = None
    """K/h, the fastest from 620 to 520 °C on the way down."""
    fall: float | None = None
    """K/h, the fastest of all."""
    allowed_fall: float | None = None
    opened_at: float | None = None
    """degC."""
    steepest: float | None = None
    """K/h, the steepest single step up."""


@frozen
class Cause:
    """One likely cause, with what speaks for it."""

    cause: str
    remedy: str
    stage: str
    source: str
    score: float
    because: tuple[str, ...]
    """What in the log explains it."""
    against: tuple[str, ...]
    """What in the log speaks against it."""


def _over(a: float | None, b: float | None) -> bool | None:
    return None if a is None or b is None else a > b


def _said(seen: bool | None, yes: str, no: str) -> tuple[bool | None, str]:
    return seen, yes if seen else no


# Each sign: whether the facts show it, and the words for it; None where they cannot tell.
SIGNS: Mapping[str, Callable[[CurveFacts], tuple[bool | None, str]]] = {
    "wet_core_hot": lambda f: _said(
        _over(f.wet_core_at_120, 1.0),
        f"up to {f.wet_core_at_120 or 0:.1f} % of water at the core when the face passed 120 °C",
        "the core was dry when the face passed 120 °C",
    ),
    "fast_below_150": lambda f: _said(
        _over(f.climb_below_150, f.allowed_below_150),
        f"{f.climb_below_150 or 0:.0f} K/h below 150 °C, "
        f"allowed {f.allowed_below_150 or 0:.0f} K/h",
        "below 150 °C the climb was within what was allowed",
    ),
    "no_hold_below_150": lambda f: _said(
        None if f.hold_below_150 is None else f.hold_below_150 < 1,
        f"no more than {f.hold_below_150 or 0:.1f} h of hold below 150 °C",
        f"{f.hold_below_150 or 0:.1f} h of hold below 150 °C",
    ),
    "fast_dehydration": lambda f: _said(
        _over(f.climb_dehydration, f.allowed_climb),
        f"{f.climb_dehydration or 0:.0f} K/h from 150 to 650 °C, "
        f"allowed {f.allowed_climb or 0:.0f} K/h",
        "from 150 to 650 °C the climb was within what was allowed",
    ),
    "short_oxidation": lambda f: _said(
        None if f.oxidation_hours is None else f.oxidation_hours < 3,
        f"{f.oxidation_hours or 0:.1f} h from 650 to 900 °C",
        f"{f.oxidation_hours or 0:.1f} h from 650 to 900 °C",
    ),
    "carbon_left": lambda f: _said(
        _over(f.carbon_left, 0.05),
        f"carbon may have been left in {100 * (f.carbon_left or 0):.0f} % of the depth at 900 °C",
        "the carbon was out before 900 °C",
    ),
    "little_air": lambda f: _said(
        None if f.air_ratio is None else f.air_ratio < 1.3,
        f"air {f.air_ratio or 0:.1f} times what the fuel needs",
        f"air {f.air_ratio or 0:.1f} times what the fuel needs",
    ),
    "little_heat_work": lambda f: _said(
        _over(f.wanted, f.heat_work),
        f"heat-work of {f.heat_work or 0:.0f} °C at the coldest place, "
        f"{f.wanted or 0:.0f} °C was wanted",
        "the heat-work wanted was done at the coldest place",
    ),
    "great_spread": lambda f: _said(
        _over(f.spread, 50.0),
        f"{f.spread or 0:.0f} K between the hottest and the coldest place",
        f"only {f.spread or 0:.0f} K between the places",
    ),
    "flame_too_cold": lambda f: _said(
        _over(f.wanted, f.flame),
        f"this flame cannot exceed {f.flame or 0:.0f} °C",
        "the flame was hot enough",
    ),
    "above_limit": lambda f: _said(
        _over(f.hottest, f.peak_limit),
        f"the hottest place reached {f.hottest or 0:.0f} °C, limit {f.peak_limit or 0:.0f} °C",
        "no place went above the mix's limit",
    ),
    "fast_through_quartz": lambda f: _said(
        _over(f.fall_quartz, 50.0),
        f"fell through 573 °C at {f.fall_quartz or 0:.0f} K/h",
        f"fell through 573 °C at {f.fall_quartz or 0:.0f} K/h only",
    ),
    "fast_fall": lambda f: _said(
        _over(f.fall, f.allowed_fall),
        f"fell at {f.fall or 0:.0f} K/h, allowed {f.allowed_fall or 0:.0f} K/h",
        "the fall was within what was allowed",
    ),
    "opened_hot": lambda f: _said(
        _over(f.opened_at, 100.0),
        f"opened at {f.opened_at or 0:.0f} °C",
        f"opened at {f.opened_at or 0:.0f} °C only",
    ),
    "sudden_climb": lambda f: _said(
        _over(f.steepest, 250.0),
        f"a step of {f.steepest or 0:.0f} K/h",
        "no sudden step in the log",
    ),
    "slow_early": lambda f: _said(
        None if f.hold_below_150 is None else f.hold_below_150 > 24,
        f"{f.hold_below_150 or 0:.0f} h of hold below 150 °C",
        "the early stage was not slow",
    ),
}


def causes(seen: str, facts: CurveFacts | None = None) -> list[Cause]:
    """Likely causes of a fault, the likeliest first.

    A cause starts at 1; each sign of the curve that speaks for it adds 1, each that speaks
    against it takes half; a cause all of whose known signs speak against it comes last.

    Args:
        seen: what was seen, in the words of the table or near them.
        facts: what the log says.
    """
    facts = facts if facts is not None else CurveFacts()
    rows = [row for row in load("faults")["fault"] if _matches(seen, row["seen"])]
    found = [_cause(row, facts) for row in rows]
    return sorted(found, key=lambda c: (-c.score, c.cause))


def _matches(seen: str, words: list[str]) -> bool:
    plain = " ".join(seen.lower().split())
    return any(plain == w or w in plain or plain in w.split(", ") for w in words)


def _cause(row: dict[str, object], facts: CurveFacts) -> Cause:
    because: list[str] = []
    against: list[str] = []
    signs = row["signs"]
    assert isinstance(signs, list)
    for name in signs:
        shown, words = SIGNS[name](facts)
        if shown is not None:
            (because if shown else against).append(words)
    return Cause(
        cause=str(row["cause"]),
        remedy=str(row["remedy"]),
        stage=str(row["stage"]),
        source=str(row["source"]),
        score=1.0 + len(because) - 0.5 * len(against),
        because=tuple(because),
        against=tuple(against),
    )


def faults_known() -> tuple[str, ...]:
    """Words for faults that the table knows, the first of each row."""
    return tuple(dict.fromkeys(row["seen"][0] for row in load("faults")["fault"]))


FACTS = tuple(f.name for f in fields(CurveFacts))
