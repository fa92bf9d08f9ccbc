"""The settings of a notebook: `notebook.toml`."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from typing import Any

from fieldbook.frozen import frozen
from fieldbook.quantities import Amount
from fieldbook.records import schema as s
from fieldbook.records.common import Moment


@frozen(kw_only=True)
class Show:
    """The units the maker likes to read."""

    temperature: str | None = s.text("unit of temperatures, such as degF", shape="unit")
    length: str | None = s.text("unit of lengths, such as mm", shape="unit")
    mass: str | None = s.text("unit of masses, such as kg", shape="unit")
    volume: str | None = s.text("unit of volumes, such as l", shape="unit")


OUT_BY = "what all its readings may be out by; of several the greater holds"
STEP = "one digit or division of it"


@frozen(kw_only=True)
class Instrument:
    """How finely an instrument reads, and how far off the whole of it may be."""

    step: Amount | None = s.amount("mass", STEP, "length", "difference")
    error: tuple[Amount, ...] = s.amounts("percent", OUT_BY, "mass", "length", "difference")


@frozen(kw_only=True)
class Ruler(Instrument):
    """The same of lengths."""

    step: Amount | None = s.amount("length", STEP, "mass", "difference")
    error: tuple[Amount, ...] = s.amounts("percent", OUT_BY, "length", "mass", "difference")


@frozen(kw_only=True)
class Thermometer(Instrument):
    """The same of temperatures."""

    step: Amount | None = s.amount("difference", STEP, "mass", "length")
    error: tuple[Amount, ...] = s.amounts("percent", OUT_BY, "difference", "mass", "length")


@frozen(kw_only=True)
class Instruments:
    """The scale, the ruler and the thermometer."""

    scale: Instrument | None = s.table(Instrument, "what bricks are weighed on")
    ruler: Instrument | None = s.table(Ruler, "what lengths are read from")
    thermometer: Instrument | None = s.table(Thermometer, "what the kiln is read with")


@frozen(kw_only=True)
class Site:
    """Where the yard is; coordinates are not shared unless asked for."""

    elevation: Amount | None = s.amount("elevation", "height above the sea")
    latitude: Any = s._field(s.Spec("number", "degrees north"))
    longitude: Any = s._field(s.Spec("number", "degrees east"))


@frozen(kw_only=True)
class Stage:
    """One stage of firing in a maker's own table."""

    from_: Amount | None = s.temperature("where it begins")
    to: Amount | None = s.temperature("where it ends")


@frozen(kw_only=True)
class Practice:
    """How this group works."""

    standard: str | None = s.text("the standard bricks are graded by", shape="standard")
    target_moisture: Amount | None = s.percent("water when dry enough to fire, of the dry mass")
    greatest_climb: Amount | None = s.amount("rate", "never climb faster than this")
    open_below: Amount | None = s.temperature("open the kiln below this")
    unload_below: Amount | None = s.temperature("unload below this")
    reading_every: Amount | None = s.time_span("how often readings are taken")
    glow_list: str | None = s.text("the list of glow colours in use", shape="glow_list")
    moulded_per_day: int | None = s.count("bricks moulded in a day")
    stages: Mapping[str, Stage] = s.rows(Stage, "your own table of firing stages")


@frozen(kw_only=True)
class Settings:
    """All of `notebook.toml`."""

    format: int | None = s.count("the version of the format: 1", required=True)
    timezone: str | None = s.text("IANA name of the time zone", shape="timezone", required=True)
    title: str | None = s.text("a name as people say it")
    maker: str | None = s.text("who writes here, unless a line says otherwise")
    private: Any = s._field(
        s.Spec("flag_or_texts", "the settings that are not shared; not written, the coordinates")
    )
    show: Show | None = s.table(Show, "the units you like to read")
    measures: Mapping[str, Amount] = field(
        default_factory=dict,
        metadata={
            "spec": s.Spec("measures", "local measures as mass or volume", ("mass", "volume"))
        },
    )
    instruments: Instruments | None = s.table(Instruments, "scale, ruler, thermometer")
    site: Site | None = s.table(Site, "where the yard is")
    practice: Practice | None = s.table(Practice, "how this group works")
    lines_of: Mapping[str, int] = field(default_factory=dict, repr=False, compare=False)


__all__ = [
    "Instrument",
    "Instruments",
    "Moment",
    "Practice",
    "Settings",
    "Show",
    "Site",
    "Stage",
]
