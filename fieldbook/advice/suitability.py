"""What each authority asks of a brick clay, held against what was found."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from fieldbook.advice.results import Input, Result
from fieldbook.advice.review import Review
from fieldbook.quantities import Amount
from fieldbook.tables import load

METHOD = "each authority's range beside what was found; where they disagree, both are shown"
TOO_MUCH = {
    "clay_and_silt": "fat",
    "clay_fraction": "fat",
    "linear_drying_shrinkage": "fat",
    "total_linear_shrinkage": "fat",
    "plasticity_index": "fat",
    "coil": "fat",
    "silt_fraction": "silty",
    "sand_fraction": "lean",
    "lime_lump": "limy",
}
"""What a value above its range means."""
TOO_LITTLE = {
    "clay_and_silt": "lean",
    "clay_fraction": "lean",
    "linear_drying_shrinkage": "lean",
    "plasticity_index": "lean",
    "coil": "lean",
    "sand_fraction": "fat",
}
"""What a value below its range means."""
DO = {
    "fat": "Mix in sand or grog, as temper_for says, and dry slower.",
    "lean": "Mix in a fatter clay; take out the coarse by a sieve.",
    "silty": "Try it with a fatter clay and with sand, 5 to 10 bricks of each.",
    "limy": "Sieve or crush the lime below 2 mm, fire at 900 °C or more, or dig elsewhere.",
}
"""The way out (Practical Action, Assessing the technical problems of brick production; for lime
the Central Building Research Institute of India)."""


def suitability(review: Review, measured: Mapping[str, Amount | None]) -> Result:
    """One row an authority and quantity: its range, what was found, whether they agree."""
    found = {**_from_results(review), **_from_fields(measured)}
    rows = [_row(row, found[row["quantity"]]) for row in _table() if row["quantity"] in found]
    inputs = tuple(given for value in found.values() for given in value["inputs"])
    if not rows:
        return Result(
            name="suitability", value=None, unit=None, method=METHOD,
            needs=("jar", "bars", "liquid_limit", "plastic_limit", "coil"),
        )  # fmt: skip
    return Result(
        name="suitability",
        value=rows,
        unit=None,
        method=METHOD,
        source="; ".join(dict.fromkeys(row["source"] for row in rows)),
        inputs=inputs,
        from_=tuple(dict.fromkeys(given.where for given in inputs if given.where)),
        extra={"agree": _count(rows, "yes"), "disagree": _count(rows, "no"), "do": _do(rows)},
    )


def _table() -> list[dict[str, Any]]:
    rows: list[dict[str, Any]] = load("clay")["suitable"]
    return rows


def _from_results(review: Review) -> dict[str, dict[str, Any]]:
    found: dict[str, dict[str, Any]] = {}
    for name in {row["quantity"] for row in _table()}:
        result = review.get(name)
        if result is not None:
            found[name] = _value(result.number, result.plus_minus, result.inputs)
            if result.low is not None and result.high is not None:
                found[name].update(low=result.low, high=result.high)
    sand = found.get("sand_fraction")
    if sand is not None:
        found["clay_and_silt"] = {**sand, "value": 100 - sand["value"]}
        found["clay_and_silt"].update(low=100 - sand["high"], high=100 - sand["low"])
    return found


def _from_fields(measured: Mapping[str, Amount | None]) -> dict[str, dict[str, Any]]:
    return {
        name: _value(
            1000 * amount.value, 1000 * amount.half, (Input(name, amount.text, amount.where),)
        )
        for name, amount in measured.items()
        if amount is not None and not amount.is_bound
    }


def _value(value: float, half: float | None, inputs: tuple[Input, ...]) -> dict[str, Any]:
    wide = half or 0.0
    return {"value": value, "low": value - wide, "high": value + wide, "inputs": inputs}


def _row(row: dict[str, Any], found: dict[str, Any]) -> dict[str, Any]:
    low, high = row.get("low"), row.get("high")
    answer = {
        "name": row["quantity"],
        "agrees": _agrees(low, high, found),
        "value": found["value"],
        "low": low,
        "high": high,
        "unit": row.get("unit", "%"),
        "aim": row["aim"],
        "source": row["source"] + (", from memory" if row.get("from_memory") else ""),
    }
    if answer["agrees"] == "no":
        above = high is not None and found["value"] > high
        answer["means"] = (TOO_MUCH if above else TOO_LITTLE).get(row["quantity"], "")
    return answer


def _agrees(low: float | None, high: float | None, found: dict[str, Any]) -> str:
    """`yes`, `no`, or `near` where a limit lies within the uncertainty of what was found."""
    limits = [limit for limit in (low, high) if limit is not None]
    if any(found["low"] < limit < found["high"] for limit in limits):
        return "near"
    inside = (low is None or found["value"] >= low) and (high is None or found["value"] <= high)
    return "yes" if inside else "no"


def _count(rows: list[dict[str, Any]], word: str) -> int:
    return sum(row["agrees"] == word for row in rows)


def _do(rows: list[dict[str, Any]]) -> str:
    meanings = [row.get("means") for row in rows if row["agrees"] == "no"]
    told = [DO[word] for word in dict.fromkeys(meanings) if word in DO]
    if "fat" in meanings and "lean" in meanings:
        told = ["The authorities disagree: make 5 to 10 bricks with and without sand, fire both."]
    proof = "Fifty trial bricks through a small kiln decide; jars only screen."
    return " ".join([*told, proof])
