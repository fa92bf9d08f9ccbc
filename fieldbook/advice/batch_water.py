"""The water in the bricks of a batch: at the last weighing, as expected now, how fast it goes."""

from __future__ import annotations

import math
from typing import Any

from fieldbook.advice import dry_mass as dryness
from fieldbook.advice.context import Context
from fieldbook.advice.derive import Known, as_result, lines_of, missing, united, work
from fieldbook.advice.dry_mass import DryMasses
from fieldbook.advice.drying import LAW, Drying
from fieldbook.advice.results import Input, Result
from fieldbook.advice.review import Review
from fieldbook.advice.samples import sample
from fieldbook.advice.weighings import MarkedBrick, Weighing
from fieldbook.advice.wording import bricks
from fieldbook.calc import moisture
from fieldbook.calc.uncertainty import COVERAGE
from fieldbook.errors import NotPossible
from fieldbook.records import Batch

ONE_ROUND = 24.0
"""[h] Weighings within a day of the newest count as one round; common practice."""
SHORTEST = 1.0
"""[h] A rate is not told from weighings closer than this; common practice."""


def newest_of(bricks: dict[str, MarkedBrick]) -> tuple[dict[str, Weighing], list[str]]:
    """The last weighing of each brick, and the bricks not weighed in the newest round.

    A brick weighed as moulded only is left out where others were weighed since.
    """
    since = {name for name, brick in bricks.items() if len(brick.masses) > brick.as_moulded}
    last = {
        name: brick.last
        for name, brick in bricks.items()
        if brick.last and (name in since or not since)
    }
    newest = max((one.at for one in last.values()), default=None)
    older = [
        name
        for name, one in last.items()
        if newest is not None and (newest - one.at).total_seconds() / 3600 > ONE_ROUND
    ]
    return last, older


def add_moistures(review: Review, bricks: dict[str, MarkedBrick], masses: DryMasses) -> None:
    """The moisture of each brick at its last weighing, on both bases."""
    last, older = newest_of(bricks)
    for name, formula in (
        ("moisture", moisture.moisture_dry_basis),
        ("moisture_wet_basis", moisture.moisture_wet_basis),
    ):
        each = {brick: _water(formula, one, brick, masses) for brick, one in last.items()}
        if not each:
            each = {"": missing(*([] if masses.refused else ["marked"]))}
        result = sample(
            name,
            each,
            "%",
            formula,
            method=_method(name, masses),
            extra=_basis(name, masses, older),
        )
        if not result.known:
            needs = () if masses.refused else (result.needs or ("oven_dry",))
            result = result.but(because=masses.refused, needs=needs)
        review.add(result)


def _method(name: str, masses: DryMasses) -> str:
    """Which mass it is a part of, and where the dry mass is from."""
    whole = "dry" if name == "moisture" else "wet"
    words = f"water at the last weighing over the {whole} mass, never fitted"
    routes = dict.fromkeys(mass.method for mass in masses.of.values())
    return f"{words}; dry mass: {'; '.join(routes)}" if routes else words


def _basis(name: str, masses: DryMasses, older: list[str]) -> dict[str, Any]:
    extra: dict[str, Any] = {"basis": "dry mass" if name == "moisture" else "wet mass"}
    routes = dict.fromkeys(mass.route for mass in masses.of.values())
    if routes:
        extra["dry_mass_from"] = "/".join(routes)
        extra["dry_mass"] = {name: mass.known.value for name, mass in masses.of.items()}
    if older:
        extra["not_weighed_lately"] = sorted(older)
    return extra


def _water(formula: Any, one: Weighing, brick: str, masses: DryMasses) -> Known:
    """The moisture of a brick; below zero where it comes out so, which a problem points out."""
    mass = masses.of.get(brick)
    if mass is None:
        return missing("oven_dry")
    words = f"moisture of brick {brick}"
    try:
        return work(formula, words, wet_mass=one.known, dry_mass=mass.known)
    except NotPossible:
        below = mass.known.number if formula is moisture.moisture_dry_basis else one.known.number
        number = 100 * (one.known.number - mass.known.number) / below
        return Known(words, number, "%", (*one.known.inputs, *mass.known.inputs))


def expected(drying: Drying | None, masses: DryMasses, context: Context) -> Result:
    """What the fitted law expects now."""
    told: dict[str, Any] = {
        "name": "moisture_expected",
        "unit": "%",
        "method": "the drying law fitted to the weighings, at this hour",
        "source": LAW,
        "formula": "dX/dt = -r f(t) phi(X); phi = 1 above X_c, (X - X_e)/(X_c - X_e) below",
    }
    if drying is None:
        needs = ("oven_dry",) if not masses.of else ("marked",)
        return Result(value=None, needs=needs, because=masses.refused, **told)
    hours = drying.hours(context.now)
    if hours < 0:
        return Result(value=None, because="it is not moulded yet", **told)
    found = drying.fit.moisture_at(hours)
    mean = sum(one.value for one in found.values()) / len(found)
    doubt = math.sqrt(sum(one.sd**2 for one in found.values())) / len(found)
    inputs = united(mass.known.inputs for mass in masses.of.values())
    return Result(
        value=100 * mean,
        plus_minus=COVERAGE * 100 * doubt,
        each={name: 100 * one.value for name, one in found.items()},
        n=len(found),
        from_=lines_of(inputs),
        inputs=inputs,
        extra={"weather_notes": drying.weather_notes, "taught_by": list(drying.taught_by)},
        **told,
    )


def add_free_water(review: Review, batch: Batch, masses: DryMasses) -> None:
    """The water in all the bricks at the mean moisture."""
    water = review.results["moisture"]
    told: dict[str, Any] = {
        "method": "count x mean dry mass x mean moisture",
        "source": "definition of moisture on the dry mass",
        "formula": "m_w = n m_d X",
    }
    if batch.count is None or not water.known or not masses.of:
        needs = water.needs or (() if batch.count is not None else ("count",))
        review.add(
            Result(
                name="free_water", value=None, unit="kg", needs=needs, because=water.because, **told
            )
        )
        return
    fresh = [name for name in water.each if name in masses.of]
    mean = sum(masses.of[name].known.number for name in fresh) / len(fresh)
    where = batch.where("count")
    count = Input("count", bricks(batch.count), where)
    inputs = (count, *water.inputs)
    doubt = water.plus_minus or 0.0
    from uncertainties import ufloat

    share = ufloat(water.number, doubt / COVERAGE, "moisture") if doubt else water.number
    number = batch.count * mean * share / 100
    review.add(as_result("free_water", Known("free water", number, "kg", inputs), "kg").but(**told))


def add_rate(review: Review, bricks: dict[str, MarkedBrick], masses: DryMasses) -> None:
    """Loss of moisture over the last stretch between weighings."""
    last, older = newest_of(bricks)
    each: dict[str, Known] = {}
    for name in [name for name in last if name not in older]:
        mass = masses.of.get(name)
        pair = _last_stretch(dryness.sound_weighings(bricks[name], masses))
        if mass is None:
            each[name] = missing(*(() if masses.refused else ("oven_dry",)))
        elif pair is None or name in masses.suspect:
            each[name] = missing("a second weighing")
        else:
            before, after = pair
            hours = (after.at - before.at).total_seconds() / 3600
            lost = 100 * (before.known.number - after.known.number) / mass.known.number
            inputs = united([before.known.inputs, after.known.inputs, mass.known.inputs])
            each[name] = Known(f"drying rate of brick {name}", lost / hours, "%/h", inputs)
    method = "moisture lost between the last two weighings over the hours between"
    found = sample("drying_rate", each or {"": missing("marked")}, "%/h", method=method)
    review.add(found.but(source="definition; Geankoplis 9.5", formula="(X_1 - X_2) / (t_2 - t_1)"))


def _last_stretch(weighed: list[Weighing]) -> tuple[Weighing, Weighing] | None:
    for before in reversed(weighed[:-1]):
        if (weighed[-1].at - before.at).total_seconds() / 3600 >= SHORTEST:
            return before, weighed[-1]
    return None
