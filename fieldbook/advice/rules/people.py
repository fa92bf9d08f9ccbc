"""Where someone can be hurt: each said at its step, once and plainly; local codes come first."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

from fieldbook.advice.actions import Action, Urgency
from fieldbook.advice.events import last
from fieldbook.advice.rules import Case, rule
from fieldbook.records import Batch, Build, Clay, Kiln, Mix, Test

CODES = "Local codes and licensed practice come first."
SILICA = "OSHA 29 CFR 1926.1153: respirable crystalline silica, 0.05 mg/m³ over 8 h"
PITS = "OSHA 29 CFR 1926 subpart P: a way out from 1.2 m, sloped or shored from 1.5 m"
WAY_OUT, SHORED = 1.2, 1.5
BEFORE_ITS_STEP = Urgency.BLOCKING
"""Of a danger that nobody stands in yet: it goes before its step, and after those that burn now."""


@rule(
    "mix-wet",
    on=Mix,
    urgency=Urgency.PEOPLE,
    source=SILICA,
    caution=f"Dust of dry clay and sand scars the lungs for good. {CODES}",
)
def mix_wet(case: Case) -> Iterator[Action]:
    """A mix is about to be crushed, sieved and blended for the first time."""
    mix = case.entry
    if mix.bars or any(batch.mix == mix.name for batch in case.context.notebook.of(Batch)):
        return
    if not any(part.temper or part.clay for part in mix.parts):
        return
    yield case.act(
        "damp-dust",
        "Damp clay, sand and grog before you crush, sieve or sweep them, and wear a dust mask.",
        "Dry clay and sand give off silica dust; 0.05 mg/m³ over 8 h is the most the rules allow.",
        numbers={"limit": [0.05, "mg/m3"], "shift": [8, "h"]},
        log=": mixed wet",
        urgency=BEFORE_ITS_STEP,
        settled_by="a trial bar or a batch of this mix",
    )


@rule(
    "cut-wet",
    on=Build,
    urgency=Urgency.PEOPLE,
    source=SILICA,
    caution=f"Cutting brick dry fills the air with silica in minutes. {CODES}",
)
def cut_wet(case: Case) -> Iterator[Action]:
    """A curved build, where bricks are cut, has bricks to lay and is not begun or not finished."""
    if case.entry.form not in ("arch", "dome", "cylinder") or not laying(case):
        return
    yield case.act(
        "cut-wet",
        "Cut bricks wet, out of doors, with a mask and goggles on; let the slurry dry nowhere.",
        f"A build of this form ({case.entry.form}) takes cut bricks; their dust is silica.",
        numbers={"limit": [0.05, "mg/m3"]},
        log=": cut wet",
        urgency=None if at_work(case) else BEFORE_ITS_STEP,
        settled_by="the build is finished",
    )


def at_work(case: Case) -> bool:
    """Whether bricks were laid within two days, so that someone may be cutting now."""
    newest = last(case.entry, "laid")
    return newest is not None and not case.is_past(newest.at + timedelta(days=2))


def laying(case: Case) -> bool:
    """Whether there are bricks to lay and some are still wanted."""
    needed, fit = case.number("bricks_needed"), case.number("bricks_fit")
    laid = sum(line.laid or 0 for line in case.entry.log)
    return bool(needed and laid < needed and (laid or fit))


@rule(
    "acid-on-clay",
    on=Clay,
    urgency=Urgency.PEOPLE,
    source="Method 19D1 after Kalra and Maynard 1991: 1 M hydrochloric acid",
    caution=f"Acid blinds. Pour acid into water, never water into acid. {CODES}",
)
def acid_on_clay(case: Case) -> Iterator[Action]:
    """The acid drop is the next test of this clay."""
    from fieldbook.advice.rules.clay import next_test

    if next_test(case) != "fizz":
        return
    yield case.act(
        "guard-eyes",
        "Wear goggles and gloves for the acid drop; take 15 ml of vinegar if in doubt.",
        "The drop of acid that shows lime splashes; vinegar of 5 % shows most of it too.",
        numbers={"vinegar": [15, "ml"], "strength": [5, "%"]},
        log=f"fieldbook set {case.address} fizz=…",
        settled_by="fizz",
        urgency=Urgency.TEACHING,  # as urgent as its test: nobody holds the acid yet
    )


@rule(
    "pit-sides",
    on=Clay,
    urgency=Urgency.PEOPLE,
    source=PITS,
    caution=f"A cubic metre of clay weighs as much as a car and gives no warning. {CODES}",
)
def pit_sides(case: Case) -> Iterator[Action]:
    """Clay is dug from deep enough that the side of the pit can bury someone."""
    depth = case.entry.depth
    if depth is None or depth.is_bound or depth.value < WAY_OUT:
        return
    if depth.value < SHORED:
        do = f"Keep a ladder within {case.say.length(7.6)} of anyone in the pit, and heap no clay "
        do += f"within {case.say.length(0.6)} of its edge."
    else:
        do = f"Slope or shore the pit sides, keep a ladder within {case.say.length(7.6)}, and dig "
        do += "with two people."
    yield case.act(
        "guard-pit",
        do,
        f"It is {case.say.length(depth.value)} deep; from {case.say.length(WAY_OUT)} a way out, "
        f"from {case.say.length(SHORED)} slopes or shores are asked for.",
        numbers={"depth": [depth.value, "m"], "way_out": [WAY_OUT, "m"], "shored": [SHORED, "m"]},
        log=": pit sloped",
        settled_by="a smaller depth",
        reason="deep pit" if depth.value < SHORED else "very deep pit",
    )


@rule(
    "no-concrete",
    on=Kiln,
    urgency=Urgency.PEOPLE,
    source="spalling of heated concrete: van der Merwe, J. SAICE 65(2), 2023",
    caution=f"Concrete and damp stone burst like a shell when heated. {CODES}",
    topic="base",
)
def no_concrete(case: Case) -> Iterator[Action]:
    """The kiln stands on concrete, or on stone."""
    base = case.entry.base
    if base not in ("concrete", "stone"):
        return
    yield case.act(
        "change-base",
        f"Build the kiln on fired brick or {case.say.length(0.1)} of dry sand, never on {base}.",
        f"It stands on {base}; water shut in it turns to steam and throws pieces.",
        numbers={"sand": [0.1, "m"]},
        log=f"fieldbook set {case.address} base=…",
        settled_by="another base",
        reason=f"base of {base}",
    )


@rule(
    "lever-drops",
    on=Test,
    urgency=Urgency.PEOPLE,
    source="a loaded lever falls when the brick breaks; common practice",
    caution=f"Feet, knees and heads stay from under beam and bucket. {CODES}",
    topic="lever",
)
def lever_drops(case: Case) -> Iterator[Action]:
    """Bricks are about to be bent or crushed with a lever."""
    from fieldbook.advice.rules.tests import next_step

    if next_step(case) != "break":
        return
    yield case.act(
        "guard-lever",
        f"Block the lever {case.say.length(0.05)} above its rest; load from the side, goggles on.",
        "When the brick breaks, beam and bucket drop at once and splinters fly.",
        numbers={"gap": [0.05, "m"]},
        log="#1 bending … kg",
        urgency=BEFORE_ITS_STEP,
        settled_by="the breaking load is noted",
    )


@rule(
    "boiling-water",
    on=Test,
    urgency=Urgency.PEOPLE,
    source="common practice",
    caution="Let the pot cool before you lift bricks out; the standard cools them in it.",
    topic="boil-caution",
)
def boiling_water(case: Case) -> Iterator[Action]:
    """Bricks are about to be boiled, or are boiling."""
    from fieldbook.advice.rules.tests import next_step

    boiling = last(case.entry, "boil", "began") and not last(case.entry, "boil", "ended")
    if not boiling and next_step(case) != "boil":
        return
    yield case.act(
        "guard-pot",
        "Set the pot low and steady, keep children away, and lift no brick before it has cooled.",
        "Boiling water and hot bricks scald; a pot of 5 bricks weighs over 20 kg.",
        numbers={"pot": [20, "kg"], "bricks": [5, "bricks"]},
        log="boil ended",
        urgency=None if boiling else BEFORE_ITS_STEP,
        settled_by="boiled_mass",
    )


@rule(
    "dry-before-metal",
    on=Build,
    urgency=Urgency.PEOPLE,
    source="steam explosions of molten metal on moist brick: forensic engineering review, 2024",
    caution=f"Molten metal on a damp lining, tool or floor explodes. {CODES}",
    topic="metal",
)
def dry_before_metal(case: Case) -> Iterator[Action]:
    """Molten metal is meant to be near the build."""
    if not case.entry.molten_metal:
        return
    yield case.act(
        "refuse-metal",
        "Keep molten metal off these bricks; line with bought firebrick, cured and heated dry.",
        "Common brick is no refractory and holds water; a drop of it under metal is an explosion.",
        log=f"fieldbook set {case.address} molten_metal=false",
        settled_by="molten_metal = false",
    )
