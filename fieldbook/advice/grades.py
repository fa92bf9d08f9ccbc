"""From what a test found to grades: the sample as a standard sees it, and the verdict."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from fieldbook.advice.derive import Known, factor
from fieldbook.advice.results import Verdict
from fieldbook.advice.review import Review
from fieldbook.advice.soaks import Span
from fieldbook.advice.specimens import Brick
from fieldbook.calc import grading
from fieldbook.calc import strength as strengths
from fieldbook.errors import NotPossible

WORDS = ("ring", "scratch", "core", "efflorescence")
"""What is told by a word."""
GRADED_UNITS = {"bulk_density": "kg/m3"}
"""Unit in which a property comes to the grading, where it is not that of its formula."""
MOST_FROST_LOSS = 0.5
"""[%] Of the dry mass, in freezing and thawing: ASTM C216, from memory."""


def sample_of(
    each: Mapping[str, Mapping[str, Known]],
    bricks: Mapping[str, Brick],
    soak: Span,
    boil: Span,
) -> grading.Sample:
    """What was measured, as the grading takes it: by property, by brick.

    A brick that was not measured is left out; one whose weighings contradict each other is None.
    """
    values: dict[str, dict[str, Any]] = {}
    for name, parts in each.items():
        wanted = GRADED_UNITS.get(name)
        found = {
            brick: (part.to(wanted) if wanted else part.number) if part.there else None
            for brick, part in parts.items()
            if part.there or not part.needs
        }
        if found:
            values[name] = found
    for word in (*WORDS, "lime_pops"):
        seen = {n: getattr(b.specimen, word) for n, b in bricks.items()}
        seen = {n: value for n, value in seen.items() if value is not None}
        if seen:
            values[word] = seen
    facts: dict[str, Any] = {"soaked_for": soak.hours, "boiled_for": boil.hours}
    cycles = [_survived(brick) for brick in bricks.values()]
    if cycles and all(count is not None for count in cycles):
        facts["freeze_cycles"] = min(count for count in cycles if count is not None)
    wear = _wear(values)
    return grading.Sample({**values, **({"abrasion_index": wear} if wear else {})}, facts)


def _survived(brick: Brick) -> int | None:
    """Freezings a brick came through: none where it lost more than the standard allows."""
    lost = brick.specimen.freeze_loss
    if lost is not None and not lost.is_bound and lost.value > MOST_FROST_LOSS:
        return 0
    return brick.specimen.freeze_cycles


def _wear(values: Mapping[str, Mapping[str, Any]]) -> dict[str, Any]:
    """Index of wear of each brick that was both soaked and crushed."""
    water = values.get("cold_absorption", {})
    strength = values.get("compressive_strength", {})
    known = [name for name in water if water[name] is not None and strength.get(name) is not None]
    index = strengths.abrasion_index
    return {n: index.plain(water[n], strength[n] * factor("MPa", "psi")) for n in known}


def verdict(name: str, sample: grading.Sample) -> Verdict:
    """What a standard says, with what would settle a grade that is withheld.

    Raises:
        NotPossible: no such standard.
    """
    standard = grading.find_standard(name)
    found = grading.grade(standard, sample)
    because = list(found.because)
    if found.undecided:
        because.append(f"{found.undecided} is not decided")
    if found.at_least and found.grade is None:
        because.append(f"at least {found.at_least} is sure")
    because += [f"waived, {words}" for words in found.waived]
    because += [found.rounding_matters] if found.rounding_matters else []
    because += [f"from memory, check the edition: {words}" for words in _of_memory(found)]
    return Verdict(
        standard=found.standard,
        edition=found.edition,
        grade=found.grade,
        sure=found.sure,
        because=tuple(dict.fromkeys(because)),
        short_of_next=tuple(dict.fromkeys(found.short_of_next)),
        settle=_settle(found.needs[0]) if found.needs else "",
        source=found.source,
    )


def _of_memory(found: grading.Verdict) -> list[str]:
    """The rules from memory that bear on the grades in question."""
    named = {found.grade, found.at_least, found.undecided}
    grades = {row["name"] for row in grading.find_standard(found.standard)["grades"]}
    return [
        words
        for words in found.from_memory
        if words.partition(":")[0] not in grades or words.partition(":")[0] in named
    ]


def _settle(need: str) -> str:
    """What is to be done, in words: the engine names the property alone where none is measured."""
    words = need.replace("_", " ")
    return words if need.startswith(("measure", "test")) else f"measure {words}"


def question_sample(
    review: Review, name: str, bricks: Mapping[str, Brick], where: str
) -> dict[str, Any] | None:
    """The standard's table; no such standard is pointed out.

    So are too few bricks for it, where the test itself names it: one that is only the habit of
    the notebook asks nothing of a test that nobody meant for a grade.
    """
    try:
        standard = grading.find_standard(name)
    except NotPossible:
        known = ", ".join(grading.standards())
        review.question_at(where, f'no standard "{name}" is known here', f"Write one of: {known}.")
        return None
    asked = int(standard["sample"])
    if where.startswith(review.entry.path) and 0 < len(bricks) < asked:
        review.question_at(
            review.entry.where("specimens"),
            f"{len(bricks)} of the {asked} bricks that {standard['name']} asks for",
            f"Test {asked - len(bricks)} more, taken at random; a mean of few says little.",
        )
    return standard
