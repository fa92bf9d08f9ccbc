"""Bending and crushing strength of one brick, by machine, by lever, by a weight at midspan."""

from __future__ import annotations

from typing import Any

from fieldbook.advice.context import Context
from fieldbook.advice.derive import Known, missing, reading, work
from fieldbook.advice.specimens import Brick
from fieldbook.calc import strength


def has_lever(brick: Brick, what: str) -> bool:
    """Whether a lever did this to it; one that does not say so bends."""
    lever = brick.specimen.lever
    return lever is not None and (lever.for_ or "bending") == what


def was_bent(brick: Brick) -> bool:
    """Whether somebody set out to break it across."""
    return brick.specimen.bending_load is not None or has_lever(brick, "bending")


def was_crushed(brick: Brick) -> bool:
    """Whether somebody set out to crush it."""
    return brick.specimen.crushing_load is not None or has_lever(brick, "crushing")


def rupture(brick: Brick, context: Context) -> Known:
    """Modulus of rupture of a brick as it lay."""
    _, breadth, depth = brick.sides
    span, offset = brick.take("span", "break_offset")
    known = {
        "load": _load(brick, "bending_load", "bending", context),
        "span": span,
        "width": brick[breadth],
        "depth": brick[depth],
    }
    if offset.there or "break_offset" in brick.wrong:
        known["break_offset"] = offset
    return work(strength.modulus_of_rupture, f"modulus of rupture of brick {brick.name}", **known)


def crushing(brick: Brick, context: Context) -> Known:
    """Compressive strength of a brick on the gross area under load."""
    load = _load(brick, "crushing_load", "crushing", context)
    words = f"compressive strength of brick {brick.name}"
    return work(strength.compressive_strength, words, load=load, area=_area(brick))


def _load(brick: Brick, field: str, what: str, context: Context) -> Known:
    """The force on it: as read, or by the lever that pressed it."""
    lever = brick.specimen.lever
    if brick[field].there or lever is None or not has_lever(brick, what):
        return brick[field]

    def arm(name: str, words: str) -> Known:
        named = f"{words}, brick {brick.name}"
        return reading(context, getattr(lever, name), named, f"lever.{name}")

    return work(
        strength.lever_force,
        f"force of the lever on brick {brick.name}",
        load=arm("load", "load on the lever"),
        load_at=arm("load_at", "arm of the load"),
        nose_at=arm("nose_at", "arm of the nose"),
        beam=arm("beam", "mass of the beam"),
        beam_at=arm("beam_at", "middle of the beam"),
    )


def _area(brick: Brick) -> Known:
    """The gross area under load; a half whose length under load is not written has none."""
    length, breadth, _ = brick.sides
    (along,) = brick.take("crushed_length")
    if not along.there:
        if "crushed_length" in brick.wrong:
            return missing()
        if brick.specimen.crushed == "half":
            return missing("crushed_length")
        along = brick[length]
    across = brick[breadth]
    if not (along.there and across.there):
        return missing(*along.needs, *across.needs)
    area = along.number * across.number
    return Known(f"area of brick {brick.name}", area, "m2", (*along.inputs, *across.inputs))


def on_net_area(brick: Brick, gross: Known) -> Known:
    """The same strength on the bed without its holes; nothing for a brick without any."""
    cores = brick["cores"]
    if not (cores.there and cores.value and gross.there):
        return missing("cores")
    area = _area(brick)
    net = area._replace(number=area.number - cores.to("m2"), inputs=(*area.inputs, *cores.inputs))
    formula = strength.net_area_strength
    return work(formula, strength=gross, gross_area=area, net_area=net)


def loaded_by(bricks: dict[str, Brick], field: str) -> dict[str, Any]:
    """Whether a load was read, or a lever pressed."""
    means = {"load" if getattr(b.specimen, field) else "lever" for b in bricks.values()}
    return {"loaded_by": "/".join(sorted(means))}


def crushed_as(bricks: dict[str, Brick]) -> dict[str, Any]:
    """What was crushed, wet or dry, and that the strength is on the gross area."""
    caps = sorted({b.specimen.cap for b in bricks.values() if b.specimen.cap})
    return {
        "crushed": "/".join(sorted({b.specimen.crushed or "whole" for b in bricks.values()})),
        "wet": any(b.specimen.crushed_wet for b in bricks.values()),
        "area": "gross",
        **({"cap": "/".join(caps)} if caps else {}),
    }


def lay(bricks: dict[str, Brick]) -> dict[str, Any]:
    """How the bricks lay, and whether the maker wrote so or it is taken for granted."""
    words = {brick.specimen.laid or "flat" for brick in bricks.values()}
    written = all(brick.specimen.laid for brick in bricks.values())
    return {"laid": "/".join(sorted(words)), "laid_given": "written" if written else "assumed"}
