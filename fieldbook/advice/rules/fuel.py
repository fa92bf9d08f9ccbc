"""Wood and air: enough of it, dry enough, and a flame that can reach the peak; the battery."""

from __future__ import annotations

from collections.abc import Iterator

from fieldbook.advice.actions import Action, Urgency
from fieldbook.advice.events import last
from fieldbook.advice.fire import burning, fuel_words, phase, planned, wanted_peak
from fieldbook.advice.rules import Case, rule
from fieldbook.advice.rules.firing import end_the_fire, hold_for_steam
from fieldbook.advice.rules.watching import more_air
from fieldbook.advice.wording import percent
from fieldbook.records import Firing

WOOD = "net value of wet wood NCV0 (1 - M) - 2.44 M MJ/kg: European wood fuel handbook (AIEL)"
FED = ("lit", "climbing")
LEAST_AIR = 1.2
"""The least air ratio a wood fire burns out at; common practice."""
WET = 25.0
"""% of the wet mass: above it the wood spends a sixth of its heat on its own water; derived."""


@rule(
    "drier-wood",
    on=Firing,
    urgency=Urgency.BLOCKING,
    source="adiabatic flame temperature of this wood at 1.2 times the air it needs, an upper bound",
    topic="fuel",
)
def drier_wood(case: Case) -> Iterator[Action]:
    """The flame of this wood cannot reach the peak wanted, with whatever air."""
    peak, allowed = wanted_peak(case), case.number("air_ratio_allowed")
    if peak is None or allowed is None or allowed >= LEAST_AIR:
        return
    if not (planned(case) or (phase(case) in FED and burning(case))) or is_fed_out(case):
        return
    yield case.act(
        "drier-wood",
        "Bring drier wood or charcoal: this wood cannot reach the peak with any air.",
        f"With {percent(20)} spare air its flame stays below {case.say.temperature(peak)}.",
        numbers={"peak": [peak, "degC"], "air_ratio_allowed": [allowed, "1"]},
        log=f"fieldbook set {case.address} fuel=…",
        rests_on=("air_ratio_allowed",),
        settled_by="a fuel with less water",
        reason="wood too wet for the peak",
    )


@rule(
    "less-air",
    on=Firing,
    urgency=Urgency.TIMED,
    source="adiabatic flame temperature of this wood against air, an upper bound; air ratio from "
    "oxygen, 21/(21 - O2)",
    topic="air",
)
def less_air(case: Case) -> Iterator[Action]:
    """The flue gas shows so much air that this wood's flame cannot pass the peak wanted."""
    peak, allowed = wanted_peak(case), case.number("air_ratio_allowed")
    ratio = case.fact("air_ratio")
    if peak is None or allowed is None or phase(case) not in FED or list(more_air(case)):
        return
    if not burning(case) or list(hold_for_steam(case)):
        return  # steam leaves by the open top
    if not isinstance(ratio, int | float) or allowed < LEAST_AIR or ratio <= allowed:
        return
    yield case.act(
        "less-air",
        f"Close the air until the flue gas shows {percent(oxygen_at(allowed))} oxygen or less.",
        f"At {ratio:.1f} times the air it needs this wood's flame cannot pass "
        f"{case.say.temperature(peak)}; {allowed:.1f} times is the most.",
        numbers={"air_ratio": [ratio, "1"], "air_ratio_allowed": [allowed, "1"]},
        log="oxygen … %",
        rests_on=("air_ratio_allowed",),
        settled_by="less oxygen in the flue gas",
        reason="too much air for the peak",
    )


def oxygen_at(ratio: float) -> float:
    """Oxygen of the dry flue gas [%] at an air ratio, 21 (ratio - 1)/ratio."""
    return 21 * (ratio - 1) / ratio


@rule(
    "dry-the-wood",
    on=Firing,
    urgency=Urgency.BLOCKING,
    source=WOOD,
    topic="fuel-moisture",
)
def dry_the_wood(case: Case) -> Iterator[Action]:
    """The wood for a planned firing holds more than 25 % water."""
    if not planned(case):
        return
    for fuel in case.entry.fuel:
        wet = fuel.moisture
        water = wet.value if wet and not wet.is_bound else None
        if water is None and fuel.meter and not fuel.meter.is_bound:
            water = 100 * fuel.meter.value / (100 + fuel.meter.value)
        if water is None or water <= WET:
            continue
        loss = lost_share(water, WET - 5)
        yield case.act(
            "dry-wood",
            f"Split the {fuel.name or 'wood'} and stack it under a roof until it is below "
            f"{percent(20)} water.",
            f"At {percent(water)} water each load gives {percent(loss)} less heat than at "
            f"{percent(WET - 5)}.",
            numbers={"moisture": [water, "%"], "limit": [WET, "%"], "less_heat": [loss, "%"]},
            log=f"fieldbook set {case.address} fuel=…",
            settled_by="a fuel moisture below 25 %",
            reason=f"wet {fuel.name}",
        )


def lost_share(wet: float, dry: float) -> float:
    """How much less heat [%] a kilogram of wood gives at one moisture than at another [%]."""
    heat = [18.5 * (1 - m / 100) - 2.44 * m / 100 for m in (wet, dry)]
    return 100 * (1 - heat[0] / heat[1])


@rule(
    "measure-the-wood",
    on=Firing,
    urgency=Urgency.BLOCKING,
    source=WOOD,
    topic="fuel-moisture",
)
def measure_the_wood(case: Case) -> Iterator[Action]:
    """Nothing is noted of how wet the fuel of a planned firing is."""
    if not planned(case) or any(f.moisture or f.meter for f in case.entry.fuel):
        return
    name = fuel_words(case)
    yield case.act(
        "measure-wood",
        f"Weigh a split piece of the {name}, dry it beside the fire for a day, and weigh it again.",
        f"Wood holds {percent(10)} to {percent(60)} water; how much you need hangs on that.",
        numbers={"least": [10, "%"], "most": [60, "%"]},
        log=f'fieldbook set {case.address} fuel=\'[{{ name = "{name}", moisture = "… %" }}]\'',
        rests_on=("fuel_needed",),
        settled_by="a moisture of the fuel, or what a pin meter shows",
    )


@rule(
    "bring-wood",
    on=Firing,
    urgency=Urgency.BLOCKING,
    source="the heat balance of this load and kiln; plan high: a measured kiln of 1796 burnt twice "
    "the rule (Jefferson, Farm Book)",
    topic="fuel-stock",
)
def bring_wood(case: Case) -> Iterator[Action]:
    """The heap noted is smaller than what is still to burn."""
    heap, need = last(case.entry, "fuel_left"), fuel_to_burn(case)
    if heap is None or need is None or heap.fuel_left.dimension != "mass":
        return
    stock = heap.fuel_left.value - burnt_since(case, heap.at)
    short = need - stock
    if short <= 0.1 * need or not (planned(case) or burning(case)) or is_fed_out(case):
        return
    yield case.act(
        "bring-wood",
        f"Bring {case.say.mass(short)} more {fuel_words(case)} to the kiln"
        + (" before you light it." if phase(case) == "planned" else " now."),
        f"About {case.say.mass(need)} is still to burn; {case.say.mass(max(0.0, stock))} is left.",
        numbers={"to_go": [need, "kg"], "left": [stock, "kg"], "short": [short, "kg"]},
        log="fuel left … kg",
        rests_on=("fuel_needed", "fuel_to_go"),
        settled_by="a heap that is large enough",
        urgency=Urgency.WARE if burning(case) else None,
        reason="wood short",
    )


def is_fed_out(case: Case) -> bool:
    """Whether the fire is told to end, or its peak is noted: no more wood is carried to it."""
    return last(case.entry, "event", "peak") is not None or bool(list(end_the_fire(case)))


def fuel_to_burn(case: Case) -> float | None:
    """What the firing still burns [kg]: to go, or all of it before lighting."""
    to_go = case.number("fuel_to_go")
    return to_go if to_go is not None else case.number("fuel_needed")


def burnt_since(case: Case, moment: object) -> float:
    """Fuel put on after a moment [kg], as far as it was noted as a mass."""
    lines = [x for x in case.entry.log if x.at > moment and x.fuel and x.fuel.dimension == "mass"]
    return float(sum(line.fuel.value for line in lines))


@rule(
    "charge-battery",
    on=Firing,
    urgency=Urgency.BLOCKING,
    source="energy of the fan over the firing against what the battery gives at its usable depth",
    topic="battery",
)
def charge_battery(case: Case) -> Iterator[Action]:
    """The battery does not last the fan to the end of the firing."""
    need, have = case.fact("fan_energy_to_go"), case.fact("battery_left")
    if need is None or have is None or need <= have or not (planned(case) or burning(case)):
        return
    yield case.act(
        "charge-battery",
        f"Charge the battery, or bring a second one of {case.say.energy(need - have)} or more.",
        f"The fan needs {case.say.energy(need)} to the end and the battery gives "
        f"{case.say.energy(have)}.",
        numbers={"needed": [need, "Wh"], "left": [have, "Wh"]},
        log="charge … %",
        rests_on=("battery", "fan_power"),
        settled_by="a charge that lasts",
        urgency=Urgency.WARE if burning(case) else None,
        reason="battery short",
    )
