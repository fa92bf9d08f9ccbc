"""What ring, scratch, core and soak say of a brick, for those with nothing but a bucket."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from fieldbook.advice.derive import lines_of
from fieldbook.advice.results import Input, Result
from fieldbook.advice.specimens import Brick

SOURCE = (
    "Practical Action, Assessing the technical problems of brick production: clear ring, no mark "
    "of a nail, one colour inside, at most 15 % of water after 48 h in the cold"
)
MOST_WATER = 15.0
"""[%] of the dry mass after 48 h (Practical Action)."""
LONG_SOAK = 48.0
"""[h] A brick that passes after less has not passed; one that fails after less has failed."""
SIGNS = ("ring", "scratch", "core")
BAD = {"ring": ("dull",), "scratch": ("deep",), "core": ("black",)}
DOUBTFUL = {"scratch": ("light",), "core": ("grey",)}


def of_bricks(bricks: Mapping[str, Brick], soak: Mapping[str, Any]) -> Result:
    """`sound`, `doubtful` or `underfired`: by brick, and of all the word of the worst third.

    Formula: a brick is underfired by a dull ring, a deep scratch or water above the limit;
    doubtful by a light scratch or a core not of one colour; sound where two signs say so.
    """
    judged = {name: _of_brick(brick, soak) for name, brick in bricks.items()}
    each = {name: word for name, (word, _) in judged.items() if word}
    inputs = tuple(_inputs(bricks))
    because = "; ".join(f"{name}: {why}" for name, (word, why) in judged.items() if word and why)
    told: dict[str, Any] = {
        "source": SOURCE,
        "method": "ring, scratch, core and soak",
        "inputs": inputs,
    }
    if not each:
        return Result(
            name="field_verdict", value=None, unit=None, needs=("ring", "scratch", "core"), **told
        )
    return Result(
        name="field_verdict", value=_of_all(list(each.values())), unit=None, n=len(each),
        each=each, because=because, from_=lines_of(inputs), **told,
    )  # fmt: skip


def _of_all(words: list[str]) -> str:
    """The word of the batch: a third of the bricks is enough to spoil it (common practice)."""
    for word in ("underfired", "doubtful"):
        if sum(one in ("underfired", word) for one in words) * 3 >= len(words):
            return word
    return "sound"


def _of_brick(brick: Brick, soak: Mapping[str, Any]) -> tuple[str, str]:
    signs = {sign: getattr(brick.specimen, sign) for sign in SIGNS}
    water = _water(brick)
    bad = [f"{sign} {word}" for sign, word in signs.items() if word in BAD[sign]]
    doubts = [f"{sign} {word}" for sign, word in signs.items() if word in DOUBTFUL.get(sign, ())]
    if water is not None and water > MOST_WATER:
        bad.append(f"{water:.1f} % of water after {soak['hours']:g} h")
    soaked = water is not None and soak["hours"] > LONG_SOAK - 1
    seen = sum(word is not None for word in signs.values()) + soaked
    if "core black" in bad and len(bad) == 1:
        return "doubtful", "core black: carbon left, or fired with too little air"
    if bad:
        return "underfired", ", ".join(bad + doubts)
    if doubts:
        return "doubtful", ", ".join(doubts)
    return ("sound", "") if seen >= 2 else ("", "")


def _water(brick: Brick) -> float | None:
    dry, soaked = brick["dry_mass"], brick["soaked_mass"]
    if not (dry.there and soaked.there) or {"dry_mass", "soaked_mass"} <= brick.wrong:
        return None
    return 100 * (soaked.value / dry.value - 1)


def _inputs(bricks: Mapping[str, Brick]) -> Iterator[Input]:
    for name, brick in bricks.items():
        for sign in SIGNS:
            word = getattr(brick.specimen, sign)
            if word:
                yield Input(f"{sign} of brick {name}", word, brick.where)
