"""The one change for the next firing that is most likely to move what fell short, and its proof."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any, NamedTuple

from fieldbook.advice.fire import peak_limit, wanted_peak, wettest_load
from fieldbook.advice.rules import Case
from fieldbook.advice.wording import percent

SHARE_THAT_COUNTS = 3.0
"""% of the bricks lost to one outcome, below which there is nothing to move; common practice."""
STEP = 25.0
"""K: a change of peak large enough to show and small enough to be safe; common practice."""
HALVED = 0.5
"""A good change is hoped to halve the loss it is aimed at; common practice."""


class Trial(NamedTuple):
    """One change, what it is expected to do, and how many bricks would show it."""

    change: str
    do: str
    """The change in the imperative, without a full stop."""
    why: str
    numbers: Mapping[str, Any]
    bricks: int


def counts_of(case: Case) -> tuple[dict[str, int], int]:
    """Bricks by how they came out, and all of them."""
    names = ("sound", "cracked", "soft", "overfired", "lost")
    rows = case.entry.unloaded
    counts = {name: sum(getattr(row, name) or 0 for row in rows) for name in names}
    return counts, sum(counts.values())


def bricks_to_show(share: float, hoped: float) -> int:
    """Bricks a firing needs for a fall of a loss from one share to another to be no chance.

    Two proportions, each of so many bricks, 95 % one-sided with four chances in five of seeing it
    (Fleiss, Statistical Methods for Rates and Proportions, without continuity; from memory).
    """
    mean = (share + hoped) / 2
    spread = 1.645 * math.sqrt(2 * mean * (1 - mean))
    spread += 0.842 * math.sqrt(share * (1 - share) + hoped * (1 - hoped))
    return math.ceil((spread / (share - hoped)) ** 2)


def worst_of(case: Case) -> tuple[str, int, int] | None:
    """The outcome that most bricks were lost to, how many, of how many; None if hardly any."""
    counts, total = counts_of(case)
    losses = {name: count for name, count in counts.items() if name != "sound"}
    if not total:
        return None
    name = max(losses, key=lambda each: (losses[each], each))
    return (name, losses[name], total) if losses[name] * 100 >= SHARE_THAT_COUNTS * total else None


def next_trial(case: Case) -> Trial | None:
    """The one change most likely to move what fell short most; None if none is known."""
    worst = worst_of(case)
    if worst is None:
        return None
    name, count, total = worst
    found = CHANGES[name](case)
    if found is None:
        return None
    change, do, because, numbers = found
    share = count / total
    words = {"soft": "soft", "cracked": "cracked", "overfired": "overfired", "lost": "burst"}[name]
    why = f"{count} of {total} were {words} ({percent(100 * share)}); {because}."
    show = bricks_to_show(share, share * HALVED)
    numbers = {"count": [count, "bricks"], "of": [total, "bricks"], **numbers}
    return Trial(change, do, why, numbers, show)


Change = tuple[str, str, str, dict[str, Any]] | None


def _soft(case: Case) -> Change:
    """More heat where it was too little; a longer hold where the hottest place has no room."""
    peak = case.result("peak")
    reached = peak.number if peak else None
    wanted = wanted_peak(case)
    if reached is None:
        return None
    hottest = float(peak.extra.get("hottest", reached)) if peak else reached
    room = peak_limit(case) - hottest - 15
    if room >= STEP:
        goal = max(wanted or 0.0, reached) + STEP
        do = f"Go to {case.say.temperature(goal)} at the coldest place"
        because = f"the coldest place reached {case.say.temperature(reached)}"
        return "more peak", do, because, {"peak": [goal, "degC"], "was": [reached, "degC"]}
    do = f"Hold {case.say.hours(2)} longer at {case.say.temperature(reached)}"
    because = (
        f"the hottest place has no more than {case.say.difference(max(0.0, room))} of room left"
    )
    return "longer hold", do, because, {"hold_more": [2, "h"], "peak": [reached, "degC"]}


def _cracked(case: Case) -> Change:
    """The slower of heating and cooling, whichever the curve shows was too fast."""
    fall = case.fact("fastest_fall_through_quartz")
    rate = fall[0] if fall else None
    if rate is not None and rate > 50:
        do = f"Seal tighter and cool no faster than {case.say.rate(50)} through "
        do += case.say.temperature(573)
        because = (
            f"it fell {case.say.rate(rate)} through quartz, where {case.say.rate(50)} is the most"
        )
        return "slower fall", do, because, {"fall": [rate, "K/h"], "most": [50, "K/h"]}
    steep = case.number("steepest")
    if steep is not None and steep > 100:
        do = f"Climb no faster than {case.say.rate(50)} below {case.say.temperature(600)}"
        because = f"its steepest climb was {case.say.rate(steep)}"
        return "slower climb", do, because, {"steepest": [steep, "K/h"], "most": [50, "K/h"]}
    return None


def _overfired(case: Case) -> Change:
    """Less heat at the hottest place: a lower peak or a more even fire."""
    peak = case.result("peak")
    if peak is None or "hottest" not in peak.extra:
        return None
    hottest, coldest = float(peak.extra["hottest"]), peak.number
    gap = hottest - coldest
    if gap > 60:
        do = "Leave wider gaps at the cold place and smaller fires at the hot one"
        because = f"the hottest place was {case.say.difference(gap)} above the coldest"
        return "other setting", do, because, {"spread": [gap, "K"]}
    do = f"Stop at {case.say.temperature(hottest - STEP)} at the hottest place"
    because = f"it reached {case.say.temperature(hottest)} there"
    return "less peak", do, because, {"peak": [hottest - STEP, "degC"], "was": [hottest, "degC"]}


def _lost(case: Case) -> Change:
    """Bricks that burst did so by steam: a drier load, or a slower first stage."""
    wet = wettest_load(case)
    if wet is not None and wet[1] > wet[2]:
        do = f"Dry the load to {percent(wet[2])} water before lighting"
        because = f"batch {wet[0]} went in at {percent(wet[1])}"
        return "drier load", do, because, {"moisture": [wet[1], "%"], "target": [wet[2], "%"]}
    low, rate = case.say.temperature(150), case.say.rate(15)
    do = f"Climb no faster than {rate} below {low}"
    because = "bricks that burst early burst by steam"
    return "slower first stage", do, because, {"climb": [15, "K/h"], "below": [150, "degC"]}


CHANGES = {"soft": _soft, "cracked": _cracked, "overfired": _overfired, "lost": _lost}
"""What to change for each outcome that fell short."""
