"""What follows from a test: water, pores, strength, and what they are worth as a grade."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from fieldbook.advice import field_verdict, grades, named_tables, soaks, specimens, strengths
from fieldbook.advice.context import Context
from fieldbook.advice.derive import Known, missing, reading, work
from fieldbook.advice.results import Result
from fieldbook.advice.review import Review
from fieldbook.advice.samples import sample
from fieldbook.advice.soaks import BOIL_HOURS, COLD_HOURS, Finder, Span
from fieldbook.advice.specimens import Brick
from fieldbook.calc import absorption, porosity, strength
from fieldbook.calc.uncertainty import nominal
from fieldbook.errors import NotPossible, OutOfRange
from fieldbook.records import Test

HOUR = 1.0
"""A soak this near to the standard's counts as it; common practice."""
VILLAGE_HOURS = 48.0
"""[h] The soak of Practical Action's rule."""
Each = dict[str, Known]


def fill(review: Review, context: Context) -> None:
    """Add all that follows from a test."""
    test = review.entry
    assert isinstance(test, Test)
    bricks = specimens.bricks_of(test, review, context)
    soak, boil = soaks.span_of(test, "soak"), soaks.span_of(test, "boil")
    each = {
        **_absorption(review, bricks, soak, boil),
        **_pores(
            review, bricks, reading(context, test.true_density, "true density", "true_density")
        ),
        **_suction(review, bricks),
        **_strength(review, bricks, context),
    }
    water = {n: part.number for n, part in each["cold_absorption"].items() if part.there}
    review.add(field_verdict.of_bricks(bricks, soak, water))
    review.model = grades.sample_of(each, bricks, soak, boil)
    cold_asked, boil_asked, words = _asked(_grade(review, test, bricks, context))
    _question_span(review, soak, "cold_absorption", cold_asked, words)
    _question_span(review, boil, "boiling_absorption", boil_asked, words)
    review.facts = {
        "unmeasured": _unmeasured(bricks),
        "soak": soak._asdict(),
        "boil": boil._asdict(),
        "contradicting": tuple(name for name, brick in bricks.items() if brick.wrong),
    }


def _grade(
    review: Review, test: Test, bricks: dict[str, Brick], context: Context
) -> dict[str, Any] | None:
    """Add the verdict of the chosen standard, and give its table; None where there is none."""
    practice = context.notebook.settings.practice
    name, where = test.standard, test.where("standard")
    if not name and practice is not None and practice.standard:
        name = practice.standard
        where = named_tables.where(context.notebook.settings, "practice.standard")
    standard = grades.question_sample(review, name, bricks, where) if name else None
    if name and standard is not None:
        review.verdicts.append(grades.verdict(name, review.model))
    return standard


def _question_span(
    review: Review, span: Span, name: str, wanted: tuple[float, ...], words: str
) -> None:
    """A soak or a boil that is not the standard's, where something was soaked in it."""
    if any(abs(span.hours - hours) <= HOUR for hours in wanted) or not review.get(name):
        return
    asked = " or ".join(f"{hours:g} h" for hours in wanted)
    review.question_at(
        span.where,
        f"the {span.what} took {_long(span.hours)}; {words} asks for {asked}",
        f"Do it for {asked}, or leave it as it is: no grade that rests on it is given.",
    )


def _asked(standard: dict[str, Any] | None) -> tuple[tuple[float, ...], tuple[float, ...], str]:
    """Hours of soak and boil that the standard asks for; without one those in common use."""
    if standard is None:
        return (COLD_HOURS, VILLAGE_HOURS), (BOIL_HOURS,), "a test in common use"
    hours = [row.get("hours", {}) for row in standard["properties"].values()]
    cold = tuple({row["soaked_for"] for row in hours if "soaked_for" in row})
    boil = tuple({row["boiled_for"] for row in hours if "boiled_for" in row})
    return cold or (COLD_HOURS,), boil or (BOIL_HOURS,), standard["name"]


def _long(hours: float) -> str:
    return f"{hours / 24:g} days" if hours >= 72 else f"{hours:g} h"


# --- samples ---


def _each(bricks: dict[str, Brick], find: Finder) -> Each:
    """One value for each brick; nothing and no need where its readings contradict each other."""
    found: Each = {}
    for name, brick in bricks.items():
        try:
            found[name] = find(brick)
        except (NotPossible, OutOfRange):
            found[name] = missing()
    return found


def _add(review: Review, name: str, each: Each, unit: str, formula: Any, **more: Any) -> Result:
    """Take up a sample; where nothing is known of it, with what it needs or why not."""
    more.setdefault("limit", "lower")
    result = sample(name, each or {"": missing("specimens")}, unit, formula, **more)
    if not result.known and any(not part.there and not part.needs for part in each.values()):
        result = result.but(because="the weighings contradict each other")
    return review.add(result)


def _those(bricks: dict[str, Brick], chosen: Callable[[Brick], Any]) -> dict[str, Brick]:
    """The bricks that a measurement was begun on; all of them where it was on none."""
    return {name: brick for name, brick in bricks.items() if chosen(brick)} or bricks


def _absorption(
    review: Review, bricks: dict[str, Brick], soak: Span, boil: Span
) -> dict[str, Each]:
    formula = absorption.water_absorption
    cold = _each(bricks, soaks.taken_up("soaked_mass"))
    boiling = _each(bricks, soaks.taken_up("boiled_mass"))
    saturation = _each(bricks, soaks.coefficient)
    _add(
        review, "cold_absorption", cold, "%", formula,
        method=f"mass gain over dry mass, {soak.words} cold", limit="both", extra=soak.told,
    )  # fmt: skip
    _add(
        review, "boiling_absorption", boiling, "%", formula,
        method=f"mass gain over dry mass, {boil.words} boiling", limit="both", extra=boil.told,
    )  # fmt: skip
    _add(
        review, "saturation_coefficient", saturation, "1",
        absorption.saturation_coefficient, limit="both",
    )  # fmt: skip
    return {
        "cold_absorption": cold,
        "boiling_absorption": boiling,
        "saturation_coefficient": saturation,
    }


def _pores(review: Review, bricks: dict[str, Brick], true_density: Known) -> dict[str, Each]:
    hung = _those(bricks, lambda brick: brick.specimen.suspended_mass is not None)
    by = "/".join(sorted({brick.suspended_after for brick in hung.values()}))
    told: dict[str, Any] = {"extra": {"saturated_by": by} if by else {}}
    bulk = _each(hung, soaks.hung(porosity.bulk_density))
    for name, unit, formula, limit in (
        ("apparent_porosity", "%", porosity.apparent_porosity, "both"),
        ("bulk_density", "g/cm³", porosity.bulk_density, "lower"),
        ("apparent_specific_gravity", "1", porosity.apparent_specific_gravity, "lower"),
    ):
        each = bulk if name == "bulk_density" else _each(hung, soaks.hung(formula))
        _add(review, name, each, unit, formula, limit=limit, **told)
    _true_porosity(review, hung, bulk, true_density)
    return {"bulk_density": bulk}


def _true_porosity(review: Review, hung: dict[str, Brick], bulk: Each, true_density: Known) -> None:
    def find(brick: Brick) -> Known:
        return work(porosity.true_porosity, bulk=bulk[brick.name], true_density=true_density)

    each = _each(hung, find)
    _add(review, "true_porosity", each, "%", porosity.true_porosity, limit="both")
    denser = [name for name, part in bulk.items() if part.there and not each[name].there]
    if denser and true_density.there:
        review.question_at(
            true_density.where,
            f"brick {denser[0]} is denser than the true density {true_density.text}",
            "The true density is that of the ground brick without pores, about 2.5 to 2.8 g/cm³.",
        )


def _suction(review: Review, bricks: dict[str, Brick]) -> dict[str, Each]:
    stood = _those(bricks, lambda brick: brick.specimen.minute_mass)
    each = _each(stood, soaks.suction)
    result = _add(
        review, "initial_rate_of_absorption", each, "g/min per 30 in²",
        absorption.initial_rate_of_absorption, limit="both", extra=strengths.lay(stood),
    )  # fmt: skip
    if result.known:
        by_area = absorption.suction_by_area.plain(result.number)
        beside = {"by_area": {"value": by_area, "unit": "kg/(m²·min)"}}
        review.add(result.but(extra={**result.extra, **beside}))
    return {"initial_rate_of_absorption": each}


def _strength(review: Review, bricks: dict[str, Brick], context: Context) -> dict[str, Each]:
    bent = _those(bricks, strengths.was_bent)
    crushed = _those(bricks, strengths.was_crushed)
    rupture = _each(bent, lambda brick: strengths.rupture(brick, context))
    crushing = _each(crushed, lambda brick: strengths.crushing(brick, context))
    _add(
        review, "modulus_of_rupture", rupture, "MPa", strength.modulus_of_rupture,
        extra={**strengths.lay(bent), **strengths.loaded_by(bent, "bending_load")},
    )  # fmt: skip
    crushing_result = _add(
        review, "compressive_strength", crushing, "MPa", strength.compressive_strength,
        extra={
            **strengths.lay(crushed), **strengths.crushed_as(crushed),
            **strengths.loaded_by(crushed, "crushing_load"),
        },
    )  # fmt: skip
    _add_net_area(review, crushing_result, crushed, crushing)
    return {"modulus_of_rupture": rupture, "compressive_strength": crushing}


def _add_net_area(review: Review, gross: Result, crushed: dict[str, Brick], each: Each) -> None:
    """Beside the strength on the gross area that on the net one, where bricks have holes."""
    net = _each(crushed, lambda brick: strengths.on_net_area(brick, each[brick.name]))
    known = [part.to("MPa") for part in net.values() if part.there]
    if known:
        mean = float(nominal(sum(known) / len(known)))
        beside = {"net_area": {"value": mean, "unit": "MPa", "n": len(known)}}
        review.add(gross.but(extra={**gross.extra, **beside}))


# --- what is still to do ---

CHEAP = ("dry_mass", "soaked_mass", "boiled_mass", "suspended_mass", "length", "width", "height")


def _unmeasured(bricks: dict[str, Brick]) -> dict[str, tuple[str, ...]]:
    """What each specimen still lacks of the readings that take no machine."""
    lacks = {
        name: tuple(field for field in CHEAP if getattr(brick.specimen, field) is None)
        for name, brick in bricks.items()
    }
    return {name: fields for name, fields in lacks.items() if fields}
