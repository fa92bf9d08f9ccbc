"""The mould for a wanted fired brick, side by side."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from fieldbook.advice.bars import TrialBar, total_shrinkages
from fieldbook.advice.context import Context
from fieldbook.advice.derive import Known, as_result, lines_of, reading, united, work
from fieldbook.advice.results import Result
from fieldbook.calc import mix as mixing
from fieldbook.calc import shrinkage
from fieldbook.calc.uncertainty import expanded, nominal
from fieldbook.errors import NotPossible, OutOfRange
from fieldbook.records import Batch, Build, Firing, Mix, Test

SIDES = ("length", "width", "height")
NEAR_THE_PEAK = 30.0
"""[K] Bars fired this near to the usual peak tell its shrinkage; common practice."""


def mould_size(mix: Mix, bars: Mapping[str, TrialBar], context: Context) -> Result:
    """Inside of the mould for the brick that a build wants of this mix, with the factor.

    A side that was measured from mould to fired brick has its own shrinkage; the others have that
    of the trial bars, those fired near the usual peak where there are such.
    """
    found = _shrinkage(mix, bars, context)
    by_side = _found_by_side(mix, context)
    if found is None and not by_side:
        needs = ("bars with wet and fired",)
        return Result(name="mould_size", value=None, unit="mm", needs=needs, **_told())
    extra: dict[str, Any] = {}
    if found is not None:
        shrinks, words = found
        factor = work(mixing.oversize_factor, total_shrinkage=shrinks)
        extra.update(factor=factor.value, shrinkage=shrinks.value, bars=words)
        if expanded(factor.number):
            extra["factor_plus_minus"] = expanded(factor.number)
    if by_side:
        extra["measured_sides"] = {side: part.value for side, part in by_side.items()}
    wanted = _wanted(mix, context)
    if wanted is None:
        missing = as_result("mould_size", Known("", None, "mm"), "mm", mixing.mould_size)
        needs = ("a build of this mix with the size of its brick",)
        inputs = found[0].inputs if found else ()
        return missing.but(needs=needs, extra=extra, inputs=inputs)
    every = found[0] if found else None
    return _per_side(*wanted, {side: by_side.get(side, every) for side in SIDES}, extra)


def _told() -> dict[str, Any]:
    formula = mixing.mould_size
    return {
        "method": "wanted fired side over 1 - total shrinkage along it",
        "source": formula.source,
        "formula": formula.formula,
    }


def _shrinkage(
    mix: Mix, bars: Mapping[str, TrialBar], context: Context
) -> tuple[Known, str] | None:
    """The total shrinkage of the bars: of those near the usual peak, else of all."""
    known = {name: part for name, part in total_shrinkages(bars).items() if part.there}
    if not known:
        return None
    peak = _usual_peak(mix, context)
    near = {
        name: part
        for name, part in known.items()
        if peak is not None
        and bars[name].readings["fired_at"].there
        and abs(bars[name].readings["fired_at"].value - peak) <= NEAR_THE_PEAK
    }
    words = f"{', '.join(near)}, fired near the usual {peak:.0f} °C" if near else "all sound ones"
    chosen = near or known
    mean = sum(part.number for part in chosen.values()) / len(chosen)
    return Known("total shrinkage", mean, "%", united(p.inputs for p in chosen.values())), words


def _usual_peak(mix: Mix, context: Context) -> float | None:
    """The peak planned for the latest firing with bricks of this mix [°C]."""
    found: list[tuple[float, float]] = []
    for firing in context.notebook.of(Firing):
        peak = firing.plan.peak if firing.plan else None
        if peak is None or peak.is_bound:
            continue
        batches = (context.notebook.entry(f"batches/{load.batch}") for load in firing.load)
        if any(isinstance(batch, Batch) and batch.mix == mix.name for batch in batches):
            when = firing.log[0].at.timestamp() if firing.log else 0.0
            found.append((when, peak.value))
    return max(found)[1] if found else None


def _found_by_side(mix: Mix, context: Context) -> dict[str, Known]:
    """Total shrinkage along each side, from the mould of a batch to its fired bricks on test."""
    found: dict[str, list[Known]] = {}
    for test in context.notebook.of(Test):
        batch = context.notebook.entry(f"batches/{test.batch}") if test.batch else None
        if not isinstance(batch, Batch) or batch.mix != mix.name or batch.mould is None:
            continue
        for side in SIDES:
            mould = reading(context, getattr(batch.mould, side), f"{side} of the mould")
            for name, brick in test.specimens.items():
                fired = reading(context, getattr(brick, side), f"{side} of brick {name}")
                try:
                    part = work(shrinkage.total_shrinkage, wet_length=mould, fired_length=fired)
                except NotPossible:
                    continue
                if part.there:
                    found.setdefault(side, []).append(part)
    return {
        side: Known(
            f"shrinkage along the {side}",
            sum(part.number for part in parts) / len(parts),
            "%",
            united(part.inputs for part in parts),
        )
        for side, parts in found.items()
    }


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
    address: str,
    wanted: dict[str, Known],
    shrinks: Mapping[str, Known | None],
    extra: dict[str, Any],
) -> Result:
    rows, inputs = [], []
    for side, length in wanted.items():
        part = shrinks[side]
        if part is None:
            continue
        try:
            size = work(mixing.mould_size, fired_length=length, total_shrinkage=part)
        except OutOfRange:
            continue
        row = {"name": side, "value": float(nominal(size.number)), "wanted": 1000 * length.value}
        rows.append({**row, "shrinkage": part.value, "plus_minus": expanded(size.number)})
        inputs.append(size.inputs)
    given = united(inputs)
    return Result(
        name="mould_size",
        value=rows,
        unit="mm",
        inputs=given,
        from_=lines_of(given),
        extra={**extra, "wanted_by": address},
        **_told(),
    )
