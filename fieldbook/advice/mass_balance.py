"""From the wet mould to the fired brick: what was lost, what this clay allows, what is a slip."""

from __future__ import annotations

from typing import Any

from fieldbook.advice.context import Context
from fieldbook.advice.derive import Known, as_number, lines_of, missing, united
from fieldbook.advice.dry_mass import DryMasses
from fieldbook.advice.results import Result
from fieldbook.advice.review import Review
from fieldbook.advice.samples import sample
from fieldbook.advice.weighings import MarkedBrick
from fieldbook.calc import mass_balance as balance
from fieldbook.errors import NotPossible
from fieldbook.frozen import frozen
from fieldbook.records import Batch, Mix

SOURCE = "mass balance; usual loss: common practice, a fifth to two fifths"


@frozen
class Clay:
    """What is known of the clay that bears on what a brick may lose."""

    ignition_loss: Known
    """[%] of the dry mass."""
    burn_out: float
    """[%] of the dry mass."""
    carbonate: tuple[float, float]
    """[%] from low to high."""


def clay_of(batch: Batch, context: Context) -> Clay:
    """The ignition loss, burn-out and carbonate of the mix of a batch."""
    review = context.review(f"mixes/{batch.mix}") if batch.mix else None
    if review is None:
        return Clay(missing("mix: loss_on_ignition"), 0.0, (0.0, 0.0))
    loss = review.get("loss_on_ignition")
    known = missing(f"mixes/{batch.mix}: loss_on_ignition")
    if loss is not None:
        known = Known("loss on ignition of the mix", _doubtful(loss), "%", loss.inputs)
    lime = review.results.get("carbonate")
    low, high = (lime.low or 0.0, lime.high) if lime is not None else (0.0, 0.0)
    mix = review.entry
    share = mix.burn_out.share if isinstance(mix, Mix) and mix.burn_out else None
    burns = max(0.0, share.value) if share is not None and not share.is_bound else 0.0
    return Clay(known, burns, (low, low if high is None else high))


def _doubtful(loss: Result) -> Any:
    """The ignition loss with its doubt: never narrower than one part in twenty of it."""
    from uncertainties import ufloat

    number = as_number(loss)
    doubt = max(float(getattr(number, "std_dev", 0.0)), 0.025 * abs(loss.number))
    label = loss.from_[0] if loss.from_ else "loss on ignition"
    return ufloat(loss.number, doubt, label) if doubt else number


def question_fired(
    bricks: dict[str, MarkedBrick], clay: Clay, found: DryMasses, review: Review
) -> Result:
    """Hold every fired weighing against the wet one; slips are left out of all that follows."""
    losses: dict[str, Known] = {}
    verdicts: dict[str, str] = {}
    allowed = None
    for name, brick in bricks.items():
        if brick.wet is None or not brick.fired_masses:
            continue
        fired = brick.fired_masses[-1]
        judged = _judge(brick.wet.known, fired.known, clay, found)
        verdicts[name] = judged.verdict if judged else "not possible"
        allowed = judged.expected if judged else allowed
        if verdicts[name] != "plausible":
            found.left_out.add(fired.where)
            _point_out(name, brick, verdicts[name], judged, review)
            losses[name] = missing()
            continue
        number = 100 * (1 - fired.known.number / brick.wet.known.number)
        inputs = (*brick.wet.known.inputs, *fired.known.inputs)
        losses[name] = Known(f"loss of brick {name}", number, "%", inputs)
    return _result(bricks, losses, verdicts, _allowed(clay, found) or allowed, clay, found)


def _judge(wet: Known, fired: Known, clay: Clay, found: DryMasses) -> balance.LossJudged | None:
    try:
        return balance.judge_loss(
            wet.number,
            fired.number,
            _water(found),
            clay.ignition_loss.number,
            burn_out=clay.burn_out,
            carbonate=clay.carbonate,
        )
    except NotPossible:
        return None


def _water(found: DryMasses) -> Any:
    """Moisture as moulded, where it can be; below zero the piece contradicts the bricks."""
    first = found.first_moisture
    return first.number if first is not None and first.value >= 0 else None


def _allowed(clay: Clay, found: DryMasses) -> balance.Bounds:
    return balance.loss_bounds(
        _water(found),
        clay.ignition_loss.number,
        burn_out=clay.burn_out,
        carbonate=clay.carbonate,
    )


def _point_out(
    name: str,
    brick: MarkedBrick,
    verdict: str,
    judged: balance.LossJudged | None,
    review: Review,
) -> None:
    fired, wet = brick.fired_masses[-1], brick.wet
    assert wet is not None
    texts = f"{wet.known.text} moulded ({wet.where}), {fired.known.text} fired"
    if judged is None:
        why = "it gained mass from the mould to the kiln"
    else:
        low, high = judged.expected
        why = f"{judged.reason}; plausible for this clay is a loss of {low:.0f} to {high:.0f} %"
        why += f", {_range(wet, low, high)} fired"
    words = "is not possible" if verdict == "not possible" else "is questioned"
    review.question_at(
        fired.where,
        f"brick {name}: {texts}: this {words}: {why}",
        "A likely slip of weighing or unit: weigh it again. Nothing is derived from it meanwhile.",
    )


def _range(wet: Any, low: float, high: float) -> str:
    mass = wet.known.value
    return f"{mass * (1 - high / 100):.2f} to {mass * (1 - low / 100):.2f} kg"


def _result(
    bricks: dict[str, MarkedBrick],
    losses: dict[str, Known],
    verdicts: dict[str, str],
    allowed: balance.Bounds,
    clay: Clay,
    found: DryMasses,
) -> Result:
    extra = _expected(bricks, allowed)
    if verdicts:
        extra["verdicts"] = verdicts
    known = [known for known in (found.first_moisture, clay.ignition_loss) if known]
    given = united(part.inputs for part in known)
    told: dict[str, Any] = {
        "method": "mass lost from wet mould to fired brick, over the wet mass",
        "source": SOURCE,
    }
    if not losses:
        return Result(
            name="mass_balance", value=None, unit="%", extra=extra, inputs=given,
            needs=("marked mass", "a mass after firing, with firing = NAME"),
            formula=balance.expected_loss.formula, **told,
        )  # fmt: skip
    result = sample("mass_balance", losses, "%", balance.total_loss, extra=extra, **told)
    result = _beside_found(result, bricks, losses, allowed)
    inputs = united([result.inputs, given])
    return result.but(inputs=inputs, from_=lines_of(inputs))


def _expected(bricks: dict[str, MarkedBrick], allowed: balance.Bounds) -> dict[str, Any]:
    """The loss that is plausible, and what the bricks should then weigh fired."""
    extra: dict[str, Any] = {"plausible_loss": [allowed.low, allowed.high]}
    wets = [brick.wet.known.value for brick in bricks.values() if brick.wet]
    if wets:
        wet = sum(wets) / len(wets)
        ends = [wet * (1 - allowed.high / 100), wet * (1 - allowed.low / 100)]
        extra["expected_mass"] = {"wet": wet, "fired": ends, "unit": "kg"}
    return extra


def _beside_found(
    result: Result,
    bricks: dict[str, MarkedBrick],
    losses: dict[str, Known],
    allowed: balance.Bounds,
) -> Result:
    """With the mass that was found, or with why none of what was weighed can be."""
    fired = [bricks[name].fired_masses[-1] for name in losses if losses[name].there]
    if fired:
        mean = sum(one.known.value for one in fired) / len(fired)
        return result.but(extra={**result.extra, "found_mass": {"value": mean, "unit": "kg"}})
    if result.known:
        return result
    low, high = allowed
    because = f"what was weighed cannot be; plausible is a loss of {low:.0f} to {high:.0f} %"
    return result.but(because=because, needs=())
