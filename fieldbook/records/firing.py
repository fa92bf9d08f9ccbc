"""One firing, with what was in it."""

from __future__ import annotations

from fieldbook.frozen import frozen
from fieldbook.quantities import Amount
from fieldbook.records import schema as s
from fieldbook.records.common import Entry, Line, Moment


@frozen(kw_only=True)
class Load:
    """Bricks of one batch at one place of the kiln."""

    batch: str | None = s.name("batches", "the batch")
    refired: str | None = s.name("firings", "the firing they came out of, fired again")
    count: int | None = s.count("how many")
    place: str | None = s.text("where in the kiln")
    moisture: Amount | None = s.percent("their water when set, of the dry mass")


@frozen(kw_only=True)
class Setting:
    """How the bricks stand in the kiln."""

    gap: Amount | None = s.length("between bricks")
    bench: Amount | None = s.length("thickness of bricks set tight together")
    courses: int | None = s.count("courses high")


@frozen(kw_only=True)
class Fuel:
    """One fuel."""

    name: str | None = s.text("what it is called in the log")
    calorific_value: Amount | None = s.amount("calorific", "net, of the oven-dry fuel")
    moisture: Amount | None = s.percent("its water, of the wet mass")
    meter: Amount | None = s.percent("what a pin meter shows: of the dry mass")
    bulk_density: Amount | None = s.amount("density", "of the measure as filled")


@frozen(kw_only=True)
class Fault:
    """One fault seen."""

    what: str | None = s.text("what was seen")
    count: int | None = s.count("on how many")


@frozen(kw_only=True)
class Unloaded:
    """What came out of one place."""

    batch: str | None = s.name("batches", "the batch")
    place: str | None = s.text("from where in the kiln")
    sound: int | None = s.count("sound")
    cracked: int | None = s.count("cracked")
    soft: int | None = s.count("soft, underfired")
    overfired: int | None = s.count("bent, bloated or fused")
    lost: int | None = s.count("burst or fallen to pieces")
    faults: tuple[Fault, ...] = s.items(Fault, "faults seen")


@frozen(kw_only=True)
class FiringPlan:
    """What is wanted of a firing."""

    start: Moment | None = s.moment("when it is lit")
    peak: Amount | None = s.temperature("the temperature wanted at the coldest place")
    hold: Amount | None = s.time_span("how long at the peak; 1 h where not written")
    reading_every: Amount | None = s.time_span("how often readings are taken")
    flash: bool | None = s.flag("darken the faces with little air at the end")


@frozen(kw_only=True)
class FiringLine(Line):
    """One observation at the kiln."""

    temperature: Amount | None = s.temperature("what the thermometer shows")
    place: str | None = s.text("where in the kiln")
    probe: str | None = s.words("what the probe touches", "gas", "face", "inside", "wall", "flue")
    glow: str | None = s.text("the colour of the glow")
    light: str | None = s.words("the light it was seen in", "dark", "shade", "sun")
    cone: str | None = s.text("which cone")
    state: str | None = s.words("how the cone stands", "standing", "bent", "down")
    steam: bool | None = s.flag("steam from the top")
    smoke: str | None = s.words("smoke from the top", "none", "white", "black")
    oxygen: Amount | None = s.percent("oxygen in the dry flue gas")
    fuel: Amount | None = s.amount("mass", "fuel put on", "volume")
    fuel_left: Amount | None = s.amount("mass", "fuel still in the heap", "volume")
    of_: str | None = s.text("which fuel")
    fan: str | None = s.text("on, half, off")
    charge: Amount | None = s.percent("of the battery")
    damper: str | None = s.text("open, half, shut")
    air: Amount | None = s.amount("air_temperature", "of the air outside")
    humidity: Amount | None = s.percent("of the air outside, relative")
    wind: str | None = s.text("how it blows")
    rain: bool | None = s.flag("it rains")
    settled: Amount | None = s.length("how far the stack has sunk")
    lean: Amount | None = s.length("how far the stack leans")
    draw: str | None = s.text("which brick was drawn")
    mass: Amount | None = s.mass("mass of the brick drawn")
    marks: Amount | None = s.length("between its marks")
    core: str | None = s.words("its broken inside", "even", "grey", "black")
    event: str | None = s.words(
        "what happened", "lit", "sealed", "peak", "cooling", "opened", "unloaded"
    )


@frozen(kw_only=True)
class Firing(Entry):
    """One firing, with what was in it."""

    folder = "firings"
    line_type = FiringLine

    kiln: str | None = s.name("kilns", "the kiln", required=True)
    load: tuple[Load, ...] = s.items(Load, "what is in it, by batch and place", required=True)
    setting: Setting | None = s.table(Setting, "how the bricks stand")
    fuel: tuple[Fuel, ...] = s.items(Fuel, "the fuels")
    unloaded: tuple[Unloaded, ...] = s.items(Unloaded, "what came out, by batch and place")
    plan: FiringPlan | None = s.table(FiringPlan, "what is wanted")
