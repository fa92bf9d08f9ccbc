"""Whether the bricks in stock are fit for a use: yes, no, or unknown with what to measure."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from fieldbook.advice.context import Context
from fieldbook.advice.derive import as_number
from fieldbook.advice.review import Review
from fieldbook.advice.stock import Lot
from fieldbook.calc import grading
from fieldbook.calc.lining import hot_face_limit
from fieldbook.calc.uncertainty import side
from fieldbook.frozen import frozen
from fieldbook.records import Build, Test

HOT = 200.0
"""[°C] From here on a face is hot work; common practice."""
GRADES = {
    ("wall", "freezing wet"): ("ASTM C62", ("SW",)),
    ("wall", "ground"): ("ASTM C62", ("SW",)),
    ("wall", "damp"): ("ASTM C62", ("SW", "MW")),
    ("wall", "indoors"): ("ASTM C62", ("SW", "MW", "NW")),
    ("paving", "freezing wet"): ("ASTM C902", ("SX", "SX, moulded brick")),
    ("paving", "ground"): ("ASTM C902", ("SX", "SX, moulded brick")),
    ("paving", "damp"): ("ASTM C902", ("SX", "SX, moulded brick", "MX")),
    ("paving", "indoors"): ("ASTM C902", ("SX", "SX, moulded brick", "MX", "NX")),
}
"""What a use asks for: our own judgement after the grade words of ASTM C62 and C902."""
MOST_WATER, LEAST_STRENGTH = 20.0, 3.5
"""[%, MPa] Of a wall without frost: the lowest class of IS 1077:1992."""
LEAST_BENDING = LEAST_STRENGTH / 3
"""[MPa] In bending, that surely bears as much in crushing: good brick crushes at five to six times
what it bends at (4000 against 720 psi, Construction Superintendence, sec. 232); a third is ours."""
CAUTION = (
    "Common brick is no refractory: it softens from 900 °C on. Local codes and licensed practice "
    "come first."
)
NO_METAL = "common brick never stands molten metal: use bought refractories"


@frozen
class Finding:
    """What one check says: `yes`, `no` or `unknown`, why, and what to measure."""

    word: str
    why: str
    measure: tuple[str, ...] = ()


@frozen
class LotJudged:
    """Bricks of one lot held against a use."""

    lot: Lot
    word: str
    why: tuple[str, ...]
    measure: tuple[str, ...]
    hot_face_limit: float | None
    """[°C]"""


def judge(lot: Lot, build: Build, context: Context) -> LotJudged:
    """Hold one lot against what a build asks of its bricks."""
    tests = tests_of(lot, context)
    limit = heat_limit(lot, context)
    findings = [*_heat(build, limit), *_exposure(build, tests)]
    words = [finding.word for finding in findings]
    word = "no" if "no" in words else "unknown" if "unknown" in words or not words else "yes"
    told = [finding for finding in findings if finding.word == word] or [
        Finding("unknown", "what the build stands is not written", ("exposure",))
    ]
    return LotJudged(
        lot,
        word,
        tuple(finding.why for finding in told),
        tuple(dict.fromkeys(need for finding in told for need in finding.measure)),
        limit[0] if limit else None,
    )


def tests_of(lot: Lot, context: Context) -> list[Review]:
    """The tests of a lot: of its firing, or of its batch where no firing is named."""
    found = []
    for test in context.notebook.of(Test):
        if test.batch == lot.batch and test.firing in (None, lot.firing):
            review = context.review(test.address)
            if review is not None:
                found.append(review)
    return found


# --- heat ---


def heat_limit(lot: Lot, context: Context) -> tuple[float, str] | None:
    """The hottest a face of these bricks may get [°C], and where the peak was read."""
    firing = context.review(f"firings/{lot.firing}")
    peak = firing.get("peak") if firing else None
    if peak is None:
        return None
    mix = context.review(f"mixes/{lot.mix}") if lot.mix else None
    own = mix.number("peak_limit") if mix else None
    limit = hot_face_limit(peak.number, peak.plus_minus or 0.0, own if own is not None else 1050.0)
    where = peak.from_[0] if peak.from_ else f"firings/{lot.firing}.toml"
    return limit, where


def _heat(build: Build, limit: tuple[float, str] | None) -> list[Finding]:
    if build.molten_metal:
        return [Finding("no", NO_METAL)]
    face = build.hot_face
    if face is None or face.is_bound or face.value <= HOT:
        return []
    if limit is None:
        return [Finding("unknown", "their firing was not measured", ("the peak of their firing",))]
    words = f"the face gets {face.value:.0f} °C, and they bear {limit[0]:.0f} °C"
    return [Finding("yes" if face.value <= limit[0] else "no", words)]


# --- wet and frost ---


def _exposure(build: Build, tests: list[Review]) -> list[Finding]:
    if build.exposure is None:
        return []
    paving = "paving" if build.form == "paving" else "wall"
    standard, grades = GRADES[paving, build.exposure]
    each = [_by_test(build, test, standard, grades) for test in tests]
    found = [finding for finding in each if finding is not None]
    for word in ("no", "yes"):
        told = [finding for finding in found if finding.word == word]
        if told:
            return [told[0]]
    if found:
        return [found[0]]
    wants = f"{standard} {grades[-1] if len(grades) > 1 else grades[0]}"
    return [Finding("unknown", f"no test of them; {wants} is wanted", ("a test of 5 bricks",))]


def _by_test(build: Build, test: Review, standard: str, grades: tuple[str, ...]) -> Finding | None:
    sample = test.model
    if not isinstance(sample, grading.Sample):
        return None
    sample = replace(sample, facts={**sample.facts, "made": "moulded"})
    verdict = grading.grade(grading.find_standard(standard), sample)
    name = test.entry.address
    if verdict.grade in grades or verdict.at_least in grades:
        return Finding("yes", f"{standard} {verdict.grade or verdict.at_least} ({name})")
    mild = build.exposure in ("indoors", "damp") and build.form != "paving"
    eased = _without_frost(test, build.exposure or "") if mild else None
    if eased is not None and eased.word != "unknown":
        return eased
    if verdict.undecided in grades or (eased is not None and verdict.grade is None):
        needs = tuple(need.replace("_", " ") for need in verdict.needs[:2])
        why = f"{standard} {grades[-1]} is not decided ({name})"
        return Finding("unknown", why, needs or ("strength and water",))
    short = verdict.short_of_next[0] if verdict.short_of_next else "it falls short of every grade"
    reached = verdict.grade or "no grade"
    return Finding("no", f"{standard} {grades[-1]} is wanted, {reached} found ({name}): {short}")


def _without_frost(test: Review, exposure: str) -> Finding:
    """Where nothing freezes: water up to 20 % and strength from 3.5 MPa, or sound by its signs."""
    name = test.entry.address
    field = test.results.get("field_verdict")
    signs = field.value if field is not None else None
    water = _side(test, "cold_absorption", MOST_WATER)
    strength = _side(test, "compressive_strength", LEAST_STRENGTH)
    if strength is None and _side(test, "modulus_of_rupture", LEAST_BENDING) == "above":
        strength = "above"
    if signs == "soft" and strength != "above":
        return Finding("no", f"soft by ring and scratch ({name})")
    if water == "above" and exposure == "damp":
        return Finding("no", f"takes up more than {MOST_WATER:g} % of water ({name})")
    if strength == "below":
        return Finding("no", f"weaker than {LEAST_STRENGTH:g} MPa ({name})")
    strong = strength == "above" or signs == "good"
    if strong and (water == "below" or exposure == "indoors"):
        by = f"at least {LEAST_STRENGTH:g} MPa" if strength == "above" else "good by its signs"
        wet = "" if exposure == "indoors" else f", at most {MOST_WATER:g} % of water"
        return Finding("yes", f"{by}{wet}: the lowest class of IS 1077 ({name})")
    return Finding(
        "unknown",
        f"water and strength are not known ({name})",
        ("the load that breaks them in bending",),
    )


def _side(test: Review, name: str, limit: float) -> str | None:
    result = test.get(name)
    return side(as_number(result), limit) if result is not None else None


def told(judged: list[LotJudged]) -> list[dict[str, Any]]:
    """The lots as plain rows."""
    return [
        {
            "name": f"{one.lot.batch or 'bricks'} of {one.lot.firing}",
            "fit": one.word,
            "left": one.lot.left,
            "because": list(one.why),
            **({"measure": list(one.measure)} if one.measure else {}),
        }
        for one in judged
    ]
