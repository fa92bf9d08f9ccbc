"""What each authority asks of a brick clay, held against what was found."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from fieldbook.advice.derive import Known, as_number, united
from fieldbook.advice.results import Input, Result
from fieldbook.advice.review import Review
from fieldbook.calc.suitability import Opinion, Suitability
from fieldbook.calc.suitability import suitability as opinions_on
from fieldbook.calc.uncertainty import rectangular
from fieldbook.quantities import Amount

METHOD = "each authority's range beside what was found; where they disagree, both are shown"
DERIVED = (
    "sand_fraction",
    "silt_fraction",
    "clay_fraction",
    "linear_drying_shrinkage",
    "total_linear_shrinkage",
    "plasticity_index",
)
PROOF = "Fifty trial bricks through a small kiln decide; jars only screen."
"""Beamish and Donovan, Village-Level Brickmaking, appendix."""


def suitability(review: Review, measured: Mapping[str, Amount | None]) -> Result:
    """One row an authority and quantity: its range, what was found, whether they agree."""
    found = {**_derived(review), **_written(measured)}
    if not found:
        return Result(
            name="suitability", value=None, unit=None, method=METHOD,
            needs=("jar", "bars", "liquid_limit", "plastic_limit", "coil"),
        )  # fmt: skip
    judged = opinions_on({name: known.number for name, known in found.items()})
    inputs: tuple[Input, ...] = united(known.inputs for known in found.values())
    return Result(
        name="suitability",
        value=[_row(opinion) for opinion in judged.opinions],
        unit=None,
        method=METHOD,
        source="; ".join(dict.fromkeys(opinion.source for opinion in judged.opinions)),
        formula="low <= value <= high, for each range of the table",
        inputs=inputs,
        from_=tuple(dict.fromkeys(given.where for given in inputs if given.where)),
        extra={
            "agreed": list(judged.agreed),
            "clashing": list(judged.clashing),
            "against": list(judged.against),
            "do": _do(judged),
        },
    )


def _derived(review: Review) -> dict[str, Known]:
    found = {}
    for name in DERIVED:
        result = review.get(name)
        if result is not None and isinstance(result.value, int | float):
            found[name] = Known(name, as_number(result), "%", result.inputs)
    return found


def _written(measured: Mapping[str, Amount | None]) -> dict[str, Known]:
    """Lengths as written, in the millimetres of the table."""
    return {
        name: Known(
            name,
            rectangular(1000 * amount.value, 1000 * amount.half, amount.where),
            "mm",
            (Input(name, amount.text, amount.where),),
        )
        for name, amount in measured.items()
        if amount is not None and not amount.is_bound
    }


def _row(opinion: Opinion) -> dict[str, Any]:
    row: dict[str, Any] = {
        "name": opinion.quantity,
        "agrees": {"within": "yes", "near": "near"}.get(opinion.says, "no"),
        "says": opinion.says,
        "value": opinion.value,
        "low": opinion.low,
        "high": opinion.high,
        "unit": opinion.unit,
        "aim": opinion.aim,
        "source": opinion.source,
    }
    if opinion.weak:
        row["weak"] = "from memory or an informal source"
    if opinion.do:
        row["do"] = opinion.do
    return row


def _do(judged: Suitability) -> str:
    """What to do where nobody disagrees; where they clash, let bricks decide."""
    told = [one.do for one in judged.opinions if one.do and one.quantity in judged.against]
    words = [f"{word[0].upper()}{word[1:]}." for word in dict.fromkeys(told)]
    if judged.clashing:
        names = ", ".join(name.replace("_", " ") for name in judged.clashing)
        words.append(f"Authorities disagree on {names}: make 5 to 10 bricks with and without sand.")
    return " ".join([*words, PROOF])
