"""Where the heat goes and what fuel it takes: needed, used, to go, and what the kiln made of it."""

from __future__ import annotations

from typing import Any

from fieldbook.advice.firing_case import FiringCase
from fieldbook.advice.firing_feeding import add_feeding
from fieldbook.advice.firing_fuel import (
    Burnt,
    FuelKind,
    burnt_in,
    heat_load,
    kinds_of,
    own_measure,
    plus_minus,
)
from fieldbook.advice.firing_past import Learnt, learnt_of
from fieldbook.advice.kiln_walls import Walls, walls_of
from fieldbook.advice.results import Input, Result, Share
from fieldbook.calc.air import air_ratio, flue_loss
from fieldbook.calc.heat_balance import (
    UNBURNT,
    Balance,
    found_balance,
    heat_needed,
    kiln_heat,
    useful_heat,
    usual_flue_share,
    wall_loss,
)
from fieldbook.calc.uncertainty import budget, nominal
from fieldbook.errors import NotPossible
from fieldbook.frozen import frozen
from fieldbook.records import FiringLine

RATIOS = (1.5, 2.0, 3.0)
"""Air over the air needed where no oxygen was measured; from memory."""
LEAST_FLUE = 0.3
"""Of the heat that bricks do not take, what leaves at least with the gas: the size of a kiln tells
its walls only roughly, and a fire without a flue loss there is not; from memory."""
BALANCE = (
    "heat balance: what the fuel gives is what ware, water, reactions, kiln, walls and gas take"
)
TERMS = ("ware", "free water", "reactions", "kiln", "walls", "flue", "unburnt")


@frozen
class Heat:
    """What the heat balance of a firing works from."""

    kinds: list[FuelKind]
    burnt: Burnt
    learnt: Learnt | None
    walls: Walls | None
    ratio: tuple[float, float, float]
    ratio_from: Input
    hours: float
    """h of fire, planned or so far."""
    peak: float | None
    """degC, mean of the ware."""
    flue: float | None = None
    """degC, mean of the readings in the flue; None where none was taken."""


def heat_of(case: FiringCase, hours: float) -> Heat:
    """Gather fuels, kiln and air for the balances of a firing."""
    ratio, said = ratio_of(case)
    if case.timeline.out:  # what came of it is not known: it burnt as long as it was noted
        hours = min(hours, max(case.log.hours(case.firing.log[-1].at), 0.0))
    return Heat(
        kinds_of(case.firing, case.context),
        burnt_in(case.firing, case.context),
        learnt_of(case.kiln, case.context, case.firing.name) if case.kiln else None,
        walls_of(case.kiln) if case.kiln else None,
        ratio,
        said,
        hours,
        mean_peak(case),
        flue_temperature(case),
    )


def flue_temperature(case: FiringCase) -> float | None:
    """The mean of what was read in the flue while the fire burnt, degC."""
    read = [row.value for row in case.log.aside if row.probe == "flue" and row.value > 50]
    return sum(read) / len(read) if read and not case.timeline.past_peak else None


def ratio_of(case: FiringCase) -> tuple[tuple[float, float, float], Input]:
    """Air over the air needed: from oxygen where it was measured, else the usual range."""
    for line in reversed(case.firing.log):
        oxygen = line.oxygen if isinstance(line, FiringLine) else None
        if oxygen is not None and not oxygen.is_bound and 0 <= oxygen.value < 20:
            half = max(oxygen.half, 0.3)
            low, middle, high = (
                float(air_ratio.plain(min(max(oxygen.value + d, 0.0), 20.2)))
                for d in (-half, 0.0, half)
            )
            return (low, middle, high), Input("oxygen in the flue gas", oxygen.text, oxygen.where)
    return RATIOS, Input("air ratio", "1.5 to 3", "", "no oxygen measured; from memory")


def mean_peak(case: FiringCase) -> float | None:
    """The mean temperature of the ware at the peak: as reached once let go, else as wanted."""
    tops = [max(r.value for r in s.readings) for s in case.log.series.values()]
    if case.timeline.past_peak and tops:
        return sum(tops) / len(tops)
    if case.peak_wanted is not None:
        return case.peak_wanted + (kiln_spread(case)[0] or 0.0) / 2
    return sum(tops) / len(tops) if tops and case.phase == "holding" else None


def kiln_spread(case: FiringCase) -> tuple[float | None, Input | None]:
    """K between hottest and coldest place, as written of the kiln or as it showed before."""
    kiln = case.kiln
    if kiln is None:
        return None, None
    review = case.context.review(kiln.address)
    found = review.get("spread") if review else None
    if found is not None:
        where = found.from_[0] if found.from_ else kiln.path
        return found.number, Input("spread of the kiln", f"{found.number:.0f} K", where)
    return None, None


def add_heat(case: FiringCase, heat: Heat) -> Balance | None:
    """`heat_needed`, the fuel for it, what was used, what is to go, what is put on next."""
    _add_used(case, heat)
    balance = _add_balance(case, heat)
    add_feeding(case, heat)
    return balance


def _add_balance(case: FiringCase, heat: Heat) -> Balance | None:
    needs = _needs(case, heat)
    if needs:
        for name, unit in (("heat_needed", "MJ"), ("fuel_needed", "kg"), ("fuel_to_go", "kg")):
            case.missing(name, unit, *needs)
        return None
    try:
        three = [_balance(case, heat, i) for i in range(3)]
    except NotPossible as refusal:
        for name, unit in (("heat_needed", "MJ"), ("fuel_needed", "kg"), ("fuel_to_go", "kg")):
            case.missing(name, unit, because=str(refusal))
        return None
    if case.phase == "unloaded" or case.timeline.past_peak:
        three = _as_found(case, heat, three)
    _add_needed(case, heat, three)
    _add_fuel(case, heat, three)
    return three[1]


def _needs(case: FiringCase, heat: Heat) -> tuple[str, ...]:
    needs = list(case.loaded.needs)
    if heat_load(case.loaded) is None:
        needs.append("load.count")
    if heat.peak is None:
        needs.append("plan.peak")
    if heat.walls is None and not (heat.learnt and heat.learnt.efficiency):
        needs.append("kiln: length, width, height")
    return tuple(dict.fromkeys(needs))


def _balance(case: FiringCase, heat: Heat, i: int) -> Balance:
    """The balance with little, usual and much air (0, 1, 2)."""
    load, kind, peak = heat_load(case.loaded), heat.kinds[0], heat.peak
    assert load is not None and peak is not None
    useful = useful_heat(load, peak)
    walls = heat.walls
    kiln = kiln_heat(walls.mass[i], 0.5 * peak) if walls else 0.0
    lost = wall_loss(walls.area, walls.flux(0.6 * peak, i), heat.hours) if walls else 0.0
    learnt = heat.learnt.efficiency if heat.learnt else None
    if learnt is not None:
        part = min(max(learnt.value + (1 - i) * learnt.half, 0.03), 0.9)
        total = sum(useful.values()) / part
        rest = total * 0.97 - sum(useful.values()) - kiln - lost
        scale = 1.0 if rest > 0 else (total * 0.97 - sum(useful.values())) / max(kiln + lost, 1e-9)
        kiln, lost = kiln * max(scale, 0.0), lost * max(scale, 0.0)
        flue = max(total * 0.97 - sum(useful.values()) - kiln - lost, 0.0)
        return Balance(
            {**useful, "kiln": kiln, "walls": lost, "flue": flue, "unburnt": 0.03 * total}
        )
    moisture = float(nominal(kind.moisture))
    if heat.flue is not None:
        share = flue_loss(heat.flue, moisture, heat.ratio[i], kind.burns)
    else:
        share = usual_flue_share(peak, moisture, heat.ratio[i], kind.burns)
    return heat_needed(useful, kiln, lost, min(share, 0.9))


def _as_found(case: FiringCase, heat: Heat, three: list[Balance]) -> list[Balance]:
    """After the fire: what was put on, the flue being what is left over."""
    if heat.burnt.energy is None:
        return three
    found = []
    for balance in three:
        useful = {name: balance.terms[name] for name in ("ware", "free water", "reactions")}
        rest = heat.burnt.energy * (1 - UNBURNT) - sum(useful.values())
        if rest <= 0:
            case.review.question(
                "fuel",
                f"the bricks alone took {sum(useful.values()):.0f} MJ and the wood gave "
                f"{heat.burnt.energy:.0f} MJ: fuel is missing from the log",
                "Add the fuel lines that are missing, or weigh a measure of it.",
            )
            return three
        shell = balance.terms["kiln"] + balance.terms["walls"]
        part = min(1.0, (1 - LEAST_FLUE) * rest / shell) if shell > 0 else 0.0
        found.append(
            found_balance(
                heat.burnt.energy,
                useful,
                part * balance.terms["kiln"],
                part * balance.terms["walls"],
            )
        )
    return found


def _add_needed(case: FiringCase, heat: Heat, three: list[Balance]) -> None:
    low, middle, high = three
    totals = sorted(balance.total for balance in three)
    own = heat.learnt.efficiency if heat.learnt else None
    found = case.timeline.past_peak and heat.burnt.energy is not None
    case.add(
        Result(
            name="heat_needed",
            value=middle.total,
            unit="MJ",
            low=totals[0],
            high=totals[-1],
            extra={
                "terms": {name: middle.terms[name] for name in TERMS},
                "low_terms": {name: low.terms[name] for name in TERMS},
                "high_terms": {name: high.terms[name] for name in TERMS},
                "shares": middle.shares,
                "found": found,
            },
            method="what was put on, by where it went; the flue is what is left over"
            if found
            else "by the kiln's own efficiency in earlier firings"
            if own
            else "ware, water, reactions, kiln and walls, and the gas at the usual air ratio",
            source=BALANCE,
            formula="fuel = ware + free water + reactions + kiln + walls + flue + unburnt",
            from_=tuple(x.where for x in heat_inputs(case, heat) if x.where),
            inputs=heat_inputs(case, heat),
        )
    )


def heat_inputs(case: FiringCase, heat: Heat) -> tuple[Input, ...]:
    """What the heat balance rests on."""
    inputs: list[Input] = []
    for lot in case.loaded.lots:
        if lot.mass_from is not None:
            inputs.append(lot.mass_from)
        inputs.append(lot.moisture_from)
    inputs += list(heat.kinds[0].inputs)
    inputs.append(heat.ratio_from)
    inputs += list(heat.walls.inputs) if heat.walls else []
    own = heat.learnt.efficiency if heat.learnt else None
    if own is not None and case.kiln is not None:
        text = f"{100 * own.value:.0f} % in {own.n} firings"
        inputs.append(Input("efficiency of the kiln", text, case.kiln.path))
    return tuple(dict.fromkeys((*inputs, *case.plan_inputs)))


def _add_used(case: FiringCase, heat: Heat) -> None:
    burnt = heat.burnt
    if burnt.mass is None:
        if case.phase != "planned":
            case.missing("fuel_used", "kg", *burnt.needs)
        return
    case.add(
        Result(
            name="fuel_used",
            value=float(nominal(burnt.mass)),
            unit="kg",
            plus_minus=plus_minus(burnt.mass),
            extra={
                "MJ": burnt.energy,
                "by_fuel": burnt.by_fuel,
                "measures": burnt.measures,
            },
            n=burnt.lines,
            method="sum of what was put on; a measure by its bulk density",
            formula="sum of mass, or of volume times bulk density",
            from_=tuple(x.where for x in burnt.inputs if x.where),
            inputs=burnt.inputs,
            budget=tuple(Share(label, part) for label, part in budget(burnt.mass)),
        )
    )


def _add_fuel(case: FiringCase, heat: Heat, three: list[Balance]) -> None:
    """Fuel for the balance and, while the fire burns, what is still to be put on."""
    kind = heat.kinds[0]
    value = float(nominal(kind.value))
    masses = [balance.total / value for balance in three]
    spread = (plus_minus(kind.value) or 0.0) / value
    needed = (min(masses) * (1 - spread), masses[1], max(masses) * (1 + spread))
    found = case.review.results["heat_needed"]
    extra: dict[str, Any] = {"of": kind.name, "heat_value": value}
    extra |= {"moisture": float(nominal(kind.moisture))} | _measures(heat, masses[1])
    case.add(
        Result(
            name="fuel_needed",
            value=needed[1],
            unit="kg",
            low=needed[0],
            high=needed[2],
            extra=extra,
            method=f"heat needed over the net heat value of {kind.name} at its moisture",
            source="European wood fuel handbook, as restated by relaiscdo.eu and CFN",
            formula="heat / (NCV0 (1 - M) - 2.44 M)",
            from_=found.from_,
            inputs=found.inputs,
        )
    )
    if not case.timeline.past_peak:
        _add_to_go(case, heat, needed)


def _add_to_go(case: FiringCase, heat: Heat, needed: tuple[float, float, float]) -> None:
    """Fuel still to be put on: what is needed less what was used, or at the rate so far."""
    found = case.review.results["heat_needed"]
    used = float(nominal(heat.burnt.mass)) if heat.burnt.mass is not None else 0.0
    part = heat_done(case, heat)
    low, middle, high = (max(mass - used, 0.0) for mass in needed)
    method = "fuel needed less fuel used"
    if part is not None and part > 0.3 and used > 0:
        rate = used * (1 - part) / part
        low, middle, high = min(low, rate * 0.7), rate, max(rate * 1.5, high)
        method = f"at the rate so far: {100 * part:.0f} % of the heat is in ware and kiln"
    case.add(
        Result(
            name="fuel_to_go",
            value=middle,
            unit="kg",
            low=low,
            high=high,
            extra=_measures(heat, middle),
            method=method,
            from_=found.from_,
            inputs=(*found.inputs, *heat.burnt.inputs),
            age=case.age,
        )
    )


def _measures(heat: Heat, kilograms: float) -> dict[str, Any]:
    own = own_measure(heat.burnt, kilograms)
    return {"measure": own[0], "measure_name": own[1]} if own else {}


def heat_done(case: FiringCase, heat: Heat) -> float | None:
    """The part of ware, water, reactions and kiln heat that is already in, 0 to 1."""
    load, peak = heat_load(case.loaded), heat.peak
    state = case.state
    if load is None or peak is None or state is None:
        return None
    places = list(state.places.values())
    mean = sum(p.now("core")[1] for p in places) / len(places)
    left = sum(p.now("bound_water_left")[1] for p in places) / len(places)
    dry = sum(p.now("free_water_mean")[1] for p in places) / len(places) / 100
    whole = useful_heat(load, peak)
    so_far = useful_heat(load, min(max(mean, 25.0), peak))
    mass = heat.walls.mass[1] if heat.walls else 0.0
    kiln, kiln_now = kiln_heat(mass, 0.5 * peak), kiln_heat(mass, 0.5 * max(mean, 50.0))
    water = 1 - min(dry / load.moisture, 1.0) if load.moisture > 0 else 1.0
    done = so_far["ware"] + whole["free water"] * water + whole["reactions"] * (1 - left) + kiln_now
    return min(done / (sum(whole.values()) + kiln), 1.0)
