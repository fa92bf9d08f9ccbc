"""What follows from a batch: its water, how it dries, when it is ready, where its bricks are."""

from __future__ import annotations

from datetime import timedelta
from typing import Any, NamedTuple

from fieldbook.advice import batch_water as water
from fieldbook.advice import dry_mass as dryness
from fieldbook.advice import drying as forecast
from fieldbook.advice import mass_balance, shrinking, stock
from fieldbook.advice.context import Context
from fieldbook.advice.derive import Known, lines_of, reading, united
from fieldbook.advice.dry_mass import DryMasses
from fieldbook.advice.drying import LAW, Drying
from fieldbook.advice.results import Input, Result
from fieldbook.advice.review import Review
from fieldbook.advice.weighings import MarkedBrick, bricks_of, question_all
from fieldbook.calc.drying import NotReady, Ready
from fieldbook.calc.uncertainty import COVERAGE, side
from fieldbook.errors import NotPossible, OutOfRange
from fieldbook.records import Batch

TARGET = 3.0
"""[%] Dry enough to fire where the maker has set nothing; common practice."""
WATER = ("moisture", "moisture_wet_basis")
JUST_MOULDED = 24.0
"""[h] So long a brick counts as moulded, lying flat; Davis, Practical Treatise: 24 h flat."""


class Still(NamedTuple):
    """What follows from a batch at any hour."""

    review: Review
    masses: DryMasses
    newest: Any
    """When a brick was weighed last."""
    waits: bool
    """Whether bricks of it may be still to be fired."""


def fill(review: Review, context: Context) -> None:
    """Add all that follows from a batch: what holds at any hour, and what the hour adds."""
    assert isinstance(review.entry, Batch)
    still = still_of(review.entry, context)
    made = still.review
    review.problems, review.model, review.facts = list(made.problems), made.model, made.facts
    for name, result in made.results.items():
        ages = still.waits and still.newest and name in WATER and result.known
        review.add(result.but(age=context.hours_since(still.newest)) if ages else result)
        if name == WATER[-1] and still.waits:
            review.add(water.expected(made.model, still.masses, context))


def still_of(batch: Batch, context: Context) -> Still:
    """What follows from a batch at any hour."""
    return context.once(_still, batch.address)


def _still(context: Context, address: str) -> Still:
    batch = context.notebook.entry(address)
    assert isinstance(batch, Batch)
    review = Review(entry=batch)
    bricks = bricks_of(batch, context)
    question_all(batch, bricks, review)
    clay = mass_balance.clay_of(batch, context)
    prior, held, taught_by = forecast.taught(batch, context)
    masses = dryness.begin(batch, bricks, review, context, held)
    balance = mass_balance.question_fired(bricks, clay, masses, review)
    dryness.find(batch, bricks, review, context, found=masses, ignition_loss=clay.ignition_loss)
    drying = forecast.fit_of(batch, bricks, masses, context, prior, taught_by)
    target = target_of(batch, context)
    water.add_moistures(review, bricks, masses)
    water.add_free_water(review, batch, masses)
    water.add_rate(review, bricks, masses)
    shrinking.add(review, batch, bricks, context)
    _stage(review, bricks, masses, drying)
    _ready(review, batch, masses, drying, target)
    review.add(balance)
    review.model = drying
    _facts(review, batch, masses, drying, target, context)
    weighed = [one.at for one in water.newest_of(bricks)[0].values()]
    green = stock.stock_of(context).of_batch(batch.name).green
    return Still(review, masses, max(weighed, default=None), green != 0)


def target_of(batch: Batch, context: Context) -> Known:
    """Dry enough: as the batch says, else the notebook, else 3 % (common practice)."""
    practice = context.notebook.settings.practice
    for amount in (batch.target_moisture, practice.target_moisture if practice else None):
        known = reading(context, amount, "target moisture")
        if known.there:
            return known
    given = Input("target moisture", f"{TARGET:g} %", "", "common practice")
    return Known("target moisture", TARGET, "%", (given,))


def _stage(
    review: Review,
    bricks: dict[str, MarkedBrick],
    masses: DryMasses,
    drying: Drying | None,
) -> None:
    """Shrinking, or past the shrinkage stop: by the marks where they tell it, else by the fit."""
    told: dict[str, Any] = {
        "name": "drying_stage",
        "unit": None,
        "formula": "X of the wettest brick against X_c; or marks that no longer move",
    }
    seen = shrinking.stage_by_marks(bricks)
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
    review.add(_stage_by_fit(review, masses, drying, told))


def _stage_by_fit(
    review: Review, masses: DryMasses, drying: Drying, told: dict[str, Any]
) -> Result:
    water = review.get("moisture")
    critical = drying.fit.parameters["critical"]
    wettest = max(float(v) for v in water.each.values() if v is not None) if water else 0.0
    inputs = united(mass.known.inputs for mass in masses.of.values())
    return Result(
        value="shrinking" if wettest > 100 * critical.value else "past the shrinkage stop",
        method="moisture of the wettest brick against the critical moisture of the fit",
        source=LAW,
        extra={"critical": {"value": 100 * critical.value, "plus_minus": 200 * critical.sd}},
        inputs=inputs,
        from_=lines_of(inputs),
        **told,
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
    review.add(_when_ready(review, batch, masses, drying, target, told))


def _when_ready(
    review: Review,
    batch: Batch,
    masses: DryMasses,
    drying: Drying | None,
    target: Known,
    told: dict[str, Any],
) -> Result:
    extra: dict[str, Any] = {"target": target.value, "target_unit": "%"}
    why = masses.refused
    for name, what in masses.suspect.items():
        why = f"brick {name} contradicts itself: {what}"
    if why or drying is None:
        needs = () if why else (("oven_dry",) if not masses.of else ("marked",))
        return Result(value=None, because=why, needs=needs, extra=extra, **told)
    if target.value <= 0:
        review.question_at(
            target.where, f"a target moisture of {target.text} is never reached", "Write 2 to 5 %."
        )
        return Result(value=None, because="no air dries so far", extra=extra, **told)
    answer = forecast.when_ready(drying, target.value)
    extra["weighings"] = drying.fit.weighings
    if drying.weather_notes:
        extra["weather_notes"] = drying.weather_notes
    if drying.taught_by:
        extra["taught_by"] = list(drying.taught_by)
    if isinstance(answer, NotReady):
        return Result(value=None, **_air_dry(answer, drying, batch, target, extra), **told)
    return _foreseen(answer, drying, extra, told)


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
    found = review.get("moisture")
    known = (
        {name: value for name, value in found.each.items() if value is not None} if found else {}
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
        found = ufloat(wettest[1], doubt) if doubt else wettest[1]
        if side(found, target.value) == "below":
            return "ready"
    moulded = batch.moulded.at if batch.moulded else None
    lies_flat = moulded and not context.is_past(moulded + timedelta(hours=JUST_MOULDED))
    return "moulded" if lies_flat else "drying"
