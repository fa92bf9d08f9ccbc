"""The mould for a wanted fired brick, side by side."""

from __future__ import annotations

from typing import Any

from fieldbook.advice.context import Context
from fieldbook.advice.derive import Known, as_number, as_result, lines_of, reading, united, work
from fieldbook.advice.results import Result
from fieldbook.advice.review import Review
from fieldbook.calc import mix as mixing
from fieldbook.calc.uncertainty import expanded, nominal
from fieldbook.errors import OutOfRange
from fieldbook.records import Build, Mix

SIDES = ("length", "width", "height")


def mould_size(mix: Mix, review: Review, context: Context) -> Result:
    """Inside of the mould for the brick that a build wants of this mix, with the factor."""
    total = review.get("total_linear_shrinkage")
    if total is None:
        needs = review.results["total_linear_shrinkage"].needs or ("bars",)
        return Result(name="mould_size", value=None, unit="mm", needs=needs)
    shrinkage = Known("total shrinkage", as_number(total), "%", total.inputs)
    try:
        factor = work(mixing.oversize_factor, total_shrinkage=shrinkage)
    except OutOfRange as refusal:
        return Result(name="mould_size", value=None, unit="mm", because=str(refusal))
    wanted = _wanted(mix, context)
    extra: dict[str, Any] = {"factor": factor.value}
    if expanded(factor.number):
        extra["factor_plus_minus"] = expanded(factor.number)
    if wanted is None:
        missing = as_result("mould_size", Known("", None, "mm"), "mm", mixing.mould_size)
        needs = ("a build of this mix with the size of its brick",)
        return missing.but(needs=needs, extra=extra, inputs=total.inputs)
    return _per_side(*wanted, shrinkage, extra)


def _wanted(mix: Mix, context: Context) -> tuple[str, dict[str, Known]] | None:
    """The first build that wants bricks of this mix and says how large."""
    for build in context.notebook.of(Build):
        if build.mix != mix.name or build.brick is None:
            continue
        brick = build.brick
        sides = {
            side: reading(context, getattr(brick, side), f"{side} wanted", f"brick.{side}")
            for side in SIDES
        }
        known = {side: part for side, part in sides.items() if part.there and part.value > 0}
        if known:
            return build.address, known
    return None


def _per_side(
    address: str, wanted: dict[str, Known], shrinkage: Known, extra: dict[str, Any]
) -> Result:
    rows = []
    for side, length in wanted.items():
        size = work(mixing.mould_size, fired_length=length, total_shrinkage=shrinkage)
        row = {"name": side, "value": float(nominal(size.number)), "wanted": 1000 * length.value}
        rows.append({**row, "plus_minus": expanded(size.number)})
    inputs = united([*(length.inputs for length in wanted.values()), shrinkage.inputs])
    return Result(
        name="mould_size",
        value=rows,
        unit="mm",
        method="wanted fired side over 1 - total shrinkage; the same shrinkage on every side",
        source=mixing.mould_size.source,
        formula=mixing.mould_size.formula,
        inputs=inputs,
        from_=lines_of(inputs),
        extra={**extra, "wanted_by": address},
    )
