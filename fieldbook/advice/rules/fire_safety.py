"""Where a fire can hurt someone: each said at its step, once and plainly."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

from fieldbook.advice.actions import Action, Urgency
from fieldbook.advice.events import happened
from fieldbook.advice.fire import burning, hottest, is_bad_wood, phase, planned, shut
from fieldbook.advice.fire_step import wants_wood
from fieldbook.advice.rules import Case, rule
from fieldbook.advice.rules.people import CODES
from fieldbook.records import Firing

MONOXIDE = "OSHA and NIOSH carbon monoxide sheets: 50 and 35 ppm over a shift, 1200 ppm kills"


@rule(
    "clear-the-ring",
    on=Firing,
    urgency=Urgency.BLOCKING,
    source="common practice; no published distance was found",
    caution=f"Hot bricks burn bare feet hours later. Ask about local burn rules. {CODES}",
    topic="ring",
)
def clear_the_ring(case: Case) -> Iterator[Action]:
    """A firing is planned and lit within two days, or its day is not written."""
    if not planned(case, within=timedelta(days=2)):
        return
    ring, water = case.say.length(3), case.say.volume(0.04)
    yield case.act(
        "clear-ring",
        f"Rope off {ring} round the kiln, no children or animals; stand {water} of water there.",
        "A fire kept for a day and a night spreads where nobody looks.",
        numbers={"ring": [3, "m"], "water": [0.04, "m3"]},
        log=": ring roped, water there, burn rules asked",
        settled_by="the fire is lit",
    )


@rule(
    "clean-wood",
    on=Firing,
    urgency=Urgency.PEOPLE,
    source="salt in driftwood, metals in paint and preservative; common practice",
    caution="Smoke of painted or treated wood carries arsenic, lead and chlorine.",
    topic="clean-wood",
)
def clean_wood(case: Case) -> Iterator[Action]:
    """A fuel of the firing is, by its name, painted, treated or salt-soaked."""
    if phase(case) in ("sealed", "cooling", "opened", "unloaded"):
        return
    names = [fuel.name for fuel in case.entry.fuel if fuel.name]
    bad = [name for name in names if is_bad_wood(name)]
    if not bad:
        return
    yield case.act(
        "leave-out",
        f"Leave the {bad[0]} out of this fire; burn clean wood only.",
        "Painted, treated and salt-soaked wood poisons smoke and ash, and salt scums the bricks.",
        log=f"fieldbook set {case.address} fuel=…",
        settled_by="a fuel list without it",
        reason=f"fuel {bad[0]}",
    )


@rule(
    "never-alone",
    on=Firing,
    urgency=Urgency.PEOPLE,
    source="common practice",
    caution=f"An open fire is never left, not for a meal and not for the night. {CODES}",
    topic="watch",
)
def never_alone(case: Case) -> Iterator[Action]:
    """The fire was lit within the hour."""
    lit = happened(case.entry, "lit")
    if not burning(case) or lit is None or case.now - lit > timedelta(hours=1):
        return
    yield case.act(
        "keep-watch",
        "Keep one person awake at the fire until it is sealed, and relieve them every 6 h.",
        f"It was lit at {case.say.clock(lit)}; a fire left for 20 min runs away or dies.",
        numbers={"watch": [6, "h"], "left": [20, "min"]},
        log=": watch kept by …",
        settled_by="an hour after lighting it is said",
    )


@rule(
    "shade-eyes",
    on=Firing,
    urgency=Urgency.PEOPLE,
    source="eye protection at the spy hole: US pyrometric cone charts",
    caution="The glow of a kiln clouds the eye over years; welding glass of shade 3 to 5 helps.",
    topic="eyes",
)
def shade_eyes(case: Case) -> Iterator[Action]:
    """The kiln begins to glow: the hottest bricks pass from 500 to 650 °C."""
    hot = hottest(case.result("face_temperature"))
    if not burning(case) or hot is None or not 500 <= hot.value <= 650:
        return
    yield case.act(
        "shade-eyes",
        "Look into the kiln only through dark welding glass, and from the side.",
        f"At {case.say.temperature(hot.value)} it begins to glow; flames shoot out of a spy hole.",
        numbers={"hottest": [hot.value, "degC"], "shade": [3, "welding shade"]},
        log="dull red …",
        settled_by="a reading above 650 °C: it has been said",
    )


@rule(
    "tongs-not-water",
    on=Firing,
    urgency=Urgency.PEOPLE,
    source="hot ware dropped in water bursts and scalds; common practice",
    caution="A brick still burns flesh at 60 °C, long after its glow is gone.",
    topic="draw-caution",
)
def tongs_not_water(case: Case) -> Iterator[Action]:
    """A draw brick is about to be taken out of the fire."""
    from fieldbook.advice.rules.watching import look_inside, steam_not_yet

    if not [*look_inside(case), *steam_not_yet(case)]:
        return
    yield case.act(
        "use-tongs",
        "Draw the brick with long tongs and gloves, set it in dry ash, never in water.",
        "Water on a hot brick flashes to steam of some 1700 times its volume.",
        numbers={"volume": [1700, "times"]},
        log="draw … kg",
        settled_by="the draw brick is noted",
    )


@rule(
    "stand-clear-of-lean",
    on=Firing,
    urgency=Urgency.PEOPLE,
    source="a stack moves while it heats and cools: GATE brief Brick Clamps",
    caution=f"Never prop a hot stack by hand. {CODES}",
    topic="lean",
)
def stand_clear_of_lean(case: Case) -> Iterator[Action]:
    """The stack was seen to lean during the firing, and leans more than when it was lit."""
    lines = [x for x in case.entry.log if x.lean and not x.lean.is_bound and x.lean.value > 0]
    if not lines or phase(case) in ("planned", "unloaded"):
        return
    lean = lines[-1].lean.value
    grown = lean - lines[0].lean.value
    fed = "; feed the other side" if burning(case) and may_be_fed(case) else ""
    more = f", {case.say.length(grown)} more than first seen" if grown > 0 else ""
    yield case.act(
        "stand-clear",
        f"Keep everyone {case.say.length(3)} clear of the side it leans to{fed}.",
        f"The stack leans {case.say.length(lean)}{more}; it settles as it burns and can fall.",
        numbers={"lean": [lean, "m"], "clear": [3, "m"]},
        log="lean … mm",
        settled_by="unloaded",
        reason=f"lean {lines[-1].key or lines[-1].at.isoformat()}",
    )


def may_be_fed(case: Case) -> bool:
    """Whether no order of the fire is against wood now."""
    from fieldbook.advice.rules.watching import held_back

    return wants_wood(case) and not held_back(case)


@rule(
    "monoxide-while-sealed",
    on=Firing,
    urgency=Urgency.PEOPLE,
    source=MONOXIDE,
    caution=f"Carbon monoxide has no smell; headache means out, now. {CODES}",
    topic="monoxide",
)
def monoxide_while_sealed(case: Case) -> Iterator[Action]:
    """The kiln is shut on its embers."""
    if not shut(case):
        return
    opens = case.time("opens")
    if opens is not None and opens <= case.now:
        return
    yield case.act(
        "keep-away",
        "Keep people and animals out of any shed the sealed kiln stands in; sleep nowhere near it.",
        "Embers choked of air give off carbon monoxide for a day or more; 1200 ppm kills.",
        numbers={"deadly": [1200, "ppm"], "shift": [50, "ppm"]},
        log=": shed open, nobody sleeps there",
        settled_by="opened",
    )


@rule(
    "monoxide-on-opening",
    on=Firing,
    urgency=Urgency.PEOPLE,
    source=MONOXIDE,
    caution=f"Never lean into a kiln that was sealed. {CODES}",
    topic="monoxide",
)
def monoxide_on_opening(case: Case) -> Iterator[Action]:
    """A sealed kiln is about to be opened, or was just opened."""
    if not opening(case):
        return
    yield case.act(
        "air-first",
        "Stand upwind when you open it, the top first, wait 30 min, and never lean in.",
        "Carbon monoxide and stale air stay in a sealed kiln until the wind has changed them.",
        numbers={"wait": [30, "min"]},
        log="opened",
        settled_by="unloaded",
    )


@rule(
    "embers-on-opening",
    on=Firing,
    urgency=Urgency.PEOPLE,
    source="embers under ash live for days; common practice",
    caution="Water on hot bricks or embers scalds and cracks what is sound.",
    topic="embers",
)
def embers_on_opening(case: Case) -> Iterator[Action]:
    """A kiln is about to be opened, or was just opened."""
    if not opening(case):
        return
    yield case.act(
        "rake-embers",
        "Wear boots and gloves, rake out live embers into sand, and pour no water on hot bricks.",
        "Embers under ash are live for days and flare when air comes in.",
        log=": embers raked into sand",
        settled_by="unloaded",
    )


def opening(case: Case) -> bool:
    """Whether the kiln may be opened now, or was opened within a day."""
    opens, opened = case.time("opens"), happened(case.entry, "opened")
    if phase(case) == "opened":
        return opened is None or case.now - opened <= timedelta(days=1)
    return shut(case) and opens is not None and opens <= case.now
