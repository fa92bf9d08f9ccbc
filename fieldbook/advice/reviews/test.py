"""What follows from a test: water, pores, strength, and what they are worth as a grade."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import datetime
from typing import Any

from fieldbook.advice import field_verdict, specimens
from fieldbook.advice.context import Context
from fieldbook.advice.derive import Known, missing, reading, work
from fieldbook.advice.results import Result
from fieldbook.advice.review import Review
from fieldbook.advice.samples import sample
from fieldbook.advice.specimens import Brick
from fieldbook.calc import absorption, strength
from fieldbook.errors import NotPossible, OutOfRange
from fieldbook.records import Test, TestLine

COLD_HOURS, BOIL_HOURS = 24.0, 5.0
"""Soak and boil where the maker wrote none: ASTM C67."""
HOUR = 1.0
"""A soak this near to the standard's counts as it; common practice."""


def fill(review: Review, context: Context) -> None:
    """Add all that follows from a test."""
    test = review.entry
    assert isinstance(test, Test)
    bricks = specimens.bricks_of(test, review, context)
    soak = _hours(test, "soak", COLD_HOURS)
    boil = _hours(test, "boil", BOIL_HOURS)
    _absorption(review, bricks, soak, boil)
    _pores(review, bricks, reading(context, test.true_density, "true density", "true_density"))
    _suction(review, bricks)
    _strength(review, bricks, context)
    review.add(field_verdict.of_bricks(bricks, soak))
    _question_soak(review, soak)
    review.facts = {
        "unmeasured": _unmeasured(bricks),
        "soak": soak,
        "boil": boil,
        "contradicting": tuple(name for name, brick in bricks.items() if brick.wrong),
    }


# --- soak and boil ---


def _hours(test: Test, what: str, usual: float) -> dict[str, Any]:
    """How long a soak or a boil took, where that is from, and when it began and ended."""
    lines = [line for line in test.log if isinstance(line, TestLine)]
    began = _last(lines, what, "began")
    ended = _last(lines, what, "ended")
    written = test.soaked_for if what == "soak" else test.boiled_for
    field = "soaked_for" if what == "soak" else "boiled_for"
    found: dict[str, Any] = {"began": began, "ended": ended, "wanted": usual, "where": ""}
    if written is not None and not written.is_bound:
        return {**found, "hours": written.value, "given": "written", "where": written.where}
    if began and ended and ended > began:
        hours = (ended - began).total_seconds() / 3600
        where = next(line.where for line in lines if getattr(line, what) == "ended")
        return {**found, "hours": hours, "given": "logged", "where": where}
    return {**found, "hours": usual, "given": "assumed", "field": field}


def _last(lines: Iterable[TestLine], what: str, word: str) -> datetime | None:
    times = [line.at for line in lines if getattr(line, what) == word]
    return times[-1] if times else None


def _question_soak(review: Review, soak: dict[str, Any]) -> None:
    if abs(soak["hours"] - COLD_HOURS) <= HOUR or not review.get("cold_absorption"):
        return
    review.question_at(
        soak["where"],
        f"the soak took {soak['hours']:g} h; the tests of the standards ask for 24 h",
        "Soak one day, or write soaked_for as it was; no grade that asks for 24 h is given.",
    )


# --- water, pores ---


def _each(bricks: dict[str, Brick], find: Callable[[Brick], Known]) -> dict[str, Known]:
    """One value for each brick that has one or lacks something for it."""
    found: dict[str, Known] = {}
    for name, brick in bricks.items():
        try:
            found[name] = find(brick)
        except (NotPossible, OutOfRange):
            found[name] = missing()
    return found


def _take(brick: Brick, *fields: str) -> tuple[Known, ...]:
    """Readings for one formula; none of them where they contradict each other."""
    if len(brick.wrong.intersection(fields)) > 1:
        return tuple(missing() for _ in fields)
    return tuple(brick[field] for field in fields)


def _add(
    review: Review,
    name: str,
    each: dict[str, Known],
    unit: str,
    formula: Any,
    **more: Any,
) -> Result:
    """Take up a sample; where nothing is known of it, with what it needs or why not."""
    more.setdefault("limit", "lower")
    result = sample(name, each or {"": missing("specimens")}, unit, formula, **more)
    if not result.known and any(not part.there and not part.needs for part in each.values()):
        result = result.but(because="the weighings contradict each other")
    return review.add(result)


def _absorption(
    review: Review, bricks: dict[str, Brick], soak: dict[str, Any], boil: dict[str, Any]
) -> None:
    def taken_up(field: str) -> Callable[[Brick], Known]:
        def find(brick: Brick) -> Known:
            dry, wet = _take(brick, "dry_mass", field)
            return work(absorption.water_absorption, dry_mass=dry, soaked_mass=wet)

        return find

    def coefficient(brick: Brick) -> Known:
        dry, soaked, boiled = _take(brick, "dry_mass", "soaked_mass", "boiled_mass")
        return work(
            absorption.saturation_coefficient,
            dry_mass=dry, soaked_mass=soaked, boiled_mass=boiled,
        )  # fmt: skip

    formula = absorption.water_absorption
    _add(
        review, "cold_absorption", _each(bricks, taken_up("soaked_mass")), "%", formula,
        method=f"mass gain over dry mass, {_for(soak)} cold", limit="both", extra=_span(soak),
    )  # fmt: skip
    _add(
        review, "boiling_absorption", _each(bricks, taken_up("boiled_mass")), "%", formula,
        method=f"mass gain over dry mass, {_for(boil)} boiling", limit="both",
        extra=_span(boil),
    )  # fmt: skip
    _add(
        review, "saturation_coefficient", _each(bricks, coefficient), "1",
        absorption.saturation_coefficient, limit="both",
    )  # fmt: skip


def _for(span: dict[str, Any]) -> str:
    taken = " (not written: taken as the standard's)" if span["given"] == "assumed" else ""
    return f"{span['hours']:g} h{taken}"


def _span(span: dict[str, Any]) -> dict[str, Any]:
    return {"hours": span["hours"], "hours_given": span["given"]}


def _pores(review: Review, bricks: dict[str, Brick], true_density: Known) -> None:
    def by(formula: Any) -> Callable[[Brick], Known]:
        def find(brick: Brick) -> Known:
            fields = ("dry_mass", brick.saturated, "suspended_mass")
            dry, saturated, hung = _take(brick, *fields)
            return work(formula, dry_mass=dry, saturated_mass=saturated, hung_mass=hung)

        return find

    hung = _those(bricks, lambda brick: brick.specimen.suspended_mass is not None)
    told = {"extra": {"saturated_by": "/".join(sorted({b.suspended_after for b in hung.values()}))}}
    bulk = _each(hung, by(absorption.bulk_density))
    _add(
        review, "apparent_porosity", _each(hung, by(absorption.apparent_porosity)), "%",
        absorption.apparent_porosity, limit="both", **told,
    )  # fmt: skip
    _add(review, "bulk_density", bulk, "g/cm³", absorption.bulk_density, **told)
    _add(
        review, "apparent_specific_gravity",
        _each(hung, by(absorption.apparent_specific_gravity)), "1",
        absorption.apparent_specific_gravity, **told,
    )  # fmt: skip
    _true_porosity(review, hung, bulk, true_density)


def _those(bricks: dict[str, Brick], chosen: Callable[[Brick], Any]) -> dict[str, Brick]:
    """The bricks that a measurement was begun on; all of them where it was on none."""
    return {name: brick for name, brick in bricks.items() if chosen(brick)} or bricks


def _true_porosity(
    review: Review, hung: dict[str, Brick], bulk: dict[str, Known], true_density: Known
) -> None:
    def find(brick: Brick) -> Known:
        return work(absorption.true_porosity, bulk=bulk[brick.name], true_density=true_density)

    each = _each(hung, find)
    _add(review, "true_porosity", each, "%", absorption.true_porosity, limit="both")
    denser = [name for name, part in bulk.items() if part.there and not each[name].there]
    if denser and true_density.there:
        review.question_at(
            true_density.where,
            f"brick {denser[0]} is denser than the true density {true_density.text}",
            "The true density is that of the ground brick without pores, about 2.5 to 2.8 g/cm³.",
        )


def _suction(review: Review, bricks: dict[str, Brick]) -> None:
    def find(brick: Brick) -> Known:
        dry, minute = _take(brick, "dry_mass", "minute_mass")
        gain = _gain(dry, minute)
        length, breadth, _ = (brick[field] for field in brick.sides)
        cores = {"core_area": brick["cores"]} if brick["cores"].there else {}
        return work(
            absorption.initial_rate_of_absorption,
            gain=gain, length=length, breadth=breadth, **cores,
        )  # fmt: skip

    stood = _those(bricks, lambda brick: brick.specimen.minute_mass)
    result = _add(
        review, "initial_rate_of_absorption", _each(stood, find), "g/min per 30 in²",
        absorption.initial_rate_of_absorption, extra=_lay(stood),
    )  # fmt: skip
    if result.known:
        beside = absorption.suction_by_area
        by_area = {"value": beside.plain(result.number), "unit": "kg/(m²·min)"}
        review.add(result.but(extra={**result.extra, "by_area": by_area}))


def _gain(dry: Known, wet: Known) -> Known:
    if not (dry.there and wet.there):
        return missing(*dry.needs, *wet.needs)
    return Known("gain", wet.number - dry.number, "kg", (*dry.inputs, *wet.inputs))


def _lay(bricks: dict[str, Brick]) -> dict[str, Any]:
    """How the bricks lay, and whether the maker wrote so or it is taken for granted."""
    words = {brick.specimen.laid or "flat" for brick in bricks.values()}
    written = all(brick.specimen.laid for brick in bricks.values())
    return {"laid": "/".join(sorted(words)), "laid_given": "written" if written else "assumed"}


# --- strength ---


def _strength(review: Review, bricks: dict[str, Brick], context: Context) -> None:
    bent = _those(bricks, lambda b: b.specimen.bending_load or _lever(b, "bending"))
    crushed = _those(bricks, lambda b: b.specimen.crushing_load or _lever(b, "crushing"))
    _add(
        review, "modulus_of_rupture", _each(bent, lambda b: _rupture(b, context)), "MPa",
        strength.modulus_of_rupture, extra={**_lay(bent), **_loaded_by(bent, "bending")},
    )  # fmt: skip
    _add(
        review, "compressive_strength", _each(crushed, lambda b: _crushing(b, context)), "MPa",
        strength.compressive_strength,
        extra={**_lay(crushed), **_crushed_as(crushed), **_loaded_by(crushed, "crushing")},
    )  # fmt: skip


def _lever(brick: Brick, what: str) -> bool:
    lever = brick.specimen.lever
    return lever is not None and (lever.for_ or "bending") == what


def _loaded_by(bricks: dict[str, Brick], what: str) -> dict[str, Any]:
    field = "bending_load" if what == "bending" else "crushing_load"
    means = {"load" if getattr(b.specimen, field) else "lever" for b in bricks.values()}
    return {"loaded_by": "/".join(sorted(means))}


def _crushed_as(bricks: dict[str, Brick]) -> dict[str, Any]:
    return {
        "crushed": "/".join(sorted({b.specimen.crushed or "whole" for b in bricks.values()})),
        "wet": any(b.specimen.crushed_wet for b in bricks.values()),
        "area": "gross",
    }


def _load(brick: Brick, field: str, what: str, context: Context) -> Known:
    """The force on it: as read, or by the lever that pressed it."""
    if brick[field].there or not _lever(brick, what):
        return brick[field]
    lever = brick.specimen.lever
    assert lever is not None

    def arm(name: str, words: str) -> Known:
        return reading(
            context, getattr(lever, name), f"{words}, brick {brick.name}", f"lever.{name}"
        )

    beam = {
        "beam": arm("beam", "mass of the beam"),
        "beam_at": arm("beam_at", "middle of the beam"),
    }
    return work(
        strength.lever_force,
        f"force of the lever on brick {brick.name}",
        load=arm("load", "load on the lever"),
        load_at=arm("load_at", "arm of the load"),
        nose_at=arm("nose_at", "arm of the nose"),
        **beam,
    )


def _rupture(brick: Brick, context: Context) -> Known:
    _, breadth, depth = brick.sides
    span, offset = _take(brick, "span", "break_offset")
    known = {
        "load": _load(brick, "bending_load", "bending", context),
        "span": span,
        "width": brick[breadth],
        "depth": brick[depth],
    }
    if offset.there:
        known["break_offset"] = offset
    return work(strength.modulus_of_rupture, **known)


def _crushing(brick: Brick, context: Context) -> Known:
    load = _load(brick, "crushing_load", "crushing", context)
    return work(strength.compressive_strength, load=load, area=_area(brick))


def _area(brick: Brick) -> Known:
    """The gross area under load; a half whose length under load is not written has none."""
    length, breadth, _ = brick.sides
    half = brick.specimen.crushed == "half"
    (along,) = _take(brick, "crushed_length")
    if not along.there:
        if half or "crushed_length" in brick.wrong:
            return missing("crushed_length")
        along = brick[length]
    across = brick[breadth]
    if not (along.there and across.there):
        return missing(*along.needs, *across.needs)
    area = along.number * across.number
    return Known(f"area of brick {brick.name}", area, "m2", (*along.inputs, *across.inputs))


# --- what is still to do ---

CHEAP = ("dry_mass", "soaked_mass", "boiled_mass", "suspended_mass", "length", "width", "height")


def _unmeasured(bricks: dict[str, Brick]) -> dict[str, tuple[str, ...]]:
    """What each specimen still lacks of the readings that take no machine."""
    lacks = {
        name: tuple(field for field in CHEAP if getattr(brick.specimen, field) is None)
        for name, brick in bricks.items()
    }
    return {name: fields for name, fields in lacks.items() if fields}
