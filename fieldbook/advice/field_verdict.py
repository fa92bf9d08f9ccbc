"""What ring, scratch, core and soak say of bricks, for those with nothing but a bucket."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from fieldbook.advice.derive import lines_of
from fieldbook.advice.results import Input, Result
from fieldbook.advice.soaks import Span
from fieldbook.advice.specimens import Brick
from fieldbook.calc import field_verdict as signs
from fieldbook.calc.uncertainty import expanded, nominal

SOURCE = (
    "Practical Action, Assessing the technical problems of brick production (the signs and the "
    "15 %); how they are weighed against each other is common practice"
)
LONG_SOAK = 48.0
"""[h] The soak that the 15 % are meant for."""
WORDS = ("ring", "scratch", "core")
WORST_FIRST = ("soft", "doubtful", "good")


def of_bricks(bricks: Mapping[str, Brick], soak: Span, water: Mapping[str, Any]) -> Result:
    """`good`, `doubtful` or `soft` by brick; of all of them the word that a third bear, or worse.

    `water`: what each brick took up in the cold soak, a number with uncertainty. A brick that
    passes after less than 48 h has not passed; one that fails after less has failed.
    """
    each: dict[str, str] = {}
    reasons = []
    advice: dict[str, str] = {}
    for name, brick in bricks.items():
        one = brick.specimen
        found = signs.field_verdict(
            one.ring, one.scratch, one.core, _soak(water.get(name), soak), one.lime_pops or 0
        )
        if found.verdict == "unknown":
            continue
        each[name] = found.verdict
        advice[found.verdict] = found.do
        if found.verdict != "good":
            reasons.append(f"{name}: {', '.join(found.because)}")
    inputs = tuple(_inputs(bricks))
    told: dict[str, Any] = {"source": SOURCE, "method": "ring, scratch, core and soak"}
    told.update(inputs=inputs, formula="a third of the bricks is enough to name them all")
    if not each:
        needs = ("ring", "scratch", "core", "soaked_mass")
        return Result(name="field_verdict", value=None, unit=None, needs=needs, **told)
    word = _of_all(list(each.values()))
    return Result(
        name="field_verdict", value=word, unit=None, n=len(each), each=each,
        because="; ".join(reasons), from_=lines_of(inputs), extra={"do": advice.get(word, "")},
        **told,
    )  # fmt: skip


def _soak(water: Any, soak: Span) -> Any:
    if water is None:
        return None
    long = soak.hours >= 0.95 * LONG_SOAK
    fails = nominal(water) - expanded(water) > signs.GOOD_SOAK
    return water if long or fails else None


def _of_all(words: list[str]) -> str:
    for place, word in enumerate(WORST_FIRST):
        worse = WORST_FIRST[: place + 1]
        if sum(one in worse for one in words) * 3 >= len(words):
            return word
    return "good"


def _inputs(bricks: Mapping[str, Brick]) -> Iterator[Input]:
    for name, brick in bricks.items():
        for sign in WORDS:
            word = getattr(brick.specimen, sign)
            if word:
                yield Input(f"{sign} of brick {name}", word, brick.where)
