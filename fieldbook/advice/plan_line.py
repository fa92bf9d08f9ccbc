"""The line that plans a firing of a batch, with all that is known of it filled in."""

from __future__ import annotations

from fieldbook.advice.events import phase_of
from fieldbook.advice.fire import NOTHING_KNOWN, wanted_hold, wanted_peak
from fieldbook.advice.green import left_green
from fieldbook.advice.learning import STEP, next_trial
from fieldbook.advice.rules import Case
from fieldbook.records import Batch, Firing, Kiln

USUAL_HOLD = 1.0
"""h; common practice."""
USUAL_PEAK = 950.0
"""degC: bricks bond from 900 on; common practice."""
BELOW_LIMIT = 50.0
"""K kept below the most the mix stands, for the hottest place; common practice."""


def plan_line(case: Case) -> str:
    """As it is typed: kiln, bricks by place, gap, fuel and peak; a blank where nothing is known."""
    kiln = fitting_kiln(case)
    name = kiln.name if kiln else "…"
    rows = ", ".join(load_rows(case, kiln))
    fuel = fuel_before(case) or "…"
    peak, hold = heat_for(case, kiln)
    return (
        f"fieldbook add firing … kiln={name} load='[{rows}]' setting.gap=\"… mm\" "
        f'fuel=\'[{{ name = "{fuel}", moisture = "… %" }}]\' '
        f'plan.peak="{round(peak / 5) * 5} C" plan.hold="{hold:.1f} h"'
    )


def fitting_kiln(case: Case) -> Kiln | None:
    """The only kiln; of several the smallest that holds what waits, else the largest."""
    kilns = list(case.context.notebook.of(Kiln))
    if len(kilns) < 2:
        return kilns[0] if kilns else None
    sized = sorted((kiln.capacity, kiln.name, kiln) for kiln in kilns if kiln.capacity)
    if len(sized) < len(kilns):
        return None
    left = left_green(case) or 0
    return next((kiln for holds, _, kiln in sized if holds >= left), sized[-1][2])


def set_count(case: Case) -> int | None:
    """How many bricks of the batch go into the kiln: what waits, and no more than it holds."""
    left, kiln = left_green(case), fitting_kiln(case)
    if left is None or not kiln or not kiln.capacity:
        return left
    return min(left, kiln.capacity)


def load_rows(case: Case, kiln: Kiln | None) -> list[str]:
    """The load, shared out evenly over the places of the kiln."""
    count, places = set_count(case), list(kiln.places) if kiln else []
    batch = f'batch = "{case.entry.name}"'
    if count is None or not places:
        number = "" if count is None else f", count = {count}"
        return [f"{{ {batch}{number} }}"]
    shares = [count // len(places) + (i < count % len(places)) for i in range(len(places))]
    return [
        f'{{ {batch}, count = {share}, place = "{place}" }}'
        for share, place in zip(shares, places, strict=True)
    ]


def fuel_before(case: Case) -> str | None:
    """What the last firing was fed with."""
    named = [fuel.name for firing in case.context.notebook.of(Firing) for fuel in firing.fuel]
    return next((name for name in reversed(named) if name), None)


def heat_for(case: Case, kiln: Kiln | None) -> tuple[float, float]:
    """Peak at the coldest place [degC] and hold [h].

    Those of the last firing of this mix in this kiln, with the one change it taught; without one
    the usual peak, no nearer to what the mix stands than is safe.
    """
    before = last_of_mix(case, kiln)
    if before is None:
        mix = case.context.review(f"mixes/{case.entry.mix}") if case.entry.mix else None
        limit = mix.number("peak_limit") if mix else None
        return min(USUAL_PEAK, (limit or NOTHING_KNOWN) - BELOW_LIMIT), USUAL_HOLD
    peak, hold = wanted_peak(before) or USUAL_PEAK, wanted_hold(before) or USUAL_HOLD
    trial = next_trial(before)
    if trial is not None and trial.change == "more peak":
        peak = float(trial.numbers["peak"][0])
    if trial is not None and trial.change == "less peak":
        peak -= STEP
    if trial is not None and trial.change == "longer hold":
        hold += float(trial.numbers["hold_more"][0])
    return peak, hold


def last_of_mix(case: Case, kiln: Kiln | None) -> Case | None:
    """The last firing of bricks of this mix in this kiln that is unloaded."""
    notebook = case.context.notebook
    batches = {batch.name for batch in notebook.of(Batch) if batch.mix == case.entry.mix}
    done = [
        firing
        for firing in notebook.of(Firing)
        if kiln is not None
        and firing.kiln == kiln.name
        and batches & {load.batch for load in firing.load}
        and phase_of(case.context, firing) == "unloaded"
    ]
    done.sort(key=lambda firing: firing.log[-1].at.timestamp() if firing.log else 0.0)
    return Case(done[-1], case.context.review(done[-1].address), case.context) if done else None
