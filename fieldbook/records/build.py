"""What the bricks are for."""

from __future__ import annotations

from fieldbook.frozen import frozen
from fieldbook.quantities import Amount
from fieldbook.records import schema as s
from fieldbook.records.batch import Size
from fieldbook.records.common import Entry, Line


@frozen(kw_only=True)
class Layer:
    """One layer of a hot wall, the hottest first."""

    material: str | None = s.text("what it is", shape="material")
    thickness: Amount | None = s.length("through it")
    conductivity: Amount | None = s.amount("conductivity", "of it")


@frozen(kw_only=True)
class BuildLine(Line):
    """One observation on a build."""

    laid: int | None = s.count("bricks laid")
    of_: str | None = s.name("firings batches", "the firing or batch they are of")
    temperature: Amount | None = s.temperature("what was read")
    place: str | None = s.text("where")


@frozen(kw_only=True)
class Build(Entry):
    """A wall, paving, an oven, a lining."""

    folder = "builds"
    line_type = BuildLine

    form: str | None = s.words(
        "its shape", "wall", "paving", "arch", "dome", "cylinder", "flat lining"
    )
    length: Amount | None = s.length("along it")
    height: Amount | None = s.length("how high")
    width: Amount | None = s.length("across it")
    inside_diameter: Amount | None = s.length("of a dome or cylinder")
    span: Amount | None = s.length("of an arch")
    rise: Amount | None = s.length("of an arch")
    leaves: int | None = s.count("half-brick leaves thick: half a brick is 1")
    joint: Amount | None = s.length("thickness of the joints")
    brick: Size | None = s.table(Size, "the brick as fired")
    layers: tuple[Layer, ...] = s.items(Layer, "layers of a hot wall, the hottest first")
    exposure: str | None = s.words("what it stands", "indoors", "damp", "freezing wet", "ground")
    hot_face: Amount | None = s.temperature("the hottest its inner face gets")
    molten_metal: bool | None = s.flag("molten metal is near")
    surroundings: Amount | None = s.amount("air_temperature", "of the air round it")
    mix: str | None = s.name("mixes", "the mix meant for it")
    spare: Amount | None = s.percent("bricks to spare")
