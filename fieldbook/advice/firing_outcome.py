"""What a firing took: efficiency, and energy per kilogram beside kilns in print."""

from __future__ import annotations

from fieldbook.advice.firing_case import FiringCase
from fieldbook.advice.firing_fuel import heat_load, plus_minus
from fieldbook.advice.firing_heat import BALANCE, Heat, heat_inputs
from fieldbook.advice.firing_past import MOST_USEFUL
from fieldbook.advice.results import Result, Share
from fieldbook.calc.fuel import LATENT
from fieldbook.calc.heat_balance import useful_heat
from fieldbook.calc.uncertainty import budget, nominal

PUBLISHED = (
    ("clamp of 55 000, wood and bagasse", 2.3, "firing", "Practical Action, KnO-100102"),
    ("all Asian kilns, least", 0.69, "firing", "Heierli and Maithel 2008, from coal at 18.8 MJ/kg"),
    ("all Asian kilns, most", 4.39, "firing", "Heierli and Maithel 2008, from coal at 18.8 MJ/kg"),
    ("Indian practice, least", 1.25, "firing", "Venkatarama Reddy, at 3 kg a brick"),
    ("Indian practice, most", 1.58, "firing", "Venkatarama Reddy, at 3 kg a brick"),
    ("clamp, most, with drying", 7.0, "total", "Lloyd 2016, ICUE"),
)
"""Kilns in print: what, MJ/kg, whether with drying, source."""


def add_outcome(case: FiringCase, heat: Heat) -> None:
    """After the fire: `kiln_efficiency` and, once unloaded, `specific_energy`."""
    if not case.timeline.past_peak:
        return
    burnt, load = heat.burnt, heat_load(case.loaded)
    if not burnt.energy or load is None or heat.peak is None:
        needs = burnt.needs or case.loaded.needs or ("log: fuel", "log: temperature")
        case.missing("kiln_efficiency", "%", *needs)
        case.missing("specific_energy", "MJ/kg", *needs)
        return
    useful = sum(useful_heat(load, heat.peak).values())
    if useful > MOST_USEFUL * burnt.energy:
        because = (
            f"the bricks took {useful:.0f} MJ and the fuel noted gives {burnt.energy:.0f} MJ; no "
            f"kiln keeps more than {100 * MOST_USEFUL:.0f} %: fuel is missing from the log"
        )
        case.missing("kiln_efficiency", "%", because=because)
        case.missing("specific_energy", "MJ/kg", because=because)
        return
    part = 100 * useful / burnt.heat
    case.add(
        Result(
            name="kiln_efficiency",
            value=float(nominal(part)),
            unit="%",
            plus_minus=plus_minus(part),
            method="heat in ware, free water and reactions over the heat of the fuel",
            source=BALANCE,
            formula="(ware + free water + reactions) / fuel",
            from_=tuple(x.where for x in burnt.inputs if x.where),
            inputs=(*heat_inputs(case, heat), *burnt.inputs),
            budget=tuple(Share(label, p) for label, p in budget(part)),
        )
    )
    _add_specific(case, heat, load.moisture * load.dry_mass)


def _add_specific(case: FiringCase, heat: Heat, water: float) -> None:
    mass = unloaded_mass(case)
    if mass is None or mass[0] <= 0:
        case.missing("specific_energy", "MJ/kg", "unloaded")
        return
    total = heat.burnt.heat / mass[0]
    dry = (heat.burnt.heat - water * LATENT) / mass[0]
    relative = mass[1] / mass[0]
    value = float(nominal(total))
    case.add(
        Result(
            name="specific_energy",
            value=value,
            unit="MJ/kg",
            plus_minus=((plus_minus(total) or 0.0) ** 2 + (value * relative) ** 2) ** 0.5,
            extra={
                "less_drying": float(nominal(dry)),
                "unloaded_mass": mass[0],
                "published": [
                    {"name": name, "value": v, "of": kind, "source": source}
                    for name, v, kind, source in PUBLISHED
                ],
            },
            method="fuel at its net value as fired over everything unloaded; `less_drying` "
            "without the heat that dried the bricks",
            source="Practical Action, How to measure the energy used to fire clay bricks",
            formula="fuel heat / unloaded mass",
            from_=tuple(x.where for x in heat.burnt.inputs if x.where),
            inputs=heat.burnt.inputs,
        )
    )


def unloaded_mass(case: FiringCase) -> tuple[float, float] | None:
    """kg of everything that came out, with its half-width; by the load where nothing is counted."""
    total, half = 0.0, 0.0
    for row in case.firing.unloaded:
        lots = [lot for lot in case.loaded.lots if lot.item.batch == row.batch] or list(
            case.loaded.lots
        )
        brick = next((lot for lot in lots if lot.brick_mass is not None), None)
        counts = (row.sound, row.cracked, row.soft, row.overfired, row.lost)
        if brick is None or brick.brick_mass is None or all(c is None for c in counts):
            return None
        count = sum(c or 0 for c in counts)
        fired = brick.brick_mass * (1 - brick.ignition_loss[1])
        total += count * fired
        half += count * (brick.brick_mass_half + 0.02 * brick.brick_mass)
    return (total, half) if case.firing.unloaded else None
