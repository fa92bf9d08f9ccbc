"""What follows from a mix: its parts by dry mass, its trial bars, its mould."""

from __future__ import annotations

from typing import Any

from fieldbook.advice import bars as trial
from fieldbook.advice import blend
from fieldbook.advice.context import Context
from fieldbook.advice.derive import Known, as_result, missing, reading
from fieldbook.advice.learnt_rates import rate_facts
from fieldbook.advice.mould import mould_size
from fieldbook.advice.peak_limit import peak_limit
from fieldbook.advice.results import Result
from fieldbook.advice.review import Review
from fieldbook.advice.samples import sample
from fieldbook.advice.suitability import suitability
from fieldbook.advice.temper import temper_for
from fieldbook.calc import clay as field_tests
from fieldbook.calc import mix as mixing
from fieldbook.calc import moisture
from fieldbook.records import Mix


def fill(review: Review, context: Context) -> None:
    """Add all that follows from a mix."""
    mix = review.entry
    assert isinstance(mix, Mix)
    shares = blend.shares_of(mix, review, context)
    parts, fractions = blend.dry_parts(shares)
    review.add(parts)
    foretold = blend.predicted(mix, shares, fractions, context)
    for name in blend.FRACTIONS:
        known = foretold.get(name, missing("dry_parts"))
        review.add(_from_parts(name, known))
    _texture(review)
    review.add(blend.carbonate_of(shares, fractions))
    bars = trial.bars_of(mix, review, context)
    trial.add_shrinkages(review, bars)
    trial.add_water_and_loss(review, bars)
    review.add(_loss_on_ignition(bars, foretold))
    trial.add_fired_properties(review, bars)
    review.add(blend.side_by_side(review, foretold))
    review.add(mould_size(mix, bars, context))
    review.add(temper_for(review))
    review.add(suitability(review, {}))
    limit = reading(context, mix.no_hotter_than, "never hotter than", "no_hotter_than")
    review.add(peak_limit(limit, bars))
    review.facts = {
        "fired_at": trial.fired_at(bars),
        "trial_blends": _trial_blends(shares),
        **rate_facts(mix, context),
    }


def _from_parts(name: str, known: Known) -> Result:
    result = as_result(name, known, "%", None, blend.PREDICTION, source="mass balance")
    return result.but(formula="x = sum(f_i x_i)", extra={"from": "parts"} if known.there else {})


def _texture(review: Review) -> None:
    """The class of the blend, by what its parts foretell."""
    parts = [review.results[name] for name in blend.FRACTIONS]
    if not all(part.known for part in parts):
        review.add(Result(name="texture_class", value=None, unit=None, needs=("dry_parts",)))
        return
    sand, silt, clay = (part.number for part in parts)
    found = field_tests.texture_class(sand, silt, clay)
    review.add(
        Result(
            name="texture_class",
            value=found.name,
            unit=None,
            method="texture triangle, with the shares of the parts",
            source=found.source + (", from memory" if found.from_memory else ""),
            formula="the first class of the table whose limits hold",
            from_=parts[0].from_,
            inputs=parts[0].inputs,
            extra={"from": "parts"},
        )
    )


def _loss_on_ignition(bars: dict[str, trial.TrialBar], foretold: dict[str, Known]) -> Result:
    """Of the bars weighed dry and fired; where there are none, as the parts foretell."""
    losses = trial.ignition_losses(bars)
    if any(part.there for part in losses.values()):
        extra = {"basis": "dry mass", "fired_at": trial.fired_at(bars)}
        return sample(
            "loss_on_ignition", losses, "%", moisture.loss_on_ignition,
            method="bars weighed dry and fired", extra=extra,
        )  # fmt: skip
    known = foretold.get("loss_on_ignition", missing("dry_parts"))
    if known.there:
        return _from_parts("loss_on_ignition", known)
    needs = ("bars with dry_mass and fired_mass", *known.needs)
    return Result(name="loss_on_ignition", value=None, unit="%", needs=needs)


def _trial_blends(shares: list[blend.Share]) -> list[dict[str, Any]]:
    """A short line of blends of its clay and temper, where both densities are known."""
    clay = next((share for share in shares if share.clay is not None), None)
    temper = next((share for share in shares if share.inert), None)
    if clay is None or temper is None:
        return []
    densities = [_loose(share) for share in (clay, temper)]
    if None in densities:
        return []
    blends = mixing.trial_blends(*(float(density or 0.0) for density in densities))
    return [one._asdict() for one in blends]


def _loose(share: blend.Share) -> float | None:
    """Dry mass in a measure as filled [kg/m³]."""
    volume = share.part.volume
    if volume is None or volume.is_bound or not volume.value or not share.mass.there:
        return None
    return share.mass.value / volume.value
