"""A kiln."""

from __future__ import annotations

from fieldbook.frozen import frozen
from fieldbook.quantities import Amount
from fieldbook.records import schema as s
from fieldbook.records.common import Entry, Line


@frozen(kw_only=True)
class Fan:
    """The fan that feeds the fire."""

    flow: Amount | None = s.amount("flow", "air it moves")
    pressure: Amount | None = s.amount("pressure", "against this pressure")
    power: Amount | None = s.amount("power", "what it draws")
    voltage: Amount | None = s.amount("voltage", "what it runs on")
    current: Amount | None = s.amount("current", "what it draws")


@frozen(kw_only=True)
class Battery:
    """What the fan runs from."""

    energy: Amount | None = s.amount("energy", "what it holds when full")
    charge: Amount | None = s.amount("charge", "what it holds when full")
    voltage: Amount | None = s.amount("voltage", "what it gives")
    usable: Amount | None = s.percent("the part that may be used")


@frozen(kw_only=True)
class KilnLine(Line):
    """One observation on a kiln."""

    rain: bool | None = s.flag("it was rained on")
    repaired: str | None = s.text("what was mended")
    dried: bool | None = s.flag("dried by a small fire")
    lean: Amount | None = s.length("how far a wall leans")


@frozen(kw_only=True)
class Kiln(Entry):
    """A kiln; a clamp built anew each time counts as one."""

    folder = "kilns"
    line_type = KilnLine

    form: str | None = s.words(
        "how the fire goes through",
        "updraught",
        "downdraught",
        "crossdraught",
        "clamp",
        "scove",
        "pit",
    )
    length: Amount | None = s.length("inside")
    width: Amount | None = s.length("inside")
    height: Amount | None = s.length("inside")
    diameter: Amount | None = s.length("inside, of a round kiln")
    places: tuple[str, ...] = s.texts("names of its places: top, middle, bottom")
    chimney: Amount | None = s.length("above the fire")
    flue_area: Amount | None = s.amount("area", "of the flue")
    base: str | None = s.words(
        "what it stands on", "fired brick", "sand", "earth", "stone", "concrete"
    )
    wall: str | None = s.text("what the wall is made of")
    wall_thickness: Amount | None = s.length("of the wall")
    wall_conductivity: Amount | None = s.amount("conductivity", "of the wall")
    wall_mass: Amount | None = s.mass("all of the kiln that heats up")
    wall_area: Amount | None = s.amount("area", "of the wall, outside")
    spread: Amount | None = s.amount("difference", "between the hottest and the coldest place")
    fan: Fan | None = s.table(Fan, "the fan")
    battery: Battery | None = s.table(Battery, "the battery")
    capacity: int | None = s.count("bricks it holds")
