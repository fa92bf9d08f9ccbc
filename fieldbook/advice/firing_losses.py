"""What came out of a firing, and why: yield, losses by fault and place, likely causes."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, NamedTuple

from fieldbook.advice.firing_case import FiringCase
from fieldbook.advice.firing_cooling import hottest_series
from fieldbook.advice.results import Input, Result
from fieldbook.advice.wording import bricks
from fieldbook.calc.curve_facts import facts_of as curve_facts
from fieldbook.calc.faults import Cause, CurveFacts, causes
from fieldbook.calc.heat_work import wanted_temperature
from fieldbook.records import Unloaded

SEEN = {"cracked": "cracked", "soft": "soft", "overfired": "overfired", "lost": "burst"}
"""Each count of an unloaded row, in the words of the faults table."""
LIKELY = 3
"""Causes shown of each fault; ours."""


class Loss(NamedTuple):
    """Bricks of one place that came out with one fault."""

    what: str
    kind: str
    """`cracked`, `soft`, `overfired`, `lost` or `fault`."""
    bricks: int
    place: str
    batch: str
    where: str


def add_yield(case: FiringCase) -> None:
    """`yield`, once the kiln is unloaded."""
    counted = [row for row in case.firing.unloaded if _counts(row)]
    if counted:
        _add_yield(case, counted)
    else:
        case.missing("yield", "%", "unloaded")


def add_losses(case: FiringCase) -> None:
    """`losses`, once the kiln is unloaded."""
    if case.phase != "unloaded":
        return
    if not any(_counts(row) for row in case.firing.unloaded):
        case.missing("losses", None, "unloaded")
        return
    facts = facts_of_curve(case)
    losses = list(losses_of(case))
    case.add(
        Result(
            name="losses",
            value=[_row(case, loss, facts) for loss in losses],
            unit=None,
            n=sum(loss.bricks for loss in losses if loss.kind != "fault"),
            method="counted at unloading; causes from the faults table, ranked by what the curve "
            "shows",
            source="faults table: Practical Action KnO-100076, Duggal, Lefevre, Davis and others",
            from_=tuple(dict.fromkeys(loss.where for loss in losses)),
            inputs=tuple(
                Input(f"{loss.what} at {loss.place or 'the kiln'}", _of_bricks(loss), loss.where)
                for loss in losses
            ),
        )
    )


def _of_bricks(loss: Loss) -> str:
    return bricks(loss.bricks) if loss.bricks else "not counted"


def _counts(row: Unloaded) -> dict[str, int]:
    found = {name: getattr(row, name) for name in ("sound", *SEEN)}
    return {name: count for name, count in found.items() if count is not None}


def losses_of(case: FiringCase) -> Iterator[Loss]:
    """Each loss that was counted; faults that were named stand for the count they explain."""
    for i, row in enumerate(case.firing.unloaded):
        where = case.firing.where(f"unloaded.{i + 1}")
        place = row.place.strip().casefold() if row.place else ""
        batch = row.batch or ""
        for kind in SEEN:
            count = getattr(row, kind)
            if count:
                yield Loss(kind, kind, count, place, batch, where)
        for fault in row.faults:
            if fault.what:
                yield Loss(fault.what, "fault", fault.count or 0, place, batch, where)


def _row(case: FiringCase, loss: Loss, facts: CurveFacts) -> dict[str, Any]:
    total = sum(sum(_counts(row).values()) for row in case.firing.unloaded)
    found = causes(SEEN.get(loss.what, loss.what), facts)
    return {
        "name": loss.what,
        "kind": loss.kind,
        "count": loss.bricks,
        "share": 100 * loss.bricks / total if total else None,
        "place": loss.place,
        "batch": loss.batch,
        "causes": [_cause(cause) for cause in found[:LIKELY]],
        "says": sentence(loss, found),
    }


def _cause(cause: Cause) -> dict[str, Any]:
    return {
        "name": cause.cause,
        "remedy": cause.remedy,
        "stage": cause.stage,
        "because": list(cause.because),
        "against": list(cause.against),
        "score": cause.score,
        "source": cause.source,
    }


def sentence(loss: Loss, found: list[Cause]) -> str:
    """The loss and what the curve says of it, such as `14 cracked; fell through 573 °C at …`."""
    at = f" at {loss.place}" if loss.place else ""
    count = f"{loss.bricks} " if loss.bricks else ""
    if not found:
        return f"{count}{loss.what}{at}; the faults table does not know it"
    first = found[0]
    shown = first.because[0] if first.because else first.cause
    return f"{count}{loss.what}{at}; {shown}"


def _add_yield(case: FiringCase, rows: list[Unloaded]) -> None:
    out = sum(sum(_counts(row).values()) for row in rows)
    sound = sum(row.sound or 0 for row in rows)
    loaded = case.loaded.count
    stages = [*_before(case), {"name": "firing", "in": loaded or out, "out": sound}]
    for stage in stages:
        stage["share"] = 100 * stage["out"] / stage["in"] if stage["in"] else None
    if loaded is not None and out > loaded:
        case.review.question(
            "unloaded",
            f"{out} bricks came out and {loaded} went in",
            "Correct the counts of the load or of what was unloaded.",
        )
    case.add(
        Result(
            name="yield",
            value=100 * sound / (loaded or out) if (loaded or out) else None,
            unit="%",
            n=out,
            each=_sound_by_place(rows),
            extra={
                "stages": stages,
                "counted": out,
                "not_counted": max((loaded or out) - out, 0),
                "usable": _shares(rows, out),
            },
            method="sound bricks over bricks set; by place, over those counted there",
            from_=tuple(case.firing.where(f"unloaded.{i + 1}") for i in range(len(rows))),
            inputs=tuple(
                Input("unloaded", _told(_counts(row)), case.firing.where(f"unloaded.{i + 1}"))
                for i, row in enumerate(rows)
            ),
        )
    )


def _told(counts: dict[str, int]) -> str:
    """Such as `92 sound, 4 cracked bricks`."""
    if not counts:
        return "not counted"
    return ", ".join(f"{count} {name}" for name, count in counts.items()) + " bricks"


def _sound_by_place(rows: list[Unloaded]) -> dict[str, float]:
    """% sound of what was counted at each place that has a name."""
    places: dict[str, list[int]] = {}
    for row in rows:
        pair = places.setdefault(row.place.strip().casefold() if row.place else "", [0, 0])
        pair[0] += row.sound or 0
        pair[1] += sum(_counts(row).values())
    return {place: 100 * good / total for place, (good, total) in places.items() if total and place}


def _shares(rows: list[Unloaded], out: int) -> dict[str, float]:
    names = ("sound", *SEEN)
    return {name: 100 * sum(getattr(row, name) or 0 for row in rows) / out for name in names if out}


def _before(case: FiringCase) -> list[dict[str, Any]]:
    """Moulding to setting, over the batches in the load: how many were lost before the fire."""
    batches = {lot.batch.name: lot.batch for lot in case.loaded.lots if lot.batch}
    moulded = lost = 0
    for batch in batches.values():
        moulded += batch.count or 0
        for line in batch.log:
            if not getattr(line, "firing", None):
                lost += (getattr(line, "cracked", None) or 0) + (getattr(line, "broken", None) or 0)
    if not moulded:
        return []
    return [{"name": "drying", "in": moulded, "out": max(moulded - lost, 0)}]


def facts_of_curve(case: FiringCase) -> CurveFacts:
    """What the log and the march say, for ranking causes."""
    brick, peak = case.loaded.brick, case.peak_wanted
    if case.state is None or brick is None:
        return CurveFacts(peak_limit=case.loaded.peak_limit)
    flame = case.review.results.get("air_ratio_allowed")
    return curve_facts(
        {place: series.curve for place, series in case.log.series.items()},
        case.state,
        brick,
        wanted=wanted_temperature(peak, case.hold_wanted) if peak else None,
        peak_limit=case.loaded.peak_limit,
        opened_at=opened_at(case),
        air_ratio=case.review.facts.get("air_ratio"),
        flame=flame.extra.get("flame") if flame else None,
    )


def opened_at(case: FiringCase) -> float | None:
    """degC of the hottest core when the kiln was opened; None where no reading is near it."""
    opened = case.timeline.events.get("opened")
    series = hottest_series(case)
    if opened is None or series is None or case.state is None:
        return None
    hours = case.log.hours(opened)
    near = [row for row in series.readings if abs(row.hours - hours) < 3.0]
    if not near:
        return None
    return case.state.places[series.place].at("core", hours)[1]
