"""Clays and the mixes made of them."""

from __future__ import annotations

from collections.abc import Mapping

from fieldbook.frozen import frozen
from fieldbook.quantities import Amount
from fieldbook.records import schema as s
from fieldbook.records.common import Entry, Line, Moment


@frozen(kw_only=True)
class Jar:
    """A jar of soil shaken with water and left to settle."""

    sand: Amount | None = s.length("depth of the sand layer")
    silt: Amount | None = s.length("depth of the silt layer")
    clay: Amount | None = s.length("depth of the clay layer")
    sand_after: Amount | None = s.time_span("when the sand was marked")
    silt_after: Amount | None = s.time_span("when the silt was marked")
    clay_after: Amount | None = s.time_span("when the clay was marked")


@frozen(kw_only=True)
class Bar:
    """One trial bar, from wet to fired."""

    wet: Amount | None = s.length("between the marks as moulded")
    dry: Amount | None = s.length("between the marks when dry")
    fired: Amount | None = s.length("between the marks when fired")
    wet_mass: Amount | None = s.mass("as moulded")
    dry_mass: Amount | None = s.mass("dry")
    fired_mass: Amount | None = s.mass("fired")
    soaked_mass: Amount | None = s.mass("after 24 h in cold water")
    boiled_mass: Amount | None = s.mass("after 5 h boiling")
    suspended_mass: Amount | None = s.mass("hanging in water, when saturated")
    fired_at: Amount | None = s.temperature("the hottest it was")
    hold: Amount | None = s.time_span("how long it was held there")
    breaking_load: Amount | None = s.amount("force", "load at midspan that broke it")
    span: Amount | None = s.length("between the supports")
    width: Amount | None = s.length("across, at the break")
    height: Amount | None = s.length("deep, at the break")
    colour: str | None = s.text("its colour when fired")
    core: str | None = s.words("the inside of the break", "even", "grey", "black")
    went: str | None = s.words("how it came out", "sound", "bent", "bloated", "stuck")


@frozen(kw_only=True)
class Clay(Entry):
    """A clay source."""

    folder = "clays"
    line_type = Line

    place: str | None = s.text("where it is dug")
    dug: Moment | None = s.moment("when it was dug")
    depth: Amount | None = s.length("how far down")
    jar: Jar | None = s.table(Jar, "the jar test: depth of each layer")
    liquid_limit: Amount | None = s.percent("water at the liquid limit, of the dry mass")
    plastic_limit: Amount | None = s.percent("water at the plastic limit, of the dry mass")
    field_moisture: Amount | None = s.percent("water as dug, of the dry mass")
    loss_on_ignition: Amount | None = s.percent("what a dry piece loses when fired")
    coil: Amount | None = s.length("the piece that breaks off a hanging 10 mm coil")
    ribbon: Amount | None = s.length("how long a pressed ribbon gets")
    thread: Amount | None = s.length("the thinnest thread it rolls to")
    dry_strength: str | None = s.words("a dry pat between the fingers", "low", "medium", "high")
    fizz: str | None = s.words(
        "with a drop of acid", "none", "few bubbles", "bubbles", "low foam", "thick foam"
    )
    lime_lump: Amount | None = s.length("the largest lump that fizzes")
    organic_carbon: Amount | None = s.percent("of the dry mass")
    bulk_density: Amount | None = s.amount("density", "loose, as measured out")
    salts: str | None = s.text("white bloom seen, or none")
    bars: Mapping[str, Bar] = s.rows(Bar, "trial bars, one a line")


@frozen(kw_only=True)
class Part:
    """One part of a mix."""

    clay: str | None = s.name("clays", "the clay")
    temper: str | None = s.text("what is added: sand, grog, ash")
    volume: Amount | None = s.amount("volume", "how much, by volume")
    mass: Amount | None = s.amount("mass", "how much, by mass", "volume")
    moisture: Amount | None = s.percent("its water, of the dry mass")
    bulk_density: Amount | None = s.amount("density", "as measured out")


@frozen(kw_only=True)
class BurnOut:
    """What burns out of a mix."""

    material: str | None = s.text("sawdust, husk, dung")
    share: Amount | None = s.percent("of the dry mass")
    carbon: Amount | None = s.percent("carbon in it, of its dry mass")


@frozen(kw_only=True)
class Mix(Entry):
    """Clays and tempers in parts."""

    folder = "mixes"
    line_type = Line

    parts: tuple[Part, ...] = s.items(Part, "clays and tempers, by volume or mass", required=True)
    water: Amount | None = s.amount("volume", "water added", "mass", "percent")
    aged: Amount | None = s.time_span("how long it lay before moulding")
    burn_out: BurnOut | None = s.table(BurnOut, "what burns out of it")
    no_hotter_than: Amount | None = s.temperature("never fire it hotter than this")
    bars: Mapping[str, Bar] = s.rows(Bar, "trial bars, one a line")
