"""What follows from a build: bricks, mortar, firings, whether the bricks are fit, heat."""

from __future__ import annotations

import math
from typing import Any, NamedTuple

from fieldbook.advice import build_count, build_heat, build_work, fitness, mix_choice, pace, stock
from fieldbook.advice.build_count import Count, Pieces
from fieldbook.advice.context import Context
from fieldbook.advice.derive import lines_of, shares
from fieldbook.advice.fitness import LotJudged
from fieldbook.advice.pace import Pace
from fieldbook.advice.results import Input, Result
from fieldbook.advice.review import Review
from fieldbook.advice.stock import Stock
from fieldbook.calc.uncertainty import expanded, nominal
from fieldbook.errors import NotPossible
from fieldbook.records import Build, BuildLine


class Still(NamedTuple):
    """What follows from a build at any hour."""

    wall: Review
    """Bricks, mortar and which are fit."""
    heat: Review
    """What its hot face may see."""
    needed: int | None
    judged: list[LotJudged]


def fill(review: Review, context: Context) -> None:
    """Add all that follows from a build: what holds at any hour, and the days from today on."""
    build = review.entry
    assert isinstance(build, Build)
    still: Still = context.once(_still, build.address)
    _take(review, still.wall)
    fit = sum(one.lot.left for one in still.judged if one.word == "yes")
    need = build_work.add(review, still.needed, _laid(build) + fit, context)
    _take(review, still.heat)
    review.model = need
    review.facts = {
        "laid": _laid(build),
        "lots": fitness.told(still.judged),
        "calendar": need.calendar if need else [],
    }


def _take(review: Review, part: Review) -> None:
    review.problems.extend(part.problems)
    review.cautions.extend(part.cautions)
    review.verdicts.extend(part.verdicts)
    for result in part.results.values():
        review.add(result)


def _still(context: Context, address: str) -> Still:
    build = context.notebook.entry(address)
    assert isinstance(build, Build)
    wall, heat = Review(entry=build), Review(entry=build)
    counted = stock.stock_of(context)
    wall.problems.extend(stock.problems_of(counted, build.path))
    pieces = build_count.pieces_of(build, context)
    number = _count(wall, build, pieces)
    needed = _bricks_needed(wall, build, pieces, number, pace.pace_of(build.mix, context))
    _mortar(wall, build, pieces, number)
    judged = _fit(wall, build, counted, context)
    if build.layers or build.molten_metal or _is_hot(build):
        _hot_face_limit(heat, build, judged, context)
        build_heat.add(heat, build, pieces)
    heat.add(mix_choice.mixes_for(build, context))
    return Still(wall, heat, needed, judged)


def _laid(build: Build) -> int:
    return sum(line.laid or 0 for line in build.log if isinstance(line, BuildLine))


# --- bricks and mortar ---


def _count(review: Review, build: Build, pieces: Pieces) -> Count | None:
    if pieces.needs:
        return None
    try:
        return build_count.count(pieces)
    except NotPossible as refusal:
        review.question("form", f"{build.form}: {refusal}", "Correct its sizes.")
        return None


def _bricks_needed(
    review: Review, build: Build, pieces: Pieces, number: Count | None, own: Pace
) -> int | None:
    told: dict[str, Any] = {"name": "bricks_needed", "unit": "bricks"}
    if number is None:
        because = "" if pieces.needs else "its sizes make no such form"
        review.add(
            Result(value=None, needs=pieces.needs, because=because, inputs=pieces.inputs, **told)
        )
        return None
    spare, given = _spare(build, own)
    whole = number.bricks * (1 + spare / 100)
    needed = math.ceil(float(nominal(whole)) - 1e-9)
    inputs = (*pieces.inputs, given)
    yields = {"drying": own.drying_yield, "firing": own.firing_yield}
    make = math.ceil(needed / (own.drying_yield * own.firing_yield) - 1e-9)
    review.add(
        Result(
            value=needed,
            plus_minus=expanded(whole) or None,
            method=f"{number.method}; and {spare:.3g} % to spare",
            source="geometry; common estimating practice",
            formula=number.formula,
            from_=lines_of(inputs),
            inputs=inputs,
            budget=shares(whole),
            extra={
                "net": float(nominal(number.bricks)),
                "spare": spare,
                "to_mould_for_all": make,
                "yields": yields,
                **number.extra,
            },
            **told,
        )
    )
    return needed


def _spare(build: Build, own: Pace) -> tuple[float, Input]:
    """As the maker wrote it, else what the record shows is broken in handling."""
    spare = build.spare
    if spare is not None and not spare.is_bound:
        return spare.value, Input("to spare", spare.text, spare.where)
    given = next(one for one in own.inputs if one.name == "broken in handling")
    return own.handling_loss, given


def _mortar(review: Review, build: Build, pieces: Pieces, number: Count | None) -> None:
    hot = build.hot_face is not None and build.hot_face.value > build_count.HOT
    told: dict[str, Any] = {
        "name": "mortar_needed",
        "unit": "m³",
        "method": "brickwork less the bricks in it; nothing added for waste",
        "source": "geometry; common estimating practice",
        "formula": "V - n L W H",
        "inputs": pieces.inputs,
        "from_": lines_of(pieces.inputs),
    }
    if number is None:
        because = review.results["bricks_needed"].because
        review.add(Result(value=None, needs=pieces.needs, because=because, **told))
        return
    if number.mortar < 0:
        why = "whole bricks take more room than the form has: they are cut, or its joints closed"
        review.add(Result(value=None, because=why, **told))
        return
    words = (
        "1 sand, 2 laterite gravel, 1 ant-hill soil; no cement, it cracks hot (Agumba and Abbott)"
        if hot
        else "lime and sand, no stronger than the bricks (common practice)"
    )
    review.add(Result(value=number.mortar, extra={"mix": words, "area": number.area}, **told))


# --- stock and fitness ---


def _fit(review: Review, build: Build, counted: Stock, context: Context) -> list[LotJudged]:
    """The lots in stock that the build may take, each judged; and what they amount to."""
    lots = [lot for lot in counted.lots if lot.left and build.mix in (None, lot.mix)]
    judged = [fitness.judge(lot, build, context) for lot in lots]
    fit = sum(one.lot.left for one in judged if one.word == "yes")
    by_word = {
        word: sum(one.lot.left for one in judged if one.word == word)
        for word in ("yes", "no", "unknown")
    }
    review.add(
        Result(
            name="bricks_fit",
            value=fit,
            unit="bricks",
            method="unloaded sound, less laid, sold, broken and fired again, that meet the use",
            source="the record",
            formula="sound - laid - sold - broken - refired, of lots that are fit",
            from_=tuple(f"firings/{one.lot.firing}.toml" for one in judged),
            extra={"in_stock": by_word, "lots": fitness.told(judged)},
        )
    )
    review.add(_fit_for_use(build, judged))
    if build.molten_metal or _is_hot(build):
        review.cautions.append(fitness.CAUTION)
    if build.molten_metal:
        review.cautions.append(f"{fitness.NO_METAL[0].upper()}{fitness.NO_METAL[1:]}.")
    return judged


def _is_hot(build: Build) -> bool:
    face = build.hot_face
    return face is not None and not face.is_bound and face.value > fitness.HOT


def _fit_for_use(build: Build, judged: list[LotJudged]) -> Result:
    """`yes` where some of the bricks in stock are, `no` where none is, else `unknown`."""
    told: dict[str, Any] = {
        "name": "fit_for_use",
        "unit": None,
        "method": "what the exposure and the heat ask for, held against the tests and the firing",
        "source": "grade words of ASTM C62 and C902; which use asks for which is our judgement",
    }
    if build.molten_metal:
        return Result(value="no", because=fitness.NO_METAL, **told)
    if not judged:
        needs = ("fired bricks of this mix in stock",)
        missing = {"measure": "bricks of the mix, fired and unloaded"}
        why = "no fired bricks of this mix are in stock"
        return Result(value="unknown", because=why, needs=needs, extra=missing, **told)
    words = [one.word for one in judged]
    word = next(word for word in ("yes", "unknown", "no") if word in words)
    chosen = [one for one in judged if one.word == word]
    why = "; ".join(dict.fromkeys(why for one in chosen for why in one.why))
    measure = list(dict.fromkeys(need for one in chosen for need in one.measure))
    inputs = tuple(
        Input(f"{one.lot.batch} of {one.lot.firing}", one.word, f"firings/{one.lot.firing}.toml")
        for one in judged
    )
    return Result(
        value=word,
        because=why,
        needs=tuple(measure) if word == "unknown" else (),
        each={f"{one.lot.batch} of {one.lot.firing}": one.word for one in judged},
        inputs=inputs,
        from_=lines_of(inputs),
        extra={"measure": ", ".join(measure)} if measure else {},
        **told,
    )


def _hot_face_limit(
    review: Review, build: Build, judged: list[LotJudged], context: Context
) -> None:
    """The least limit of the lots the build may take; of all firings of the mix without any."""
    told: dict[str, Any] = {
        "name": "hot_face_limit",
        "unit": "°C",
        "method": "peak at the coldest place of their firing, less its uncertainty, less 50 °C, "
        "never above the peak limit of the mix; never for molten metal",
        "source": "common practice",
        "formula": "min(T_peak - U - 50, peak_limit)",
    }
    if build.molten_metal:
        review.add(Result(value=None, because=fitness.NO_METAL, **told))
        return
    lots = [one.lot for one in judged if one.word != "no"] or [one.lot for one in judged]
    if not lots:
        lots = [lot for lot in stock.stock_of(context).lots if build.mix in (None, lot.mix)]
    found = {lot.firing: fitness.heat_limit(lot, context) for lot in lots}
    known = {name: limit for name, limit in found.items() if limit is not None}
    if not known:
        review.add(Result(value=None, needs=("a firing of this mix with its peak",), **told))
        return
    inputs = tuple(
        Input(f"peak of {name}, less 50 °C", f"{limit[0]:.0f} °C", limit[1])
        for name, limit in known.items()
    )
    review.add(
        Result(
            value=min(limit[0] for limit in known.values()),
            each={name: limit[0] for name, limit in known.items()},
            inputs=inputs,
            from_=lines_of(inputs),
            **told,
        )
    )
