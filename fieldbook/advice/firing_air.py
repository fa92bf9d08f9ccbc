"""Air for the fire: how much, how much at most, what draws it, what the fan and battery bear."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from fieldbook.advice.firing_case import FiringCase
from fieldbook.advice.firing_cooling import air_of
from fieldbook.advice.firing_heat import Heat, ratio_of
from fieldbook.advice.firing_state import standing
from fieldbook.advice.results import Input, Result
from fieldbook.calc import air, draught
from fieldbook.calc.uncertainty import nominal
from fieldbook.quantities import Amount
from fieldbook.records import Battery, Fan, FiringLine

USABLE = (0.5, "lead-acid may be drawn to 50 %; 1000calculators.com")
"""The part of a battery that may be used where the kiln does not say."""
HALF = 0.5
"""Power of a fan at half; from memory."""


def add_air(case: FiringCase, heat: Heat) -> None:
    """`air_needed`, `air_ratio_allowed`, `draught`, `fan_power` and `battery`."""
    if case.phase in ("opened", "unloaded"):
        return
    _add_air_needed(case, heat)
    _add_allowed(case, heat)
    _add_draught(case)
    fan = case.kiln.fan if case.kiln else None
    if fan is not None:
        power = _add_fan_power(case, fan)
        battery = case.kiln.battery if case.kiln else None
        if battery is not None and power is not None:
            _add_battery(case, battery, power, heat.hours)


def pressure_of(case: FiringCase) -> tuple[float, Input]:
    """Pressure of the air at the site, Pa."""
    site = case.context.notebook.settings.site
    height = site.elevation if site else None
    if height is not None and not height.is_bound:
        value = float(air.site_pressure.plain(min(max(height.value, -500.0), 5000.0)))
        return value, Input("elevation", height.text, height.where)
    return 101325.0, Input("pressure of the air", "101 kPa", "", "sea level; no elevation written")


def _add_air_needed(case: FiringCase, heat: Heat) -> None:
    rate, said = _fuel_rate(case, heat)
    if rate is None:
        case.missing("air_needed", "m³/h", "log: fuel")
        return
    outside, outside_from = air_of(case)
    pressure, pressure_from = pressure_of(case)
    kind = heat.kinds[0]
    low, middle, high = (
        air.air_per_hour(
            rate,
            float(nominal(kind.moisture)),
            ratio,
            temperature=outside,
            pressure=pressure,
            fuel=kind.burns,
        )
        for ratio in heat.ratio
    )
    case.add(
        Result(
            name="air_needed",
            value=middle,
            unit="m³/h",
            low=low,
            high=high,
            extra={"ratio": heat.ratio[1], "fuel_per_hour": rate},
            method=f"outside air at the site's pressure for {said}, at the air ratio",
            source="Babcock & Wilcox, Steam, 35th ed., table 41 and chapter Combustion",
            formula="fuel per hour * air per kg * ratio * R T / p",
            from_=tuple(x.where for x in heat.burnt.inputs if x.where)[-3:],
            inputs=(*kind.inputs, heat.ratio_from, outside_from, pressure_from),
        )
    )


def _fuel_rate(case: FiringCase, heat: Heat) -> tuple[float | None, str]:
    """kg of fuel an hour: as put on so far, else as the plan needs on the mean."""
    lit = case.timeline.events.lit
    if heat.burnt.mass is not None and lit is not None and not case.timeline.past_peak:
        hours = case.context.hours_since(lit)
        if hours > 1.0:
            rate = float(nominal(heat.burnt.mass)) / hours
            return rate, f"{rate:.1f} kg of fuel an hour, the mean so far"
    needed = case.review.number("fuel_needed")
    if needed is not None and heat.hours > 0:
        rate = needed / heat.hours
        return rate, f"{rate:.1f} kg of fuel an hour, the mean of the plan"
    return None, ""


def _add_allowed(case: FiringCase, heat: Heat) -> None:
    """The most air with which this wood can still exceed the peak; an upper bound."""
    peak = case.peak_wanted
    if peak is None:
        case.missing("air_ratio_allowed", "1", "plan.peak")
        return
    kind = heat.kinds[0]
    moisture = float(nominal(kind.moisture))
    ratio = air.greatest_air_ratio(peak, moisture, kind.burns)
    reaches = ratio is not None
    if ratio is None:
        ratio = _below_least(peak, moisture, kind.burns)
    case.add(
        Result(
            name="air_ratio_allowed",
            value=ratio,
            unit="1",
            extra={
                "reaches": reaches,
                "flame": air.flame_temperature(moisture, max(heat.ratio[1], 1.0), kind.burns),
                "flame_at": heat.ratio[1],
            },
            because=""
            if reaches
            else f"even at {air.LEAST_RATIO} times the air needed the flame of this wood does not "
            f"pass {peak:.0f} °C",
            method="the most air at which the flame, losing nothing, is hotter than the peak: an "
            "upper bound",
            source="gas tables of the NIST Chemistry WebBook; no dissociation",
            formula="heat of the fuel = heat in the gas at the flame temperature",
            inputs=(*kind.inputs, *case.plan_inputs),
            from_=tuple(x.where for x in (*kind.inputs, *case.plan_inputs) if x.where),
        )
    )


def _below_least(peak: float, moisture: float, fuel: air.Fuel) -> float:
    low, high = 1.0, air.LEAST_RATIO
    if air.flame_temperature(moisture, low, fuel) <= peak:
        return low
    for _ in range(30):
        middle = (low + high) / 2
        if air.flame_temperature(moisture, middle, fuel) > peak:
            low = middle
        else:
            high = middle
    return low


def _add_draught(case: FiringCase) -> None:
    chimney = case.kiln.chimney if case.kiln else None
    if chimney is None or chimney.is_bound:
        case.missing("draught", "Pa", f"kilns/{case.firing.kiln}: chimney")
        return
    now = standing(case)
    inside = now.hottest.now("face")[1] if now else case.peak_wanted
    if inside is None:
        case.missing("draught", "Pa", "plan.peak")
        return
    outside, outside_from = air_of(case)
    pressure, pressure_from = pressure_of(case)
    low, middle, high = (
        float(draught.draught.plain(chimney.value, outside, mean, pressure))
        for mean in (0.5 * inside, 0.75 * inside, inside)
    )
    at = "now" if now else "at the peak"
    case.add(
        Result(
            name="draught",
            value=middle,
            unit="Pa",
            low=low,
            high=high,
            method=f"hot column above the fire {at}, its mean half to all of the hottest face",
            source=draught.draught.source,
            formula=draught.draught.formula,
            from_=(chimney.where,),
            inputs=(Input("chimney", chimney.text, chimney.where), outside_from, pressure_from),
        )
    )


def _add_fan_power(case: FiringCase, fan: Fan) -> tuple[float, float, float] | None:
    power, inputs, method = _rated(fan)
    if power is None:
        flow = case.review.number("air_needed")
        if fan.pressure is None or (flow is None and fan.flow is None):
            case.missing("fan_power", "W", f"kilns/{case.firing.kiln}: fan.power")
            return None
        moved = fan.flow.value if fan.flow else flow or 0.0
        low, middle, high = (
            float(draught.fan_power.plain(moved, fan.pressure.value, share))
            for share in reversed(draught.FAN_EFFICIENCY)
        )
        power = (low, middle, high)
        method = "flow times pressure over 0.1 to 0.3, small blowers, from memory"
        inputs = (Input("pressure of the fan", fan.pressure.text, fan.pressure.where),)
    case.add(
        Result(
            name="fan_power",
            value=power[1],
            unit="W",
            low=power[0] if power[0] != power[1] else None,
            high=power[2] if power[2] != power[1] else None,
            method=method,
            source=draught.fan_power.source if "over" in method else "the kiln as written",
            formula=draught.fan_power.formula if "over" in method else "",
            from_=tuple(x.where for x in inputs if x.where),
            inputs=inputs,
        )
    )
    return power


def _rated(fan: Fan) -> tuple[tuple[float, float, float] | None, tuple[Input, ...], str]:
    if _usable(fan.power) and fan.power is not None:
        value = fan.power.value
        return (
            (value,) * 3,
            (Input("power of the fan", fan.power.text, fan.power.where),),
            "written",
        )
    if _usable(fan.voltage) and _usable(fan.current) and fan.voltage and fan.current:
        value = fan.voltage.value * fan.current.value
        inputs = (
            Input("voltage of the fan", fan.voltage.text, fan.voltage.where),
            Input("current of the fan", fan.current.text, fan.current.where),
        )
        return (value,) * 3, inputs, "voltage times current"
    return None, (), ""


def _usable(amount: Amount | None) -> bool:
    return amount is not None and not amount.is_bound and amount.value > 0


def _add_battery(
    case: FiringCase, battery: Battery, power: tuple[float, float, float], hours: float
) -> None:
    usable = battery.usable.value / 100 if _usable(battery.usable) and battery.usable else USABLE[0]
    volts = battery.voltage.value if battery.voltage else None
    holds = battery_holds(battery)
    low, middle, high = (
        float(draught.battery_energy.plain(watts, max(hours, 0.0), usable)) for watts in power
    )
    charge = last_charge(case)
    extra: dict[str, Any] = {"hours": hours, "usable": 100 * usable}
    if volts:
        extra["Ah"] = middle / volts
    if holds is not None:
        extra["holds"] = holds
        extra["enough"] = middle <= holds
    if charge is not None:
        extra["charge"] = charge
    inputs = _battery_inputs(battery)
    case.add(
        Result(
            name="battery",
            value=middle,
            unit="Wh",
            low=low if low != middle else None,
            high=high if high != middle else None,
            extra=extra,
            method="what the fan draws over the hours of the fire, over the part of the battery "
            "that may be used",
            source=draught.battery_energy.source,
            formula=draught.battery_energy.formula,
            from_=tuple(x.where for x in inputs if x.where),
            inputs=inputs,
        )
    )


def _battery_inputs(battery: Battery) -> tuple[Input, ...]:
    inputs = []
    for name in ("energy", "charge", "voltage", "usable"):
        amount = getattr(battery, name)
        if amount is not None:
            inputs.append(Input(f"{name} of the battery", amount.text, amount.where))
    if not battery.usable:
        inputs.append(Input("usable part", "50 %", "", USABLE[1]))
    return tuple(inputs)


def battery_holds(battery: Battery) -> float | None:
    """Wh of a full battery."""
    if _usable(battery.energy) and battery.energy:
        return battery.energy.value
    if _usable(battery.charge) and battery.charge and battery.voltage:
        return battery.charge.value * battery.voltage.value
    return None


def last_charge(case: FiringCase) -> float | None:
    """% of the battery as last noted."""
    for line in reversed(case.firing.log):
        if isinstance(line, FiringLine) and line.charge and not line.charge.is_bound:
            return line.charge.value
    return None


def fan_hours(case: FiringCase) -> float:
    """Hours of full fan so far, from the lines that say on, half, off."""
    total, part = 0.0, 0.0
    since: datetime | None = None
    for line in case.firing.log:
        said = (line.fan or "").casefold() if isinstance(line, FiringLine) else ""
        if not said:
            continue
        if since is not None:
            total += part * (line.at - since).total_seconds() / 3600
        part = 0.0 if "off" in said else HALF if "half" in said else 1.0
        since = line.at
    if since is not None and not case.timeline.past_peak:
        total += part * case.context.hours_since(since)
    return total


def air_facts(case: FiringCase, hours_to_go: float | None) -> dict[str, Any]:
    """What rules ask of air and battery: `air_ratio`, `battery_left`, `fan_energy_to_go`."""
    facts: dict[str, Any] = {}
    ratio, said = ratio_of(case)
    if said.where:
        facts["air_ratio"] = ratio[1]
    power = case.review.number("fan_power")
    if power is None:
        return facts
    left = battery_left(case, power)
    if hours_to_go is not None:
        facts["fan_energy_to_go"] = power * max(hours_to_go, 0.0)
    if left is not None:
        facts["battery_left"] = left
    _add_what_is_left(case, power, left, hours_to_go)
    return facts


def battery_left(case: FiringCase, power: float) -> float | None:
    """Wh that the battery still gives: by its charge as noted, else by what the fan drew so far."""
    battery = case.kiln.battery if case.kiln else None
    holds = battery_holds(battery) if battery else None
    if battery is None or holds is None:
        return None
    usable = battery.usable.value / 100 if battery.usable else USABLE[0]
    charge = last_charge(case)
    spent = power * fan_hours(case) if charge is None else 0.0
    full = holds * (charge / 100 if charge is not None else 1.0)
    return max(full - spent - holds * (1 - usable), 0.0)


def _add_what_is_left(
    case: FiringCase, power: float, left: float | None, hours_to_go: float | None
) -> None:
    """Say with the battery what the fan still draws and for how long it lasts: once, for all."""
    found = case.review.get("battery")
    if found is None or power <= 0:
        return
    extra = dict(found.extra)
    if hours_to_go is not None:
        extra |= {"to_go": power * max(hours_to_go, 0.0), "hours_to_go": max(hours_to_go, 0.0)}
    if left is not None:
        extra |= {"left": left, "hours_left": left / power}
    if left is not None and hours_to_go is not None:
        extra["enough"] = extra["to_go"] <= left
    case.add(found.but(extra=extra))
