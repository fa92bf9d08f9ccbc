"""What others did since one last looked, in words of clays, firings and results."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from datetime import datetime
from typing import Any, NamedTuple

from fieldbook.advice.context import Context
from fieldbook.advice.review import Review
from fieldbook.records import FOLDERS, Firing, Mix, Test
from fieldbook.report.better import (
    Better,
    bare,
    better_than_mine,
    own_outcomes,
    short,
)
from fieldbook.report.disputes import WAY_OUT, Dispute
from fieldbook.report.makers import Makers
from fieldbook.report.outcomes import counts, of_firing
from fieldbook.report.units import Units
from fieldbook.report.values import spell
from fieldbook.report.ways import parts_text
from fieldbook.text import clean, wrap

SECTIONS = {
    "clays": ("clays", "mixes"),
    "firings": ("firings",),
    "results": ("tests", "builds"),
    "also": ("kilns", "batches"),
}
"""What is told under which word."""
KNOWN_BY = {
    "clays": (("texture_class", "{}"), ("total_linear_shrinkage", "shrinks {} from wet to fired")),
    "mixes": (("total_linear_shrinkage", "shrinks {} from wet to fired"),),
    "tests": (
        ("cold_absorption", "absorbs {}"),
        ("compressive_strength", "crushes at {}"),
        ("modulus_of_rupture", "breaks at {}"),
    ),
    "builds": (("bricks_needed", "needs {}"), ("fit_for_use", "fit: {}")),
}
"""The derived values that an entry of each kind is known by, and how they are said."""


MOST = 12
"""Entries of one kind that are told one by one."""


class Came(NamedTuple):
    """What one maker did to one entry since."""

    address: str
    maker: str
    is_begun: bool
    is_gone: bool
    lines: int
    """Observations that came."""
    fields: tuple[str, ...]
    """Fields that were set or changed."""


class Told(NamedTuple):
    """One line of the news."""

    maker: str
    section: str
    address: str
    text: str


class News(NamedTuple):
    """All that is new."""

    told: list[Told]
    also: dict[str, str]
    """Of each maker what is counted and not told one by one."""
    better: list[Better]
    has_own: bool
    """Whether there is a firing of one's own to hold theirs against."""


def news(came: Sequence[Came], makers: Makers, context: Context, units: Units) -> News:
    """What came, maker by maker, in the order of the work, and what did better than one's own."""
    mine = own_outcomes(makers, context)
    theirs = _firings_in(came, makers, context)
    better = better_than_mine(theirs, mine, makers, context, units)
    told = []
    for maker in dict.fromkeys(each.maker for each in came):
        for section, folders in SECTIONS.items():
            for each in came:
                if each.maker == maker and each.address.partition("/")[0] in folders:
                    text = words(each, context, units) if section != "also" else ""
                    told.append(Told(maker, section, each.address, text))
    names = dict.fromkeys(each.maker for each in came)
    also = {name: _also([c for c in came if c.maker == name]) for name in names}
    return News([each for each in told if each.text], also, better, bool(mine))


def _firings_in(came: Sequence[Came], makers: Makers, context: Context) -> list[str]:
    """The firings of others of which something is new: of themselves, or of tests of theirs."""
    found: dict[str, None] = {}
    for each in came:
        if each.address.partition("/")[0] not in ("firings", "tests"):
            continue
        entry = context.notebook.entry(each.address)
        if isinstance(entry, Test) and entry.firing:
            entry = context.notebook.entry(f"firings/{entry.firing}")
        if isinstance(entry, Firing) and not makers.is_mine(entry):
            found[entry.address] = None
    return list(found)


def words(came: Came, context: Context, units: Units) -> str:
    """What an entry is known by, and what of it is new."""
    review = context.review(came.address)
    if came.is_gone or review is None:
        return "taken out" if came.is_gone else "cannot be read"
    said = ", ".join(known_by(review, context, units))
    if came.is_begun:
        return said or "begun"
    fresh = [f"{came.lines} observation{'s' * (came.lines != 1)}"] if came.lines else []
    fresh += [spell(field) for field in came.fields]
    more = f"new: {', '.join(fresh)}" if fresh else ""
    return "; ".join(filter(None, (said, more)))


def known_by(review: Review, context: Context, units: Units) -> Iterator[str]:
    """The few things that tell an entry apart."""
    entry = review.entry
    if isinstance(entry, Mix) and (parts := parts_text(entry)):
        yield parts
    if isinstance(entry, Firing):
        yield from _firing(review, entry, context, units)
    for name, sentence in KNOWN_BY.get(entry.folder, ()):
        if (result := review.get(name)) is not None:
            yield sentence.format(short(result, units))
    yield from (f"{v.standard} {v.grade}" for v in review.verdicts if v.grade)


def _firing(review: Review, firing: Firing, context: Context, units: Units) -> Iterator[str]:
    found = counts(firing)
    if total := sum(found.values()):
        yield f"{found['sound']} of {total} sound"
    else:
        yield str(review.facts.get("phase") or "planned")
    if (peak := review.get("peak")) is not None:
        yield f"peak {bare(peak, units)}"
    wood = next((r for r in of_firing(review, context) if r.name == "wood per brick"), None)
    if wood is not None and total:
        yield f"{bare(wood, units)} wood a brick"


def _also(came: Iterable[Came]) -> str:
    """What is counted alone: kilns, batches, and the lines noted in all."""
    rows = list(came)
    kinds = Counter(FOLDERS[c.address.partition("/")[0]] for c in rows if _is_counted(c))
    said = [f"{n} {_many(kind) if n > 1 else kind}" for kind, n in kinds.items()]
    lines = sum(each.lines for each in rows)
    said += [f"{lines} observation{'s' * (lines != 1)}"] if lines else []
    return ", ".join(said)


def _is_counted(came: Came) -> bool:
    return came.is_begun and came.address.partition("/")[0] in SECTIONS["also"]


def _many(kind: str) -> str:
    return next(folder for folder, name in FOLDERS.items() if name == kind)


class Line(NamedTuple):
    """A line as it is shown."""

    text: str
    style: str = ""
    address: str = ""
    beside: str = ""
    """One's own firing, where the line lays another beside it."""


def since_words(is_any: bool, since: str, until: str = "") -> str:
    """What stands over the news; `since` is empty where one never looked before.

    `until` is the moment asked about, where that is not now.
    """
    if not is_any and until:
        return f"others had kept nothing new here by {until}"
    if not since:
        return "all that others have kept here" if is_any else "others have kept nothing here yet"
    return f"new since {since}" if is_any else f"nothing new since {since}"


def news_lines(found: News, units: Units, width: int) -> Iterator[Line]:
    """The news as both front ends show it."""
    for maker in found.also:
        yield Line(clean(f" {maker}"), "strong")
        yield from _of_maker(found, maker, width)
    if found.better:
        yield Line(" did better than yours", "head")
    for each in found.better:
        yield from _better(each, units, width)
    if any(each.section == "firings" for each in found.told) and not found.better:
        yield Line(
            " none of their firings did better than yours, beyond the bounds"
            if found.has_own
            else " no firing of yours is counted yet, to hold theirs against"
        )


def _of_maker(found: News, maker: str, width: int) -> Iterator[Line]:
    for section in SECTIONS:
        rows = [t for t in found.told if t.maker == maker and t.section == section]
        for number, each in enumerate(rows[:MOST]):
            head = f"  {section if number == 0 else '':<8}"
            name = each.address.partition("/")[2]
            for text in wrap(f"{name}: {each.text}", width, " " * 12, head):
                yield Line(text, "", each.address)
        if len(rows) > MOST:
            yield Line(f"          and {len(rows) - MOST} more")
    if also := found.also[maker]:
        yield from (Line(text) for text in wrap(also, width, " " * 12, "  also    "))


def _better(each: Better, units: Units, width: int) -> Iterator[Line]:
    theirs, mine = (address.partition("/")[2] for address in (each.theirs, each.mine))
    parts = [f"{theirs} ({each.maker}) beside your {mine}: "]
    parts += ["; ".join(held.words(units) for held in each.better)]
    if each.worse:
        parts += [", but " + "; ".join(held.words(units) for held in each.worse)]
    for text in wrap("".join(parts), width, "    ", "  "):
        yield Line(text, "strong", each.theirs, each.mine)
    for text in wrap(f"done differently: {each.did(units)}", width, "      ", "    "):
        yield Line(text, "", each.theirs, each.mine)


def dispute_lines(found: Sequence[Dispute], now: datetime, width: int) -> Iterator[Line]:
    """What needs a decision, and how one is made."""
    if found:
        yield Line(" needs a decision", "head")
    for each in found:
        for text in wrap(each.text(now), width, "    ", "  "):
            yield Line(text, "warn", each.address)
    if found:
        yield from (Line(text) for text in wrap(WAY_OUT, width, "    ", "  "))


def news_json(came: Sequence[Came], found: News) -> dict[str, Any]:
    """As `news --json` prints it."""
    words_of = {(each.address, each.maker): each.text for each in found.told}
    rows = [
        {
            "entry": each.address,
            "kind": FOLDERS[each.address.partition("/")[0]],
            "maker": each.maker,
            "begun": each.is_begun,
            "removed": each.is_gone,
            "observations": each.lines,
            "fields": list(each.fields),
            "words": words_of.get((each.address, each.maker), ""),
        }
        for each in came
    ]
    return {"new": rows, "better": [each.json() for each in found.better]}
