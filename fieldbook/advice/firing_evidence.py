"""What is seen beside the thermometer: glow, cones, draw bricks, settling; by its width."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, NamedTuple

import numpy as np

from fieldbook.advice.firing_case import FiringCase
from fieldbook.advice.firing_readings import (
    FiringLog,
    Reading,
    Series,
    joined,
    place_name,
    start_for,
    start_of,
)
from fieldbook.advice.named_tables import glow_problem
from fieldbook.advice.results import Input, Result
from fieldbook.calc.cones import cone_evidence
from fieldbook.calc.evidence import Evidence, combined, from_curve, settling_shrinkage
from fieldbook.calc.glow import glow
from fieldbook.calc.heat_work import one_hour_temperature, wanted_temperature, work_along
from fieldbook.errors import FieldbookError
from fieldbook.records import Firing, FiringLine, Mix

USUAL_CLIMB = 60.0
"""K/h over the last 100 K where no reading tells; the middle of the cone chart; from memory."""


class Seen(NamedTuple):
    """One observation that speaks of temperature or heat-work."""

    place: str
    hours: float
    of: str
    """`temperature` or `heat-work`."""
    evidence: Evidence
    text: str
    where: str


def take_glow(case: FiringCase) -> None:
    """Colours of the glow as readings at places without a thermometer; the rest as evidence."""
    practice = case.context.notebook.settings.practice
    name = practice.glow_list if practice else None
    unknown = glow_problem(case.context.notebook.settings)
    if unknown and any(line.glow for line in _lines(case.firing)):
        name = None
        case.review.problems.append(unknown)
    default = place_name(None, case.firing)
    rows: dict[str, list[Reading]] = {}
    for line in _lines(case.firing):
        if not line.glow:
            continue
        place = line.place.strip().casefold() if line.place else default
        try:
            band = glow(line.glow, name, line.light or "shade")
        except FieldbookError as refusal:
            case.review.question_at(line.where, str(refusal).splitlines()[0], _remedy(refusal))
            continue
        hours = case.log.hours(line.at)
        seen = Seen(place, hours, "temperature", band.evidence(), line.glow, line.where)
        case.seen.append(seen)
        if band.high is not None and place not in case.log.series:
            middle, half = (band.low + band.high) / 2, (band.high - band.low) / 2
            rows.setdefault(place, []).append(
                Reading(hours, middle, half, half, place, "face", True, line.glow, line.where)
            )
    start = start_of(case.firing, case.log, case.lit)
    for place, readings in rows.items():
        kept = tuple(joined(readings))
        case.log.series[place] = Series(place, "face", "glow", kept, start_for(kept[0], start))


def _remedy(refusal: FieldbookError) -> str:
    return getattr(refusal, "remedy", "Write the colour by a word of the list in use.")


def _lines(firing: Firing) -> Iterator[FiringLine]:
    return (line for line in firing.log if isinstance(line, FiringLine))


def take_cones(case: FiringCase) -> None:
    """Cones as heat-work: what a climb to the bending point does, at the climb it had there."""
    default = place_name(None, case.firing)
    for line in _lines(case.firing):
        if not line.cone:
            continue
        place = line.place.strip().casefold() if line.place else default
        hours = case.log.hours(line.at)
        climb = _climb_before(case.log, place, hours)
        number = line.cone.casefold().removeprefix("cone").strip()
        try:
            bend = cone_evidence(number, line.state or "bent", climb)
        except FieldbookError as refusal:
            case.review.question_at(
                line.where, str(refusal).splitlines()[0], "Write the cone as printed on it."
            )
            continue
        worked = _one_hour(bend.value, climb)
        evidence = Evidence("cone", worked, bend.half, bend.side, bend.source)
        text = f"cone {number} {line.state or 'bent'}"
        case.seen.append(Seen(place, hours, "heat-work", evidence, text, line.where))


def _climb_before(log: FiringLog, place: str, hours: float) -> float:
    """K/h over the last 100 K at a place, from its readings; the usual climb without them."""
    series = log.series.get(place)
    rows = [r for r in series.readings if r.hours <= hours + 1e-9] if series else []
    if len(rows) < 2:
        return USUAL_CLIMB
    last = rows[-1]
    first = next((r for r in reversed(rows[:-1]) if r.value <= last.value - 100), rows[0])
    slope = (last.value - first.value) / (last.hours - first.hours)
    return slope if slope > 1 else USUAL_CLIMB


def _one_hour(peak: float, climb: float) -> float:
    """The one-hour temperature of a steady climb that ends at a peak."""
    hours = np.linspace(0.0, 400.0 / climb, 200)
    work = work_along(hours, peak - 400.0 + climb * hours)[-1]
    return float(one_hour_temperature.plain(float(work)))


def take_draws(case: FiringCase) -> None:
    """Draw bricks, by how far they shrank against the mix's own trial bars."""
    for line in _lines(case.firing):
        if line.draw is None or line.marks is None or line.marks.is_bound:
            continue
        found = _dry_marks(case, line.draw)
        if found is None:
            continue
        dry, mix = found
        curve = shrinkage_curve(mix)
        shrunk = 100 * (dry - line.marks.value) / dry
        half = 100 * (line.marks.half + 0.0005) / dry
        place = line.place.strip().casefold() if line.place else place_name(None, case.firing)
        try:
            evidence = from_curve(shrunk, half, curve)
        except FieldbookError:
            continue
        case.seen.append(
            Seen(
                place,
                case.log.hours(line.at),
                "heat-work",
                evidence,
                f"draw {line.draw}, {shrunk:.1f} % shrunk",
                line.where,
            )
        )


def _dry_marks(case: FiringCase, brick: str) -> tuple[float, Mix] | None:
    """The marks of a marked brick when dry, m, and its mix."""
    for lot in case.loaded.lots:
        marked = lot.batch.marked.get(brick) if lot.batch else None
        if lot.batch is None or lot.mix is None or marked is None:
            continue
        later = [
            line.marks.value  # type: ignore[attr-defined]
            for line in lot.batch.log
            if getattr(line, "brick", None) == brick
            and getattr(line, "marks", None)
            and not getattr(line, "firing", None)
        ]
        if later:
            return min(later), lot.mix
    return None


def shrinkage_curve(mix: Mix) -> list[tuple[float, float]]:
    """Heat-work [degC of one hour] and firing shrinkage [%] of the trial bars of a mix."""
    points: dict[float, list[float]] = {}
    for bar in mix.bars.values():
        if bar.dry and bar.fired and bar.fired_at and bar.dry.value > 0:
            hold = bar.hold.value if bar.hold and bar.hold.value > 0 else 1.0
            work = wanted_temperature(bar.fired_at.value, hold)
            shrunk = 100 * (bar.dry.value - bar.fired.value) / bar.dry.value
            points.setdefault(round(work, 0), []).append(shrunk)
    return sorted((work, sum(v) / len(v)) for work, v in points.items())


def take_settling(case: FiringCase) -> None:
    """How far the stack has sunk: the bricks cannot have shrunk by more."""
    rows = [line for line in _lines(case.firing) if line.settled and not line.settled.is_bound]
    courses = case.firing.setting.courses if case.firing.setting else None
    thickest = case.loaded.thickest
    if not rows or not courses or thickest is None or thickest.sides is None or not thickest.mix:
        return
    line, height = rows[-1], courses * thickest.sides[0]
    assert line.settled is not None
    try:
        shrunk = settling_shrinkage(line.settled.value, height)
        found = from_curve(shrunk, 0.2, shrinkage_curve(thickest.mix), "settling")
    except FieldbookError:
        return
    evidence = Evidence("settling", found.value, found.half, "below", found.source)
    place = place_name(None, case.firing)
    text = f"settled {line.settled.text}, {shrunk:.1f} % of the stack"
    case.seen.append(Seen(place, case.log.hours(line.at), "heat-work", evidence, text, line.where))


def take_up(case: FiringCase) -> None:
    """All that was seen, colours first, since they may stand in for a thermometer."""
    take_glow(case)
    if any(series.kind == "glow" for series in case.log.series.values()):
        case.look_again()
    take_cones(case)
    take_draws(case)
    take_settling(case)


def add_evidence(case: FiringCase) -> None:
    """Heat-work by all that speaks of it, combined by width; quarrels are pointed out."""
    found = case.review.results.get("heat_work")
    place = str(found.extra.get("place", "")) if found else ""
    rows = [s for s in case.seen if s.of == "heat-work"]
    here = [s for s in rows if s.place == place] if place else rows
    _glow_against_thermometer(case)
    if not here or found is None:
        return
    evidence = [*(s.evidence for s in here), *_of_the_curve(case, found, place)]
    answer = combined(evidence)
    if not answer.agree:
        case.review.question_at(
            here[-1].where,
            answer.why,
            "Read both again; nothing is averaged until one is put right.",
        )
    extra = {**found.extra, "evidence": [_row(s) for s in here], "agree": answer.agree}
    inputs = tuple(Input(s.evidence.kind, s.text, s.where, s.evidence.source) for s in here)
    if answer.value is None or answer.half is None:
        low = answer.low if found.low is None else found.low
        case.add(found.but(extra={**extra, "at_least": low}, inputs=(*found.inputs, *inputs)))
        return
    each = {**found.each, **({place: answer.value} if place and found.each else {})}
    case.add(
        found.but(
            value=answer.value,
            low=answer.value - answer.half,
            high=answer.value + answer.half,
            each=each,
            extra={**extra, "weights": answer.weights},
            method=f"{found.method or 'no thermometer'}; with {_kinds(here)}, combined by width",
            source="; ".join(dict.fromkeys(e.source for e in evidence if e.source)),
            from_=(*found.from_, *(s.where for s in here)),
            inputs=(*found.inputs, *inputs),
            needs=(),
            because="",
        )
    )


def _of_the_curve(case: FiringCase, found: Result, place: str) -> Iterator[Evidence]:
    """What the readings say of the heat-work, as one piece of evidence among others."""
    if found.known and found.low is not None and found.high is not None:
        kind = case.log.series[place].kind
        half = max((found.high - found.low) / 2, 5.0)
        yield Evidence(kind, (found.high + found.low) / 2, half, "about", found.source)


def _kinds(rows: list[Seen]) -> str:
    return " and ".join(dict.fromkeys(row.evidence.kind for row in rows))


def _row(seen: Seen) -> dict[str, Any]:
    e = seen.evidence
    return {
        "name": e.kind,
        "text": seen.text,
        "value": e.value,
        "half": e.half,
        "side": e.side,
        "place": seen.place,
        "where": seen.where,
        "source": e.source,
    }


def _glow_against_thermometer(case: FiringCase) -> None:
    """Point out a thermometer and a colour that exclude each other."""
    for seen in case.seen:
        series = case.log.series.get(seen.place)
        if seen.of != "temperature" or series is None or series.kind != "thermometer":
            continue
        near = min(series.readings, key=lambda r: abs(r.hours - seen.hours))
        e = seen.evidence
        if abs(near.hours - seen.hours) > 0.25 or (
            e.side == "above" and near.value >= e.value - 75
        ):
            continue
        off = abs(near.value - e.value) - e.half - near.half
        if (e.side == "about" and off > 50) or (e.side == "above" and near.value < e.value - 75):
            case.review.question_at(
                seen.where,
                f"{seen.text} and {near.text} at {seen.place} exclude each other",
                "Look again in the shade, and check the probe; the thermometer is used.",
            )
