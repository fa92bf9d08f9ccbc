"""Bricks moulded together from one mix."""

from __future__ import annotations

from collections.abc import Mapping

from fieldbook.frozen import frozen
from fieldbook.quantities import Amount
from fieldbook.records import schema as s
from fieldbook.records.common import Entry, Line, Moment


@frozen(kw_only=True)
class Size:
    """A brick's three sides."""

    length: Amount | None = s.length("the longest side")
    width: Amount | None = s.length("across")
    height: Amount | None = s.length("its thickness as laid")


@frozen(kw_only=True)
class OvenDry:
    """A piece dried in an oven until it loses no more."""

    wet_mass: Amount | None = s.mass("when it was taken")
    dry_mass: Amount | None = s.mass("after the oven, 105 to 110 degC")
    at: Moment | None = s.moment("when it was taken; at moulding where not written")


@frozen(kw_only=True)
class Marked:
    """A brick that is weighed and measured again and again, as moulded."""

    marks: Amount | None = s.length("between two scratched lines")
    mass: Amount | None = s.mass("as moulded")
    where: str | None = s.text("where it lies in the stack")


@frozen(kw_only=True)
class BatchLine(Line):
    """One observation on a batch."""

    brick: str | None = s.text("which marked brick")
    mass: Amount | None = s.mass("its mass now")
    marks: Amount | None = s.length("between its marks now")
    firing: str | None = s.name("firings", "the firing after which it was measured")
    covered: bool | None = s.flag("covered")
    turned: bool | None = s.flag("turned")
    cracked: int | None = s.count("bricks found cracked")
    sold: int | None = s.count("bricks sold")
    broken: int | None = s.count("bricks broken")
    air: Amount | None = s.amount("air_temperature", "of the air")
    humidity: Amount | None = s.percent("of the air, relative")
    wind: str | None = s.text("how it blows")
    rain: bool | None = s.flag("it rained on them")
    frost: bool | None = s.flag("it froze, or will")


@frozen(kw_only=True)
class Batch(Entry):
    """Bricks moulded together from one mix."""

    folder = "batches"
    line_type = BatchLine

    mix: str | None = s.name("mixes", "what they are made of", required=True)
    moulded: Moment | None = s.moment("when they were moulded", required=True)
    count: int | None = s.count("how many", required=True)
    mould: Size | None = s.table(Size, "the mould, inside")
    green: Size | None = s.table(Size, "the brick as moulded")
    target_moisture: Amount | None = s.percent("water when dry enough to fire, of the dry mass")
    oven_dry: OvenDry | None = s.table(OvenDry, "a piece dried in an oven")
    marked: Mapping[str, Marked] = s.rows(Marked, "marked bricks, one a line")
