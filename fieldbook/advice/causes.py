"""Why bricks were lost: the curve's word on each cause, and what drying, mix and clay say of it.

A cause that something speaks for comes first; one that the record excludes does not come; the
rest is to look for, each with the one look that tells.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import pairwise
from typing import Any, NamedTuple

from fieldbook.advice.fire import batches_in, mixes_in
from fieldbook.advice.rules import Case
from fieldbook.calc.faults import CurveFacts, causes
from fieldbook.records import Batch, Clay
from fieldbook.tables import load

FAST_DRYING = 0.5
"""%/h of the dry mass while bricks shrink; common practice."""
MUCH_SHRINKAGE = 7.0
"""%, drying: FAO, Farm Structures in Tropical Climates, ch. 3."""
MUCH_BURN_OUT = 10.0
"""% of the dry mass: strength falls with it up to here (sawdust, GEOMATE journal)."""
LUMP = 0.002
"""m: lime below this does no harm fired at 900 °C (CBRI)."""
HIGH_ABSORPTION = 15.0
"""%, after a long soak: Practical Action, Assessing the Technical Problems of Brick Production."""


LETTERS, SMALL_WORD = 5, 3
"""Words of a look are one when so many letters agree; words no longer than that carry nothing."""


class Likely(NamedTuple):
    """One cause with what speaks for it, or the look that would tell."""

    cause: str
    remedy: str
    stage: str
    source: str
    score: float
    because: tuple[str, ...]
    look: str


LOOKS = {
    "steam": "whether pieces broke off hollow and early, low in the kiln",
    "while water was still leaving": "whether the crack edges are rounded and dark inside",
    "quartz zone": "whether the crack edges are sharp and the ring is dull",
    "dried too fast": "whether the cracks run straight from a long face and are smoked inside",
    "lumps of dry clay or stones": "whether a grain sits at the root of each crack",
    "first stage": "on which day the cracks showed in the drying stack",
    "rain on a green brick": "whether the washed face is rough and split",
    "carbon was not burnt out": "how deep the black core is in a broken brick",
    "no oxygen": "whether the grey goes through to the face",
    "gas from matter": "whether a broken brick is full of round bubbles",
    "skin sealed": "whether blisters sit on the fire side alone",
    "not fired far enough": "whether a nail scratches it and a soaked piece softens",
    "heat lost at the skin": "whether the soft ones all lay outside and on top",
    "too hot beside the fire": "whether the glassy faces all look to the fire",
    "sudden burst of flame": "whether the fused patch lies over one fire mouth",
    "wide channel": "whether the bent ones all spanned the channel",
    "layers of fuel": "whether the courses sank where the fuel lay",
    "wind": "whether the soft ones all lay on the windward side",
    "lime": "whether a white soft grain sits in each pit, two weeks after the fire",
    "siderite": "whether a purple or black grain sits in each pit",
    "salts in clay": "whether the white tastes of salt and comes back after washing",
    "sulphur": "whether the scum stays when it is rinsed",
    "salt laid down": "whether the scum washes off",
    "ash and slag": "whether the crust lies where fuel touched the brick",
    "coarse grit": "whether grit shows in the break, and what ten bricks measure end to end",
    "too much clay": "how much a new bar of the mix shrinks in drying",
    "over-burnt at a hot spot": "whether the small dark ones all lay in one place",
    "squashed": "whether the long sides bulge at the foot",
    "poor mixing": "whether lumps of one colour show in the break",
    "dung or sawdust": "how light a brick is against its volume",
}
"""The one look that tells, by words of the cause in the table of faults."""

Evidence = tuple[bool | None, str]


def look_for(cause: str) -> str:
    """The one look that tells whether this cause is the one."""
    return next((look for words, look in LOOKS.items() if words in cause), "")


def ranked(case: Case, seen: str, rows: list[dict[str, Any]] | None = None) -> list[Likely]:
    """Causes of a fault of this firing: those spoken for, then those to look for.

    `rows` are the causes of the review's losses, which hold what the curve says; without them the
    table alone is asked.
    """
    given = rows if rows is not None else rows_of(seen)
    named = looking_so(seen)
    found = [
        likely for row in given if (likely := _weighed(case, row, row["name"] in named)) is not None
    ]
    return sorted(found, key=lambda each: _rank(each, each.cause in named))


def looking_so(seen: str) -> set[str]:
    """The causes whose own look is what was seen, beyond the bare word they share with others.

    `sharp cracks` and `cracked with sharp edges` both name the sharp edge; `cracked` names none.
    """
    words, fits = _stems(seen), {}
    for row in load("faults")["fault"]:
        named = [len(own) for phrase in row["seen"] if (own := _stems(phrase)) <= words]
        if named:
            fits[str(row["cause"])] = max(named)
    best = max(fits.values(), default=0)
    return {cause for cause, count in fits.items() if count == best} if best > 1 else set()


def _stems(words: str) -> set[str]:
    """The beginnings of the words that carry meaning: `cracks` and `cracked` are one."""
    plain = words.lower().replace(",", " ").split()
    return {word[:LETTERS] for word in plain if len(word) > SMALL_WORD}


def _rank(likely: Likely, named: bool) -> tuple[bool, float, bool, str]:
    """Spoken for, or seen by their own look, before the rest; then by score; then by the look."""
    return (not (likely.because or named), -likely.score, not named, likely.cause)


def rows_of(seen: str, facts: CurveFacts | None = None) -> list[dict[str, Any]]:
    """The causes of the table with what the curve says of each, as a review's losses hold them."""
    return [
        {
            "name": cause.cause,
            "remedy": cause.remedy,
            "stage": cause.stage,
            "because": list(cause.because),
            "against": list(cause.against),
            "score": cause.score,
            "source": cause.source,
        }
        for cause in causes(seen, facts)
    ]


def _weighed(case: Case, row: dict[str, Any], looks_so: bool) -> Likely | None:
    """A cause with the evidence outside the curve added; None where the record excludes it.

    `looks_so`: what was seen is this cause's own look: worth as much as one sign of the curve.
    """
    because, score = list(row["because"]), float(row["score"]) + looks_so
    against = bool(row["against"])
    for seen, words in _beyond_the_curve(case, str(row["name"])):
        if seen:
            because.append(words)
            score += 1
        elif seen is False:
            against = True
            score -= 0.5
    if against and not because:
        return None
    return Likely(
        str(row["name"]), str(row["remedy"]), str(row["stage"]), str(row["source"]), score,
        tuple(because), look_for(str(row["name"])),
    )  # fmt: skip


def _beyond_the_curve(case: Case, cause: str) -> Iterator[Evidence]:
    for words, ask in WITNESSES.items():
        if words in cause:
            yield ask(case)


def _batches(case: Case) -> list[Batch]:
    return list({batch.name: batch for _, batch in batches_in(case)}.values())


def _clays(case: Case) -> list[Clay]:
    names = {part.clay for mix in mixes_in(case) for part in mix.parts if part.clay}
    found = (case.context.notebook.entry(f"clays/{name}") for name in sorted(names))
    return [clay for clay in found if isinstance(clay, Clay)]


def dried_fast(case: Case) -> Evidence:
    """Bricks cracked in the yard, or the scale shows a loss faster than they stand."""
    cracked = sum(
        getattr(x, "cracked", None) or 0
        for batch in _batches(case)
        for x in batch.log
        if getattr(x, "firing", None) is None
    )
    if cracked:
        return True, f"{cracked} were cracked before the fire"
    rates = [rate for batch in _batches(case) for rate in drying_rates(case, batch)]
    if not rates:
        return None, ""
    fastest = max(rates)
    return fastest > FAST_DRYING, f"they lost {24 * fastest:.0f} % of water a day in the yard"


def drying_rates(case: Case, batch: Batch) -> Iterator[float]:
    """Losses of marked bricks from one weighing to the next [%/h of the dry mass]."""
    review = case.context.review(batch.address)
    dry = (review.facts.get("dry_masses") if review else None) or {}
    for name, brick in batch.marked.items():
        mass = dry.get(name)
        if not mass or brick.mass is None or batch.moulded is None:
            continue
        points = [(batch.moulded.at, brick.mass.value)]
        for line in batch.log:
            weighed = getattr(line, "mass", None)
            ours = getattr(line, "brick", None) == name and getattr(line, "firing", None) is None
            if ours and weighed:
                points.append((line.at, weighed.value))
        for (start, before), (end, after) in pairwise(points):
            hours = (end - start).total_seconds() / 3600
            if hours >= 2:
                yield 100 * (before - after) / mass / hours


def rained_on(case: Case) -> Evidence:
    """It rained on the bricks in the yard; excluded where the log says it stayed dry."""
    said = [getattr(x, "rain", None) for batch in _batches(case) for x in batch.log]
    if True in said:
        return True, "it rained on them in the yard"
    return (False, "") if False in said else (None, "")


def shrinks_much(case: Case) -> Evidence:
    """The bars of the mix shrink more than 7 % in drying."""
    found = []
    for mix in mixes_in(case):
        review = case.context.review(mix.address)
        result = review.get("linear_drying_shrinkage") if review else None
        if result is not None:
            found.append(result.number)
    if not found:
        return None, ""
    return max(found) > MUCH_SHRINKAGE, f"its bars shrink {max(found):.1f} % in drying"


def limy(case: Case) -> Evidence:
    """A clay of the load holds lime lumps above 2 mm; excluded where none of it fizzes."""
    clays = _clays(case)
    big = [
        c for c in clays if c.lime_lump and not c.lime_lump.is_bound and c.lime_lump.value > LUMP
    ]
    if big:
        lump = 1000 * max(c.lime_lump.value for c in big if c.lime_lump)
        return True, f"lime lumps of {lump:.0f} mm are in the clay"
    known = [c for c in clays if c.fizz is not None]
    if known and all(c.fizz == "none" for c in known) and len(known) == len(clays):
        return False, ""
    fizzes = [c.fizz for c in known if c.fizz not in ("none", "few bubbles")]
    return (True, f"the clay fizzes ({fizzes[0]})") if fizzes else (None, "")


def salty(case: Case) -> Evidence:
    """White bloom was seen on a clay of the load; excluded where it was looked for in vain."""
    said = [clay.salts.strip().lower() for clay in _clays(case) if clay.salts]
    seen = [words for words in said if words not in ("none", "no", "nil")]
    if seen:
        return True, f"salts were seen on the clay ({seen[0]})"
    return (False, "") if said else (None, "")


def much_burn_out(case: Case) -> Evidence:
    """The mix holds more than 10 % of sawdust, husk or dung."""
    shares = [
        mix.burn_out.share.value
        for mix in mixes_in(case)
        if mix.burn_out and mix.burn_out.share and not mix.burn_out.share.is_bound
    ]
    if not shares:
        return None, ""
    return max(shares) > MUCH_BURN_OUT, f"{max(shares):.0f} % of the mix burns out"


def soaks_much(case: Case) -> Evidence:
    """Tested bricks of this firing take up more than 15 % of water."""
    from fieldbook.advice.events import tests_of

    found = []
    for test in tests_of(case.context, case.entry):
        review = case.context.review(test.address)
        value = review.number("cold_absorption") if review else None
        if value is not None:
            found.append(value)
    if not found:
        return None, ""
    most = max(found)
    return (True, f"tested bricks soak up {most:.1f} %") if most > HIGH_ABSORPTION else (None, "")


WITNESSES: dict[str, Callable[[Case], Evidence]] = {
    "dried too fast": dried_fast,
    "first stage": dried_fast,
    "rain on a green brick": rained_on,
    "too much clay": shrinks_much,
    "lime": limy,
    "salts in clay": salty,
    "dung or sawdust": much_burn_out,
    "not fired far enough": soaks_much,
}
"""What beside the curve can speak for a cause or exclude it, by words of the cause."""
