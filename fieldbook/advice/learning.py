"""The one change for the next firing that is most likely to move what fell short, and its proof."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any, NamedTuple

from fieldbook.advice.causes import ranked
from fieldbook.advice.fire import (
    mixes_in,
    peak_limit,
    wanted_hold,
    wanted_peak,
    wettest_load,
)
from fieldbook.advice.fired_fit import heat_of
from fieldbook.advice.fitness import LEAST_BENDING, MOST_WATER
from fieldbook.advice.foretold import changes, heat_for
from fieldbook.advice.rules import Case
from fieldbook.advice.wording import percent
from fieldbook.calc.heat_work import equivalent_time, wanted_temperature

SHARE_THAT_COUNTS = 3.0
"""% of the bricks lost to one outcome, below which there is nothing to move; common practice."""
MOST_STEP = 75.0
"""K: the most a peak is raised at once, whatever a line says; common practice."""
STEP = 25.0
"""K: a change of peak large enough to show and small enough to be safe; common practice."""
LONG_HOLD = 3.0
"""h more of holding, up to which it is cheaper than a higher peak; common practice."""
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


def stage_to_blame(case: Case, kind: str) -> tuple[str, str] | None:
    """The stage whose cause the record speaks for most, and what it says; None without any."""
    losses = case.result("losses")
    rows = losses.value if losses and isinstance(losses.value, list) else []
    scores: dict[str, float] = {}
    said: dict[str, str] = {}
    for row in rows:
        if row.get("kind") != kind:
            continue
        for likely in ranked(case, str(row["name"]), row.get("causes")):
            if likely.because:
                scores[likely.stage] = scores.get(likely.stage, 0.0) + row["count"] * likely.score
                said.setdefault(likely.stage, likely.because[0])
    best = max(scores, key=lambda stage: (scores[stage], stage), default=None)
    return (best, said[best]) if best is not None and scores[best] > 0 else None


def _soft(case: Case) -> Change:
    """More heat-work where it was too little: a longer hold as long as one is enough.

    An hour more of holding costs less wood than a higher peak and risks no bending.
    """
    peak = case.result("peak")
    if peak is None:
        return None
    reached = peak.number
    wanted, done = wanted_work(case), heat_of(case.entry)
    hottest = float(peak.extra.get("hottest", reached))
    room = peak_limit(case) - hottest - 15
    learnt = heat_wanted(case)
    short = max(STEP, wanted - done) if wanted and done else STEP
    if learnt is not None and done is not None:
        short = min(max(short, learnt - done), MOST_STEP)
    because = f"the coldest place reached {case.say.temperature(reached)}"
    if wanted and done and done < wanted:
        because = f"the heat-work there was {case.say.temperature(done)} of "
        because += f"{case.say.temperature(wanted)} wanted"
        hours = hours_short(reached, done, wanted)
        if hours <= LONG_HOLD:
            return _hold(case, reached, hours, because)
    planned = wanted_peak(case) or 0.0
    goal = planned if reached < planned - 10 else reached + short
    if room >= goal - reached:
        numbers = {"peak": [goal, "degC"], "was": [reached, "degC"]}
        do = f"Go to {case.say.temperature(goal)} at the coldest place"
        return "more peak", do, because + expected(case, goal - reached), numbers
    because = f"the hottest place has only {case.say.difference(max(0.0, room))} of room left"
    return _hold(case, reached, 2.0, because)


def _hold(case: Case, reached: float, hours: float, because: str) -> Change:
    hours = max(0.5, hours)
    do = f"Hold {case.say.hours(hours)} longer at {case.say.temperature(reached)}"
    return "longer hold", do, because, {"hold_more": [hours, "h"], "peak": [reached, "degC"]}


def wanted_work(case: Case) -> float | None:
    """The one-hour temperature [degC] the plan asked for at the coldest place."""
    peak = wanted_peak(case)
    return wanted_temperature(peak, wanted_hold(case) or 1.0) if peak is not None else None


def hours_short(at: float, done: float, wanted: float) -> float:
    """Hours at a temperature that make up between two heat-works, all in degC."""
    whole = equivalent_time.plain(1.0, wanted, at) - equivalent_time.plain(1.0, done, at)
    return float(whole)


def expected(case: Case, kelvin: float) -> str:
    """What so much more heat-work is expected to do, by this mix's own bars and firings."""
    for mix in mixes_in(case):
        told = list(changes(mix, case.context, kelvin))[:2]
        if told:
            return f"; that should move {' and '.join(told)}"
    return ""


def heat_wanted(case: Case) -> float | None:
    """The one-hour temperature [degC] from which these bricks should be fit, by the mix's lines."""
    found = [
        heat
        for mix in mixes_in(case)
        for what, limit in (("cold_absorption", MOST_WATER), ("modulus_of_rupture", LEAST_BENDING))
        if (heat := heat_for(mix, case.context, what, limit)) is not None
    ]
    return max(found, default=None)


def _cracked(case: Case) -> Change:
    """The slower of drying, heating and cooling, whichever the curve shows was too fast."""
    blamed = stage_to_blame(case, "cracked")
    if blamed is None:
        return None
    stage, because = blamed
    steady, quartz = case.say.rate(50), case.say.temperature(573)
    if stage == "cooling":
        do = f"Seal tighter and cool no faster than {steady} through {quartz}"
        return "slower fall", do, because, {"most": [50, "K/h"]}
    if stage == "drying":
        do = "Shade the next batch for its first 2 days"
        return "slower drying", do, because, {"shade": [2, "days"]}
    do = f"Climb no faster than {steady} below {case.say.temperature(600)}"
    return "slower climb", do, because, {"most": [50, "K/h"]}


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
