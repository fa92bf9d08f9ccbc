"""What follows from the field tests and trial bars of a clay."""

from __future__ import annotations

from itertools import product
from typing import Any

from fieldbook.advice import bars as trial
from fieldbook.advice.context import Context
from fieldbook.advice.derive import (
    Known,
    as_result,
    derive,
    lines_of,
    missing,
    reading,
    shares,
    united,
)
from fieldbook.advice.peak_limit import peak_limit
from fieldbook.advice.results import Input, Result
from fieldbook.advice.review import Review
from fieldbook.advice.samples import sample
from fieldbook.advice.suitability import suitability
from fieldbook.advice.temper import temper_for
from fieldbook.calc import clay as field_tests
from fieldbook.calc import moisture, plasticity
from fieldbook.calc.uncertainty import expanded
from fieldbook.errors import NotPossible, OutOfRange
from fieldbook.records import Clay, Jar

SWOLLEN = "a fresh clay layer is swollen, so clay reads high and sand and silt low (from memory)"


def fill(review: Review, context: Context) -> None:
    """Add all that follows from a clay."""
    clay = review.entry
    assert isinstance(clay, Clay)
    _fractions(review, clay, context)
    _texture(review)
    _plasticity(review, clay, context)
    review.add(carbonate(clay))
    bars = trial.bars_of(clay, review, context)
    trial.add_shrinkages(review, bars)
    trial.add_water_and_loss(review, bars)
    review.add(loss_on_ignition(review, clay, bars, context))
    trial.add_fired_properties(review, bars)
    review.add(temper_for(review))
    review.add(suitability(review, {"coil": clay.coil, "lime_lump": clay.lime_lump}))
    review.add(peak_limit(missing("no_hotter_than"), bars))
    review.facts = {"fired_at": trial.fired_at(bars), "tests": _done(clay)}


def _done(clay: Clay) -> tuple[str, ...]:
    """The field tests that were made."""
    made = {
        "jar": clay.jar,
        "thread": clay.thread,
        "coil": clay.coil,
        "ribbon": clay.ribbon,
        "fizz": clay.fizz,
        "dry strength": clay.dry_strength,
        "limits": clay.liquid_limit and clay.plastic_limit,
        "bars": clay.bars,
    }
    return tuple(name for name, result in made.items() if result)


# --- what it is made of ---


def _fractions(review: Review, clay: Clay, context: Context) -> None:
    """Sand, silt and clay from the jar; the clay by the thread where there is no jar."""
    jar = clay.jar or Jar()
    layers = {
        name: reading(context, getattr(jar, name), f"depth of the {name} layer", f"jar.{name}")
        for name in ("sand", "silt", "clay")
    }
    extra = {"bias": SWOLLEN, "marked_after": _marked(clay), **_still_floating(clay, layers)}
    try:
        shares = _shares(layers)
    except NotPossible as refusal:
        review.question("jar", str(refusal), "Measure the layers again.")
        shares = {}
    for name, layer in layers.items():
        known = shares.get(name) or missing(*united(part.needs for part in layers.values()))
        result = as_result(
            f"{name}_fraction", known.called(layer.name), "%", field_tests.jar_fractions,
            "depth of the layer over that of all, by volume",
        )  # fmt: skip
        review.add(result.but(extra=extra if result.known else {}))
    if not review.get("clay_fraction") and clay.thread and not clay.thread.is_bound:
        _clay_by_thread(review, clay)


def _shares(layers: dict[str, Known]) -> dict[str, Known]:
    if not all(layer.there for layer in layers.values()):
        return {}
    numbers = {name: layer.to("mm") for name, layer in layers.items()}
    inputs = united(layer.inputs for layer in layers.values())
    floats = {name: layer.value for name, layer in layers.items()}
    field_tests.jar_fractions.plain(**floats)
    total = sum(numbers.values())
    return {
        name: Known(name, 100 * number / total, "%", inputs) for name, number in numbers.items()
    }


def _marked(clay: Clay) -> dict[str, str]:
    """When each layer was marked, as written; nothing where it is not."""
    jar = clay.jar
    times = {name: getattr(jar, f"{name}_after", None) for name in ("sand", "silt", "clay")}
    return {name: time.text if time else "not written" for name, time in times.items()}


def _still_floating(clay: Clay, layers: dict[str, Known]) -> dict[str, Any]:
    """The grain that had just settled when the silt was marked: what is finer counts as clay."""
    after = clay.jar.silt_after if clay.jar else None
    depth = sum(layer.value for layer in layers.values() if layer.there)
    if after is None or after.is_bound or after.value <= 0 or depth <= 0:
        return {}
    size = field_tests.coarsest_still_floating.plain(3600 * after.value, depth)
    return {"counted_as_clay_below": {"value": 1e6 * float(size), "unit": "µm"}}


def _clay_by_thread(review: Review, clay: Clay) -> None:
    thread = clay.thread
    assert thread is not None
    formula = field_tests.clay_from_thread
    try:
        found = formula.plain(1000 * thread.value)
    except OutOfRange as refusal:
        review.add(review.results["clay_fraction"].but(because=str(refusal)))
        return
    review.add(
        Result(
            name="clay_fraction",
            value=(found.low + found.high) / 2,
            unit="%",
            low=found.low,
            high=found.high,
            method="thinnest roll that holds together, by mass",
            source=found.source,
            formula=formula.formula,
            from_=(thread.where,),
            inputs=(Input("thinnest thread", thread.text, thread.where),),
        )
    )


def _texture(review: Review) -> None:
    """The class of the texture triangle, and those as likely within the uncertainty."""
    parts = [review.results[f"{name}_fraction"] for name in ("sand", "silt", "clay")]
    if not all(part.known and part.low is None for part in parts):
        needs = united(part.needs for part in parts) or ("jar",)
        review.add(Result(name="texture_class", value=None, unit=None, needs=needs))
        return
    sand, silt, clay = (part.number for part in parts)
    found = field_tests.texture_class(sand, silt, clay)
    near = sorted(set(_nearby(parts)) - {found.name})
    review.add(
        Result(
            name="texture_class",
            value=found.name,
            unit=None,
            method="texture triangle, with shares by depth in the jar",
            source=found.source + (", from memory" if found.from_memory else ""),
            formula="the first class of the table whose limits hold",
            from_=parts[0].from_,
            inputs=parts[0].inputs,
            extra={"could_be": near} if near else {},
        )
    )


def _nearby(parts: list[Result]) -> list[str]:
    sand, _, clay = parts
    found = []
    for one, other in product((-1, 1), repeat=2):
        s = sand.number + one * (sand.plus_minus or 0.0)
        c = clay.number + other * (clay.plus_minus or 0.0)
        if s >= 0 and c >= 0 and s + c <= 100:
            found.append(field_tests.texture_class(s, 100 - s - c, c).name)
    return found


# --- how it behaves ---


def _plasticity(review: Review, clay: Clay, context: Context) -> None:
    liquid = reading(context, clay.liquid_limit, "liquid limit", "liquid_limit")
    plastic = reading(context, clay.plastic_limit, "plastic limit", "plastic_limit")
    field = reading(context, clay.field_moisture, "moisture as dug", "field_moisture")
    remedy = "See whether the two limits changed places."
    index = derive(
        review, "plasticity_index", plasticity.plasticity_index, "%",
        liquid_limit=liquid, plastic_limit=plastic, remedy=remedy,
    )  # fmt: skip
    contradicting = bool(index.because)
    if contradicting:
        liquid = plastic = missing()
    derive(
        review, "liquidity_index", plasticity.liquidity_index, "1",
        moisture=field, liquid_limit=liquid, plastic_limit=plastic, remedy=remedy,
    )  # fmt: skip
    content = review.results["clay_fraction"]
    share = Known("clay content", content.value, "%", content.inputs) if content.known else None
    span = (
        Known("plasticity index", liquid.number - plastic.number, "%", index.inputs)
        if index.known
        else missing(*index.needs)
    )
    derive(
        review, "activity", plasticity.activity, "1", index=span,
        clay=share or missing(*content.needs), remedy="Look at the jar again.",
        extra={"bands": "below 0.75 is usually called inactive, from memory; one published "
               "example calls 0.40 normal"},
    )  # fmt: skip


def carbonate(clay: Clay) -> Result:
    """Carbonate from the fizz: a range, since the rules for the same fizz disagree."""
    if clay.fizz is None:
        return Result(name="carbonate", value=None, unit="%", needs=("fizz",))
    found = field_tests.carbonate_from_fizz(clay.fizz)
    where = clay.where("fizz")
    told: dict[str, Any] = {
        "name": "carbonate",
        "unit": "%",
        "low": found.low,
        "method": "fizz with a drop of 1 M acid; the same fizz is read differently, so a range",
        "source": found.source,
        "formula": "the row of the table for what was seen",
        "from_": (where,),
        "inputs": (Input("fizz", clay.fizz, where),),
    }
    if found.high >= 100:
        return Result(value=None, because=f"above {found.low:g} %; fizz tells no more", **told)
    return Result(value=(found.low + found.high) / 2, high=found.high, **told)


def loss_on_ignition(
    review: Review, clay: Clay, bars: dict[str, trial.TrialBar], context: Context
) -> Result:
    """As the maker wrote it, else from the bars weighed dry and fired."""
    written = reading(context, clay.loss_on_ignition, "loss on ignition", "loss_on_ignition")
    if written.there:
        return Result(
            name="loss_on_ignition",
            value=written.value,
            unit="%",
            plus_minus=expanded(written.number) or None,
            method="as written, on the dry mass",
            source="the maker",
            formula="as written",
            budget=shares(written.number),
            from_=lines_of(written.inputs),
            inputs=written.inputs,
        )
    losses = trial.ignition_losses(bars)
    extra = {"basis": "dry mass", "fired_at": trial.fired_at(bars)}
    return sample(
        "loss_on_ignition", losses or {"": missing("loss_on_ignition", "bars")}, "%",
        moisture.loss_on_ignition, method="bars weighed dry and fired", extra=extra,
    )  # fmt: skip
