"""Which of the mixes there are suits a build, best first: no order where the bounds allow none."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

from fieldbook.advice import fitness, stock
from fieldbook.advice.context import Context
from fieldbook.advice.peak_limit import NOTHING_KNOWN
from fieldbook.advice.results import Input, Result
from fieldbook.advice.stock import Lot
from fieldbook.frozen import frozen
from fieldbook.records import Build, Mix

WORDS = ("yes", "unknown", "no")
MAY_STAND = 200.0
"""[K] Above the limit of 1050 °C of a clay nobody knows that one may stand: red clay softens
between 900 and 1250 °C (Duggal, Building Materials)."""
MARGIN = 50.0
"""[K] Between the fire of a brick and what its face may see; common practice."""


SHOCK = (
    "heat a brick of each to {:.0f} °C and let it cool, 10 times: which stays whole is not known"
)
"""What sets apart mixes that bear the heat: common practice."""


LESS = ("serves, with less to spare", "serves, with still less to spare")
"""Of what bears less than the best beyond the bounds, and of what bears less than that."""


@frozen
class Candidate:
    """One mix held against what a build asks of its bricks."""

    mix: str
    word: str
    why: str
    settle: str = ""
    bears: float | None = None
    """[°C] What a face of its best bricks bears, in the middle of its bounds."""
    half: float = 0.0
    where: str = ""


def mixes_for(build: Build, context: Context) -> Result:
    """Every mix there is, in order: those that serve, those not known, those that do not.

    Two that serve are told apart by what heat they bear, where the build is hot and their bounds
    allow it (independent bounds add in squares, JCGM 100:2008, 5.1.2); else they are the same.
    """
    told: dict[str, Any] = {
        "name": "mixes",
        "unit": None,
        "method": "each mix by its best fired bricks: the heat their face bears, then the tests "
        "for the exposure; mixes within each other's bounds are the same",
        "source": "as for fit_for_use and hot_face_limit",
    }
    if build.molten_metal:
        return Result(value=[], because=fitness.NO_METAL, **told)
    hot = _face(build)
    found = [_candidate(mix, build, hot, context) for mix in context.notebook.of(Mix)]
    found.sort(key=lambda one: (WORDS.index(one.word), -(one.bears or 0.0) if hot else 0.0))
    several = hot is not None and sum(one.word == "yes" for one in found) > 1
    return Result(
        value=[_row(one, lead) for one, lead in _ranked(found, hot)] or None,
        needs=() if found else ("a mix",),
        extra={"settle": SHOCK.format(hot or 0.0)} if several else {},
        inputs=tuple(Input(one.mix, one.why, one.where) for one in found),
        from_=tuple(dict.fromkeys(one.where for one in found if one.where)),
        **told,
    )


def _face(build: Build) -> float | None:
    face = build.hot_face
    hot = face is not None and not face.is_bound and face.value > fitness.HOT
    return face.value if face is not None and hot else None


def _candidate(mix: Mix, build: Build, hot: float | None, context: Context) -> Candidate:
    lots = [lot for lot in stock.stock_of(context).lots if lot.mix == mix.name]
    judged = [_of_lot(mix, lot, build, hot, context) for lot in lots]
    best = min(judged, key=lambda one: (WORDS.index(one.word), -(one.bears or 0.0)), default=None)
    if best is None:
        best = Candidate(mix.name, "unknown", "none of it is fired yet", "a trial of it, tested")
        return best if hot is None else _hotter(mix, best, hot, context)
    short = best.bears is not None and hot is not None and best.bears - best.half < hot
    if best.word == "unknown" and short and hot is not None:
        return _hotter(mix, best, hot, context)
    return best


def _of_lot(mix: Mix, lot: Lot, build: Build, hot: float | None, context: Context) -> Candidate:
    """One lot by its exposure and its heat; too little heat says nothing of a hotter fire."""
    firing = context.review(f"firings/{lot.firing}")
    peak = firing.get("peak") if firing else None
    half = (peak.plus_minus or 0.0) if peak else 0.0
    one = fitness.judge(lot, build, context)
    limit, settle = one.hot_face_limit, ""
    bears = None if limit is None else limit + half
    word, why = one.word, ", ".join(one.why)
    if hot is not None and limit is not None and limit < hot:
        wet = fitness.judge(lot, replace(build, hot_face=None), context)
        word, why = ("no", ", ".join(wet.why)) if wet.word == "no" else (
            "unknown", f"its hottest bricks bear {limit:.0f} °C, and the face gets {hot:.0f} °C"
        )  # fmt: skip
    elif word == "unknown":
        settle = ", ".join(one.measure)
    return Candidate(mix.name, word, why, settle, bears, half, f"firings/{lot.firing}.toml")


def _hotter(mix: Mix, best: Candidate, hot: float, context: Context) -> Candidate:
    """A mix that was never fired hot enough: the fire that would do, or why none will."""
    review = context.review(mix.address)
    known = review.get("peak_limit") if review else None
    limit, doubt = NOTHING_KNOWN, MAY_STAND
    if known is not None and known.from_:
        limit, doubt = known.number, known.plus_minus or 0.0
    wanted = hot + MARGIN + best.half
    if wanted > limit + doubt:
        why = f"it bears no fire above {limit:.0f} °C, and a face of {hot:.0f} °C asks for more"
        return replace(best, word="no", why=why, settle="", where=mix.path)
    if wanted > limit:
        return replace(best, settle=f"trial bars of it fired to {wanted:.0f} °C, whole or not")
    fire = f"a firing of it to {wanted:.0f} °C or more at the coldest place, then a test"
    return replace(best, settle=fire)


def _ranked(found: list[Candidate], hot: float | None) -> list[tuple[Candidate, str]]:
    """Each with what stands before it, such as `serves best`.

    All within the bounds of each other are called the same and stand by their names.
    """
    serve = _groups([one for one in found if one.word == "yes"], hot)
    words = ("serves best" if len(serve) > 1 else "serves", *LESS)
    told = [
        (one, words[min(n, 2)])
        for n, group in enumerate(serve)
        for one in sorted(group, key=lambda each: each.mix)
    ]
    rest = [one for one in found if one.word != "yes"]
    return told + [(one, "not known" if one.word == "unknown" else "not fit") for one in rest]


def _groups(serve: list[Candidate], hot: float | None) -> list[list[Candidate]]:
    """Those that serve, as many at a time as are within the bounds of the first of them."""
    groups: list[list[Candidate]] = []
    for one in serve:
        if groups and (hot is None or _within(groups[-1][0], one)):
            groups[-1].append(one)
        else:
            groups.append([one])
    return groups


def _within(first: Candidate, second: Candidate) -> bool:
    if first.bears is None or second.bears is None:
        return True
    return first.bears - second.bears <= math.hypot(first.half, second.half)


def _row(one: Candidate, lead: str) -> dict[str, Any]:
    settle = f", would settle it: {one.settle}" if one.settle else ""
    row: dict[str, Any] = {"name": one.mix, "fit": one.word, "order": lead, "because": one.why}
    if one.bears is not None:
        row["bears"] = {"value": one.bears, "unit": "°C", "plus_minus": one.half}
    if one.settle:
        row["settle"] = one.settle
    return {**row, "says": f"{one.mix}: {lead}, {one.why}{settle}"}
