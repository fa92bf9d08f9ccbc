"""What to look at while it burns: steam, draw bricks, black cores, places that trail or fall."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from fieldbook.advice.actions import Action, Urgency
from fieldbook.advice.events import last
from fieldbook.advice.fire import burning, coldest, spots
from fieldbook.advice.fire_step import too_late, wants_wood
from fieldbook.advice.rules import Case, firing, rule
from fieldbook.advice.wording import percent
from fieldbook.records import Firing

GTZ = "Beamish and Donovan, Village-Level Brickmaking, GATE/GTZ 1989"
AGUMBA = "Agumba and Abbott, How to Build, Use and Maintain a Better Bonfire Kiln, 1996"
UNEVEN = 60.0
"""K between places from which the fire is moved; common practice."""
CARBON = (600.0, 900.0)
"""degC at the core between which carbon can burn out before the pores close."""


@rule(
    "steam-not-yet",
    on=Firing,
    urgency=Urgency.TIMED,
    source=f"white steam until the mixing water is out, by 150 °C: {GTZ}",
    topic="draw",
)
def steam_not_yet(case: Case) -> Iterator[Action]:
    """Steam still comes below 200 °C: a draw brick weighed twice tells whether it is the load."""
    steam, face = last(case.entry, "steam"), coldest(case.result("face_temperature"))
    gone = last_false(case, "steam")
    if not burning(case) or steam is None or face is None or not 100 <= face.value < 200:
        return
    if (gone and gone.at > steam.at) or drawn_steady(case):
        return
    again = case.say.hours(0.5)
    yield case.act(
        "draw",
        f"Draw one brick with tongs, weigh it, and weigh it again {again} later.",
        f"Steam was seen at {case.say.clock(steam.at)} with the coldest bricks at "
        f"{case.say.temperature(face.value)}; below {case.say.temperature(200)} it is the load's.",
        numbers={"coldest": [face.value, "degC"], "again_after": [0.5, "h"]},
        log="draw 1 … kg",
        rests_on=("face_temperature",),
        settled_by="no steam, or two masses of a draw brick that agree",
        reason="steam below 200",
    )


def last_false(case: Case, attribute: str) -> Any:
    """The last log line that says no to something."""
    return next((x for x in reversed(case.entry.log) if getattr(x, attribute, None) is False), None)


def drawn_steady(case: Case) -> bool:
    """Whether the last two weighings of one draw brick agree within 0.5 %."""
    masses: dict[str, list[float]] = {}
    for line in case.entry.log:
        if line.draw and line.mass and not line.mass.is_bound:
            masses.setdefault(line.draw, []).append(line.mass.value)
    pairs = [values[-2:] for values in masses.values() if len(values) > 1]
    return any(abs(a - b) <= 0.005 * a for a, b in pairs)


@rule(
    "more-air",
    on=Firing,
    urgency=Urgency.WARE,
    source="a black core is carbon that had no air before the pores closed: Duggal, Building "
    "Materials; 650 to 900 °C",
    topic="fire",
)
def more_air(case: Case) -> Iterator[Action]:
    """Carbon is known to be left in the core while it can still burn out: air, not fire."""
    core, left = coldest(case.result("core_temperature")), case.result("carbon_left")
    black = black_core(case)
    if not burning(case) or core is None or not CARBON[0] - 50 <= core.value < CARBON[1]:
        return
    if not black and last(case.entry, "smoke", "black") is None:
        return
    why = "a draw brick broke with a black core" if black else "black smoke shows too little air"
    share = f" ({percent(left.number * 100)} of it by the model)" if left else ""
    yield case.act(
        "more-air",
        "Open the air and feed less at a time; give more air, not more fire, for 1 h.",
        f"Carbon is still in the core{share}: {why}; it burns between "
        f"{case.say.temperature(650)} and {case.say.temperature(900)}.",
        numbers={
            "core": [core.value, "degC"],
            "time": [1, "h"],
            **({"carbon_left": [left.number, "1"]} if left else {}),
        },
        log="draw 2 … core",
        rests_on=("carbon_left", "core_temperature"),
        settled_by="a draw brick with an even core",
        reason="carbon seen",
    )


def black_core(case: Case) -> bool:
    """Whether the last draw brick that was broken was black inside."""
    seen = last(case.entry, "core")
    return seen is not None and seen.core == "black"


@rule(
    "look-inside",
    on=Firing,
    urgency=Urgency.TIMED,
    source="organic matter burns out by about 650 °C, later in thick ware; black depth from memory",
    topic="draw",
)
def look_inside(case: Case) -> Iterator[Action]:
    """The core is between 650 and 850 °C, the mix holds carbon and no draw brick was broken."""
    core, left = coldest(case.result("core_temperature")), case.result("carbon_left")
    if not burning(case) or core is None or not 650 <= core.value < 850 or left is None:
        return
    upper = left.high if left.high is not None else left.number
    if upper <= 0.05 or last(case.entry, "core") is not None:
        return
    yield case.act(
        "draw",
        "Draw one brick with tongs, let it cool in dry ash, break it, and note its core.",
        f"At most {percent(upper * 100)} of the carbon may still be in the core at "
        f"{case.say.temperature(core.value)}; only a broken brick tells.",
        numbers={"core": [core.value, "degC"], "carbon_left_at_most": [upper, "1"]},
        log="draw 2 … core",
        rests_on=("carbon_left", "core_temperature"),
        settled_by="the core of a draw brick: even, grey or black",
        reason="core not looked at",
    )


def held_back(case: Case) -> bool:
    """Whether the fire as a whole is told to stop, to slow down or to wait: then nobody feeds."""
    orders = (firing.stop_feeding, firing.slow_down, firing.hold_for_steam, firing.end_the_fire)
    noted = last(case.entry, "event", "peak") is not None
    return noted or any(list(order(case)) for order in (*orders, firing.hold_for_core, more_air))


@rule(
    "feed-falling-place",
    on=Firing,
    urgency=Urgency.WARE,
    source=f"a cold spot shows no smoke after a feed: fire under it: {AGUMBA}",
    topic="place",
)
def feed_falling_place(case: Case) -> Iterator[Action]:
    """One place falls while the fire as a whole climbs."""
    falling = case.fact("falling_places") or ()
    if not burning(case) or not falling or held_back(case) or too_late(case):
        return
    if not wants_wood(case):
        return
    place, rate = falling[0]
    yield case.act(
        "feed-place",
        f"Feed the side under {place} first, small and often, until it climbs again.",
        f"It falls {case.say.rate(abs(rate))} at {place} while other places climb.",
        numbers={"fall": [abs(rate), "K/h"]},
        log=f"… C {place}",
        rests_on=("climb",),
        settled_by=f"a reading at {place} that climbs",
        reason=f"falling at {place}",
    )


@rule(
    "even-out",
    on=Firing,
    urgency=Urgency.TIMED,
    source=f"fire under the cold spot, pierce the cover above it, plug it later: {AGUMBA}",
    topic="place",
)
def even_out(case: Case) -> Iterator[Action]:
    """The coldest place trails the hottest by more than the kiln's spread or 60 °C."""
    faces = spots(case.result("face_temperature"))
    if not burning(case) or len(faces) < 2:
        return
    hot, cold = max(faces, key=lambda s: s.value), min(faces, key=lambda s: s.value)
    gap = hot.value - cold.value
    due = case.time("next_reading")
    if gap <= UNEVEN or hot.value < 200 or held_back(case) or (due and due < case.now):
        return  # places read hours apart are not compared
    yield case.act(
        "even-out",
        evened(case, cold.place, hot.place),
        f"{cold.place.capitalize()} trails {hot.place} by {case.say.difference(gap)}.",
        numbers={"spread": [gap, "K"], "limit": [UNEVEN, "K"]},
        log=f"… C {cold.place}",
        rests_on=("face_temperature", "spread"),
        settled_by=f"a reading at {cold.place} closer to {hot.place}",
        reason=f"{cold.place} colder than {hot.place}",
    )


def evened(case: Case, cold: str, hot: str) -> str:
    """How the fire is moved: no wood while none is wanted, no opening while the air is closed."""
    from fieldbook.advice.rules.fuel import less_air

    wood, closing = wants_wood(case), bool(list(less_air(case)))
    if wood:
        opened = "" if closing else " and open the cover above it"
        return f"Feed under {cold}{opened}; rest the fire under {hot}."
    opened = "" if closing else f"; open the cover over {cold}"
    return f"Rest the fire under {hot}{opened}."
