"""What a mix is made of by dry mass, and what its parts say of it beforehand."""

from __future__ import annotations

from typing import Any

from fieldbook.advice.context import Context
from fieldbook.advice.derive import (
    Known,
    as_number,
    default,
    lines_of,
    missing,
    reading,
    shares,
    united,
    work,
)
from fieldbook.advice.results import Input, Result
from fieldbook.advice.review import Review
from fieldbook.calc import mix as mixing
from fieldbook.calc.uncertainty import expanded, nominal, rectangular
from fieldbook.errors import NotPossible
from fieldbook.frozen import frozen
from fieldbook.records import Mix, Part

SANDY = ("sand", "grit", "grog", "chamotte", "gravel", "brick dust", "crushed brick")
"""Tempers that hold no clay, neither shrink nor lose mass in the fire, and count as sand."""
STORED_SAND = (0.0, 4.0)
"""[%] Dry basis: water in temper from a heap under a roof; from memory."""
FRACTIONS = ("sand_fraction", "silt_fraction", "clay_fraction")
FOLLOW = (*FRACTIONS, "loss_on_ignition", "linear_drying_shrinkage", "water_of_plasticity")
"""What of a blend follows its parts by dry mass; shrinkage and water only as a first guess."""
PREDICTION = "sum of the parts by dry mass; for shrinkage and water a first guess, the bars decide"


@frozen
class Share:
    """One part of a mix with its dry mass."""

    part: Part
    name: str
    mass: Known
    """kg, dry."""
    clay: Review | None

    @property
    def inert(self) -> bool:
        """Whether it is sand or something that acts as sand."""
        words = (self.part.temper or "").casefold()
        return any(word in words for word in SANDY)


def shares_of(mix: Mix, review: Review, context: Context) -> list[Share]:
    """The parts of a mix, each with its dry mass where it can be told."""
    return [_share(mix, i, part, review, context) for i, part in enumerate(mix.parts, 1)]


def _share(mix: Mix, number: int, part: Part, review: Review, context: Context) -> Share:
    name = part.clay or part.temper or f"part {number}"
    clay = context.review(f"clays/{part.clay}") if part.clay else None
    path = f"parts.{number}"
    moisture = _moisture(part, name, clay, context, path)
    amount = part.mass or part.volume
    quantity = reading(context, amount, f"{name}, as measured", f"{path}.volume")
    try:
        if amount is not None and amount.dimension == "volume":
            density = _density(part, name, clay, context, path)
            mass = work(
                mixing.dry_mass_of_volume, f"dry mass of {name}",
                volume=quantity, density=density, moisture=moisture,
            )  # fmt: skip
        else:
            mass = work(
                mixing.dry_mass_of_moist, f"dry mass of {name}", mass=quantity, moisture=moisture
            )
    except NotPossible as refusal:
        review.question(path, f"{name}: {refusal}", "Write its amount and moisture again.")
        mass = missing(path)
    return Share(part, name, mass, clay)


def _moisture(part: Part, name: str, clay: Review | None, context: Context, path: str) -> Known:
    """As written, else as the clay was dug; of a temper without a word, from a dry heap."""
    own = reading(context, part.moisture, f"moisture of {name}", f"{path}.moisture")
    if own.there:
        return own
    if clay is not None:
        dug = getattr(clay.entry, "field_moisture", None)
        return reading(context, dug, f"moisture of {name} as dug", f"{path}.moisture")
    if part.temper:
        low, high = STORED_SAND
        number = rectangular((low + high) / 2, (high - low) / 2, f"moisture of {name}, from memory")
        words = f"{low:g} to {high:g} %"
        return default(f"moisture of {name}", number, "%", words, "stored dry; from memory")
    return own


def _density(part: Part, name: str, clay: Review | None, context: Context, path: str) -> Known:
    own = reading(context, part.bulk_density, f"bulk density of {name}", f"{path}.bulk_density")
    if own.there or clay is None:
        return own
    of_clay = getattr(clay.entry, "bulk_density", None)
    return reading(context, of_clay, f"bulk density of {name}", f"{path}.bulk_density")


def dry_parts(parts: list[Share]) -> tuple[Result, list[Any]]:
    """The mass fractions, and the same as numbers for what follows; none where one is unknown."""
    told: dict[str, Any] = {
        "name": "dry_parts",
        "unit": "1",
        "method": "dry mass of each part over that of all",
        "source": "definition of moisture on the dry mass",
        "formula": "f_i = m_i / sum(m); m = V rho / (1 + w) or m / (1 + w)",
    }
    inputs = united(share.mass.inputs for share in parts)
    needs = united(share.mass.needs for share in parts) or (() if parts else ("parts",))
    masses = [share.mass.number for share in parts if share.mass.there]
    if needs or len(masses) < len(parts):
        return Result(value=None, needs=needs, inputs=inputs, **told), []
    try:
        fractions = mixing.dry_parts(masses)
    except NotPossible as refusal:
        return Result(value=None, because=str(refusal), inputs=inputs, **told), []
    rows = [
        {"name": share.name, "value": float(nominal(part)), "plus_minus": expanded(part) or None}
        for share, part in zip(parts, fractions, strict=True)
    ]
    widest = max(fractions, key=expanded)
    return Result(
        value=[{k: v for k, v in row.items() if v is not None} for row in rows],
        plus_minus=expanded(widest) or None,
        inputs=inputs,
        from_=lines_of(inputs),
        budget=shares(widest),
        **told,
    ), fractions


def predicted(
    mix: Mix, shares: list[Share], fractions: list[Any], context: Context
) -> dict[str, Known]:
    """What follows of a blend from its parts, by name; only what every part tells."""
    if not fractions:
        return {}
    found = {}
    for name in FOLLOW:
        parts = [_of_part(share, name) for share in shares]
        if all(part.there for part in parts):
            value = sum(f * part.number for f, part in zip(fractions, parts, strict=True))
            inputs = united(
                (*share.mass.inputs, *part.inputs)
                for share, part in zip(shares, parts, strict=True)
            )
            found[name] = Known(name, value, "%", inputs)
        else:
            found[name] = missing(*united(part.needs for part in parts))
    if "loss_on_ignition" in found:
        found["loss_on_ignition"] = _with_burn_out(mix, found["loss_on_ignition"], context)
    return found


def _of_part(share: Share, name: str) -> Known:
    if share.clay is not None:
        result = share.clay.get(name)
        if result is not None and isinstance(result.value, int | float):
            return Known(f"{name} of {share.name}", as_number(result), "%", result.inputs)
        return missing(f"{share.clay.entry.address}: {name}")
    if share.inert:
        value = 100.0 if name == "sand_fraction" else 0.0
        words = "counts as sand: no clay, no shrinkage, no loss"
        return default(f"{name} of {share.name}", value, "%", f"{value:g} %", words)
    return missing(f"{name} of {share.name}")


def _with_burn_out(mix: Mix, loss: Known, context: Context) -> Known:
    """The loss of a mix with something in it that burns: all of it goes."""
    burn_out = mix.burn_out
    if burn_out is None or not loss.there:
        return loss
    share = reading(context, burn_out.share, "burn-out, of the dry mass", "burn_out.share")
    if not share.there:
        return missing("burn_out.share")
    number = loss.number * (1 - share.number / 100) + share.number
    return loss._replace(number=number, inputs=(*loss.inputs, *share.inputs))


def side_by_side(review: Review, found: dict[str, Known]) -> Result:
    """What the parts foretell beside what the bars of the mix showed."""
    rows = []
    for name, known in found.items():
        if not known.there:
            continue
        row: dict[str, Any] = {"name": name, "value": known.value, "unit": "%"}
        if expanded(known.number):
            row["plus_minus"] = expanded(known.number)
        measured = review.get(name)
        if measured is not None and name not in FRACTIONS and measured.extra.get("from") != "parts":
            row["found"] = measured.number
        rows.append(row)
    inputs = united(known.inputs for known in found.values() if known.there)
    needs = united(known.needs for known in found.values()) or ("dry_parts",)
    return Result(
        name="predicted",
        value=rows or None,
        unit=None,
        method=PREDICTION,
        source="mass balance; for shrinkage and water common practice",
        formula="x = sum(f_i x_i)",
        inputs=inputs,
        from_=lines_of(inputs),
        needs=() if rows else needs,
    )


def carbonate_of(shares: list[Share], fractions: list[Any]) -> Result:
    """Carbonate of the mix from that of its clays, a range."""
    if not fractions or any(share.clay is None and not share.inert for share in shares):
        return Result(name="carbonate", value=None, unit="%", needs=("dry_parts",))
    low = high = 0.0
    inputs: list[Input] = []
    open_ended = False
    for share, fraction in zip(shares, fractions, strict=True):
        if share.clay is None:
            continue
        of_clay = share.clay.results.get("carbonate")
        if of_clay is None or of_clay.low is None:
            needs = (f"{share.clay.entry.address}: fizz",)
            return Result(name="carbonate", value=None, unit="%", needs=needs)
        part = float(nominal(fraction))
        low += part * of_clay.low
        high += part * (of_clay.high or 0.0)
        open_ended = open_ended or of_clay.high is None
        inputs.extend(of_clay.inputs)
    return Result(
        name="carbonate",
        value=None if open_ended else (low + high) / 2,
        unit="%",
        low=low,
        high=None if open_ended else high,
        because=f"above {low:.1f} %; fizz tells no more" if open_ended else "",
        method="carbonate of the clays by dry mass",
        source="Kalra and Maynard 1991; mass balance",
        formula="x = sum(f_i x_i)",
        inputs=tuple(inputs),
        from_=lines_of(inputs),
    )
