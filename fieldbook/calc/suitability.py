"""Is this a brick clay? What each authority says, side by side; none is silently picked."""

from collections.abc import Mapping
from typing import NamedTuple

from fieldbook.calc.uncertainty import Value, expanded, nominal
from fieldbook.tables import load

FIX = {
    ("clay_and_silt", "below"): "mix in a fatter clay",
    ("clay_and_silt", "above"): "mix in sand or grog",
    ("clay_fraction", "below"): "mix in a fatter clay",
    ("clay_fraction", "above"): "mix in sand: as much as temper_for_clay says",
    ("silt_fraction", "above"): "mix in sand and a fatter clay: silt neither binds nor opens",
    ("sand_fraction", "below"): "mix in sand or grog",
    ("sand_fraction", "above"): "sieve out coarse sand, or mix in a fatter clay",
    ("linear_drying_shrinkage", "above"): "mix in sand: about 1 to 3 or 4 of clay; dry slower",
    ("linear_drying_shrinkage", "below"): "lean, but no fault by itself: see that edges hold",
    ("total_linear_shrinkage", "above"): "mix in sand, or fire less hot",
    ("plasticity_index", "below"): "mix in a fatter clay",
    ("plasticity_index", "above"): "mix in sand or grog",
    ("iron", "below"): "nothing to mend: it burns buff, not red",
    ("lime_lump", "above"): "sieve or crush below 2 mm, fire at 900 degC or more",
    ("coil", "below"): "mix in a fatter clay",
    ("coil", "above"): "mix in sand",
    ("cold_absorption", "above"): "fire hotter or longer, or a finer mix",
}  # fmt: skip
"""What to do: Practical Action briefs KnO-100076 and KnO-100081; E. M. Tappan, Diggers in the
Earth, 1916 (1 sand to 3 or 4 clay); Central Building Research Institute of India (lime)."""


class Opinion(NamedTuple):
    """What one authority says of one value."""

    quantity: str
    value: float
    low: float | None
    high: float | None
    unit: str
    says: str
    """"within", "below", "above", or "near": the limit lies within the doubt."""
    aim: str
    source: str
    weak: bool
    """From memory, or an informal source."""
    do: str | None
    """What to do about it, where it lies outside."""


class Suitability(NamedTuple):
    """All opinions on a clay, and where they clash."""

    opinions: tuple[Opinion, ...]
    agreed: tuple[str, ...]
    """Quantities that all who speak of them find within their range."""
    clashing: tuple[str, ...]
    """Quantities on which authorities disagree about this clay."""
    against: tuple[str, ...]
    """Quantities that all who speak of them find outside their range."""


def suitability(found: Mapping[str, Value]) -> Suitability:
    """Hold what is known of a clay against each authority's range.

    Formula:
        low <= value <= high, for each range of the table
    Args:
        found: name of the quantity -> value in its unit, with uncertainty or without: sand,
            silt and clay fraction, linear shrinkages, plasticity_index, iron in %; coil and
            lime_lump in mm. clay_and_silt is added up where it is missing.
    Returns:
        Suitability; quantities that no table speaks of are left out.
    Source:
        Each range in the table names its own.
    Example:
        >>> suitability({"linear_drying_shrinkage": 6.0}).agreed
        ('linear_drying_shrinkage',)
    """
    values = dict(found)
    if "clay_and_silt" not in values and {"clay_fraction", "silt_fraction"} <= values.keys():
        values["clay_and_silt"] = values["clay_fraction"] + values["silt_fraction"]
    opinions = [
        _opinion(row, values[row["quantity"]])
        for row in load("clay")["suitable"]
        if values.get(row["quantity"]) is not None
    ]
    says = {name: {one.says for one in opinions if one.quantity == name} for name in values}
    return Suitability(
        opinions=tuple(opinions),
        agreed=tuple(name for name, words in says.items() if words == {"within"}),
        clashing=tuple(name for name, words in says.items() if len(words) > 1),
        against=tuple(name for name, words in says.items() if words in ({"below"}, {"above"})),
    )


def _opinion(row: Mapping[str, object], value: Value) -> Opinion:
    low, high, name = row.get("low"), row.get("high"), str(row["quantity"])
    says = _says(value, low, high)
    return Opinion(
        quantity=name,
        value=float(nominal(value)),
        low=low,  # type: ignore[arg-type]
        high=high,  # type: ignore[arg-type]
        unit=str(row.get("unit", "%")),
        says=says,
        aim=str(row["aim"]),
        source=str(row["source"]),
        weak=bool(row.get("from_memory") or row.get("informal")),
        do=FIX.get((name, says)),
    )


def _says(value: Value, low: object, high: object) -> str:
    middle, doubt = float(nominal(value)), expanded(value)
    for limit in (low, high):
        if isinstance(limit, float | int) and doubt and abs(middle - limit) <= doubt:
            return "near"
    if isinstance(low, float | int) and middle < low:
        return "below"
    return "above" if isinstance(high, float | int) and middle > high else "within"
