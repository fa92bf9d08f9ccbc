"""A set of bricks tested together."""

from __future__ import annotations

from collections.abc import Mapping

from fieldbook.frozen import frozen
from fieldbook.quantities import Amount
from fieldbook.records import schema as s
from fieldbook.records.common import Entry, Line


@frozen(kw_only=True)
class Lever:
    """A hinged beam with a weight at its end that loads a brick."""

    load: Amount | None = s.mass("what hangs on it when the brick breaks")
    load_at: Amount | None = s.length("from the hinge to the load")
    beam: Amount | None = s.mass("the beam itself")
    beam_at: Amount | None = s.length("from the hinge to the middle of its mass")
    nose_at: Amount | None = s.length("from the hinge to where it presses")
    for_: str | None = s.words("what it does", "bending", "crushing")


@frozen(kw_only=True)
class Specimen:
    """One brick of a test."""

    dry_mass: Amount | None = s.mass("oven dry")
    soaked_mass: Amount | None = s.mass("after the cold soak")
    boiled_mass: Amount | None = s.mass("after the boil")
    minute_mass: Amount | None = s.mass("after one minute in 3 mm of water")
    suspended_mass: Amount | None = s.mass("hanging in water, when saturated")
    suspended_after: str | None = s.words("saturated by what", "soak", "boil")
    length: Amount | None = s.length("the longest side")
    width: Amount | None = s.length("across")
    height: Amount | None = s.length("its thickness as laid")
    laid: str | None = s.words("how it was loaded", "flat", "on edge")
    cores: Amount | None = s.amount("area", "of the holes through its bed")
    span: Amount | None = s.length("between the supports")
    bending_load: Amount | None = s.amount("force", "at midspan, when it broke")
    break_offset: Amount | None = s.length("from midspan to the break")
    crushing_load: Amount | None = s.amount("force", "when it crushed")
    crushed: str | None = s.words("what was crushed", "whole", "half")
    crushed_length: Amount | None = s.length("the length under load")
    crushed_wet: bool | None = s.flag("crushed wet")
    cap: str | None = s.text("what was laid between brick and plates")
    lever: Lever | None = s.table(Lever, "the lever and what hung on it")
    ring: str | None = s.words("struck with another", "clear", "dull")
    scratch: str | None = s.words("with a nail", "none", "light", "deep")
    core: str | None = s.words("the inside of the break", "even", "grey", "black")
    efflorescence: str | None = s.words(
        "white bloom after the wick test", "nil", "slight", "moderate", "heavy", "serious"
    )
    lime_pops: int | None = s.count("lime pops")
    freeze_cycles: int | None = s.count("freezings and thawings")
    freeze_loss: Amount | None = s.percent("of the dry mass, after them")


@frozen(kw_only=True)
class TestLine(Line):
    """When a soak or a boil began and ended."""

    __test__ = False

    soak: str | None = s.words("the cold soak", "began", "ended")
    boil: str | None = s.words("the boil", "began", "ended")


@frozen(kw_only=True)
class Test(Entry):
    """A set of bricks tested together."""

    __test__ = False
    folder = "tests"
    line_type = TestLine

    batch: str | None = s.name("batches", "the batch they are from", required=True)
    firing: str | None = s.name("firings", "the firing they came out of")
    standard: str | None = s.text("the standard they are graded by", shape="standard")
    soaked_for: Amount | None = s.time_span("the cold soak; 24 h where not written")
    boiled_for: Amount | None = s.time_span("the boil; 5 h where not written")
    true_density: Amount | None = s.amount("density", "of the powdered brick, without pores")
    specimens: Mapping[str, Specimen] = s.rows(Specimen, "bricks, one a line")
