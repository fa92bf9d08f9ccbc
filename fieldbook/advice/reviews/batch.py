"""What follows from a batch: its water, how it dries, when it is ready, where its bricks are."""

from __future__ import annotations

import math
from datetime import datetime
from typing import Any

from fieldbook.advice import dry_mass as dryness
from fieldbook.advice import drying as forecast
from fieldbook.advice import mass_balance, shrinking, stock
from fieldbook.advice.context import Context
from fieldbook.advice.derive import Known, as_result, lines_of, missing, reading, united, work
from fieldbook.advice.dry_mass import DryMasses
from fieldbook.advice.drying import Drying
from fieldbook.advice.results import Input, Result
from fieldbook.advice.review import Review
from fieldbook.advice.samples import sample
from fieldbook.advice.weighings import MarkedBrick, Weighing, bricks_of, question_all
from fieldbook.calc import moisture
from fieldbook.calc.drying import NotReady, Ready
from fieldbook.calc.uncertainty import COVERAGE, side
from fieldbook.errors import NotPossible, OutOfRange
from fieldbook.records import Batch

TARGET = 3.0
"""[%] Dry enough to fire where the maker has set nothing; common practice."""
ONE_ROUND = 24.0
"""[h] Weighings within a day of the newest count as one round."""
SHORTEST = 1.0
"""[h] A rate is not told from weighings closer than this."""
LAW = "Geankoplis, Transport Processes and Unit Operations, 9.6 and 9.7; priors from memory"
JUST_MOULDED = 24.0
"""[h] So long a brick counts as moulded, lying flat; Davis, Practical Treatise: 24 h flat."""


def fill(review: Review, context: Context) -> None:
    """Add all that follows from a batch."""
    batch = review.entry
    assert isinstance(batch, Batch)
    bricks = bricks_of(batch, context)
    question_all(batch, bricks, review)
    clay = mass_balance.clay_of(batch, context)
    prior, held, taught_by = forecast.taught(batch, context)
    masses = dryness.begin(batch, bricks, review, context, held)
    balance = mass_balance.question_fired(bricks, clay, masses, review)
    dryness.find(batch, bricks, review, context, found=masses, ignition_loss=clay.ignition_loss)
    drying = forecast.fit_of(batch, bricks, masses, context, prior, taught_by)
    target = target_of(batch, context)
    _moistures(review, bricks, masses, context)
    _expected(review, drying, masses, context)
    _free_water(review, batch, masses)
    _rate(review, bricks, masses)
    shrinking.add(review, batch, bricks, context)
    _stage(review, bricks, masses, drying)
    _ready(review, batch, masses, drying, target)
    review.add(balance)
    review.model = drying
    _facts(review, batch, masses, drying, target, context)


def target_of(batch: Batch, context: Context) -> Known:
    """Dry enough: as the batch says, else the notebook, else 3 % (common practice)."""
    practice = context.notebook.settings.practice
    for amount in (batch.target_moisture, practice.target_moisture if practice else None):
        known = reading(context, amount, "target moisture")
        if known.there:
            return known
    given = Input("target moisture", f"{TARGET:g} %", "", "common practice")
    return Known("target moisture", TARGET, "%", (given,))


# --- water ---


def _last(bricks: dict[str, MarkedBrick]) -> tuple[dict[str, Weighing], list[str]]:
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


def _moistures(
    review: Review, bricks: dict[str, MarkedBrick], masses: DryMasses, context: Context
) -> None:
    last, older = _last(bricks)
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
        elif last:
            newest = max(one.at for one in last.values())
            result = result.but(age=context.hours_since(newest))
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


def _expected(review: Review, drying: Drying | None, masses: DryMasses, context: Context) -> None:
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
        review.add(Result(value=None, needs=needs, because=masses.refused, **told))
        return
    hours = drying.hours(context.now)
    if hours < 0:
        review.add(Result(value=None, because="it is not moulded yet", **told))
        return
    found = drying.fit.moisture_at(hours)
    mean = sum(one.value for one in found.values()) / len(found)
    doubt = math.sqrt(sum(one.sd**2 for one in found.values())) / len(found)
    inputs = united(mass.known.inputs for mass in masses.of.values())
    review.add(
        Result(
            value=100 * mean,
            plus_minus=COVERAGE * 100 * doubt,
            each={name: 100 * one.value for name, one in found.items()},
            n=len(found),
            from_=lines_of(inputs),
            inputs=inputs,
            extra={"weather_notes": drying.weather_notes, "taught_by": list(drying.taught_by)},
            **told,
        )
    )


def _free_water(review: Review, batch: Batch, masses: DryMasses) -> None:
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
    count = Input("count", str(batch.count), where)
    inputs = (count, *water.inputs)
    doubt = water.plus_minus or 0.0
    from uncertainties import ufloat

    share = ufloat(water.number, doubt / COVERAGE, "moisture") if doubt else water.number
    number = batch.count * mean * share / 100
    review.add(as_result("free_water", Known("free water", number, "kg", inputs), "kg").but(**told))


def _rate(review: Review, bricks: dict[str, MarkedBrick], masses: DryMasses) -> None:
    """Loss of moisture over the last stretch between weighings."""
    last, older = _last(bricks)
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


def _stage(
    review: Review,
    bricks: dict[str, MarkedBrick],
    masses: DryMasses,
    drying: Drying | None,
) -> None:
    """Shrinking, or past the shrinkage stop: by the marks where they tell it, else by the fit."""
    seen = shrinking.stage_by_marks(bricks)
    told: dict[str, Any] = {
        "name": "drying_stage",
        "unit": None,
        "formula": "X of the wettest brick against X_c; or marks that no longer move",
    }
    if seen is not None:
        word, inputs = seen
        method = "marks that no longer move, or still do, between two measurings"
        review.add(
            Result(
                value=word, method=method, source="Bigot's curve (Maciulaitis and Malaiskiene)",
                inputs=inputs, from_=lines_of(inputs), **told,
            )
        )  # fmt: skip
        return
    if drying is None or masses.suspect:
        needs = ("marks", "oven_dry") if not masses.of else ()
        because = next(iter(masses.suspect.values()), "")
        review.add(Result(value=None, needs=needs, because=because, **told))
        return
    water = review.get("moisture")
    critical = drying.fit.parameters["critical"]
    wettest = max(float(v) for v in water.each.values() if v is not None) if water else 0.0
    inputs = united(mass.known.inputs for mass in masses.of.values())
    review.add(
        Result(
            value="shrinking" if wettest > 100 * critical.value else "past the shrinkage stop",
            method="moisture of the wettest brick against the critical moisture of the fit",
            source=LAW,
            extra={"critical": {"value": 100 * critical.value, "plus_minus": 200 * critical.sd}},
            inputs=inputs,
            from_=lines_of(inputs),
            **told,
        )
    )


# --- ready ---


def _ready(
    review: Review,
    batch: Batch,
    masses: DryMasses,
    drying: Drying | None,
    target: Known,
) -> None:
    inputs = united([target.inputs, *(mass.known.inputs for mass in masses.of.values())])
    told: dict[str, Any] = {
        "name": "ready",
        "unit": "time",
        "method": "the wettest marked brick below the target, by the drying law fitted to the "
        "weighings; 80 % interval",
        "source": LAW,
        "formula": "X(t) < target; dX/dt = -r f(t) phi(X)",
        "inputs": inputs,
        "from_": lines_of(inputs),
    }
    extra: dict[str, Any] = {"target": target.value, "target_unit": "%"}
    why = masses.refused
    for name, what in masses.suspect.items():
        why = f"brick {name} contradicts itself: {what}"
    if why or drying is None:
        needs = () if why else (("oven_dry",) if not masses.of else ("marked",))
        review.add(Result(value=None, because=why, needs=needs, extra=extra, **told))
        return
    if target.value <= 0:
        review.question_at(
            target.where, f"a target moisture of {target.text} is never reached", "Write 2 to 5 %."
        )
        review.add(Result(value=None, because="no air dries so far", extra=extra, **told))
        return
    answer = forecast.when_ready(drying, target.value)
    extra["weighings"] = drying.fit.weighings
    if drying.weather_notes:
        extra["weather_notes"] = drying.weather_notes
    if drying.taught_by:
        extra["taught_by"] = list(drying.taught_by)
    if isinstance(answer, NotReady):
        review.add(Result(value=None, **_air_dry(answer, drying, batch, target, extra), **told))
        return
    review.add(_foreseen(answer, drying, extra, told))


def _air_dry(
    answer: NotReady, drying: Drying, batch: Batch, target: Known, extra: dict[str, Any]
) -> dict[str, Any]:
    """As dry as this air makes it by such a time; the rest is driven off in the kiln."""
    held = 100 * answer.equilibrium.value
    when = drying.at(answer.as_dry_as_can_be)
    size = batch.green or batch.mould
    side_ = size.height if size else None
    thickness = side_.value if side_ is not None and not side_.is_bound else 0.07
    hours = forecast.kiln_hours(held, target.value, thickness)
    by = f" by {when.isoformat(timespec='minutes')}" if when else ""
    rest = f", in about {hours:.0f} h" if hours else ""
    because = (
        f"{answer.reason}, above the target of {target.value:g} %: as dry as this air makes it"
        f"{by}; the rest is driven off below 100 °C in the kiln{rest}"
    )
    found = {**extra, "water_held": held, "as_dry_as_air": when}
    if hours:
        found["kiln_hours_below_100"] = hours
    return {"because": because, "extra": found}


def _foreseen(answer: Ready, drying: Drying, extra: dict[str, Any], told: dict[str, Any]) -> Result:
    when = drying.at(answer.median)
    ends = [drying.at(end) for end in (answer.low, answer.high)]
    interval = tuple(end.isoformat() if end else None for end in ends)
    found = dict(extra)
    because = ""
    if answer.never > 0.005:
        found["may_never"] = answer.never
    if ends[1] is None:
        because = "this air may leave them wetter than the target: the late end is open"
    return Result(
        value=when.isoformat() if when else None,
        interval=(interval[0], interval[1]),
        extra=found,
        because=because or ("" if when else "too far ahead to foresee"),
        **told,
    )


# --- facts ---


def _facts(
    review: Review,
    batch: Batch,
    masses: DryMasses,
    drying: Drying | None,
    target: Known,
    context: Context,
) -> None:
    green = _green_phase(review, batch, target, context)
    counted = stock.stock_of(context)
    own = counted.of_batch(batch.name)
    review.problems.extend(stock.problems_of(counted, batch.path))
    next_time = None
    if drying is not None and not masses.suspect and target.value > 0:
        try:
            next_time = forecast.next_weighing(drying, target.value)
        except (NotPossible, OutOfRange):
            next_time = None
    review.facts = {
        "phase": stock.phase_of_batch(own, green),
        "green_phase": green,
        "counts": own.counts(),
        "set_for": own.set_for,
        "target": target.value,
        "next_weighing": next_time,
        "suspect_bricks": tuple(masses.suspect),
        "air_dry": "as_dry_as_air" in review.results["ready"].extra,
        "dry_masses": {name: mass.known.value for name, mass in masses.of.items()},
        "dry_mass_route": {name: mass.route for name, mass in masses.of.items()},
        "wettest": _wettest(review),
    }


def _wettest(review: Review) -> tuple[str, float] | None:
    water = review.get("moisture")
    known = (
        {name: value for name, value in water.each.items() if value is not None} if water else {}
    )
    if not known:
        return None
    name = max(known, key=lambda one: float(known[one]))
    return name, float(known[name])


def _green_phase(review: Review, batch: Batch, target: Known, context: Context) -> str:
    """`moulded` on the first day, `drying`, or `ready`: the wettest surely below the target."""
    wettest = _wettest(review)
    if wettest is not None and review.results["ready"].known:
        from uncertainties import ufloat

        doubt = (review.results["moisture"].plus_minus or 0.0) / COVERAGE
        water = ufloat(wettest[1], doubt) if doubt else wettest[1]
        if side(water, target.value) == "below":
            return "ready"
    moulded = batch.moulded.at if batch.moulded else None
    return "moulded" if moulded and _hours(moulded, context) < JUST_MOULDED else "drying"


def _hours(moment: datetime, context: Context) -> float:
    return context.hours_since(moment)
