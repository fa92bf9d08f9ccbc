"""A clay source: the cheap test that decides most, lime, too fat, too lean, salts, topsoil."""

from __future__ import annotations

from collections.abc import Iterator

from fieldbook.advice.actions import Action, Urgency
from fieldbook.advice.rules import Case, rule
from fieldbook.advice.wording import percent
from fieldbook.records import Clay, Mix, Notebook

FAO = "FAO, Farm Structures in Tropical Climates, ch. 3: a 10 mm coil breaks off at 50 to 150 mm"
ASSESS = "Practical Action, Assessing the Technical Problems of Brick Production"
LIME = "Lime Bursting in Bricks, CBRI Building Digest: harmless below 2 mm when fired at 900 °C"
EXTRACTION = "Village-Level Brickmaking, GATE/GTZ 1989, Extraction: strip 300 to 500 mm"
LUMP = 0.002
"""m: lime lumps below this do no harm when fired at 900 °C or more."""
SHORT_COIL, LONG_COIL = 0.050, 0.150
LIMY = ("bubbles", "low foam", "thick foam")

TESTS = ("coil", "fizz", "jar", "bars")
"""In the order of what they cost: a minute, two minutes, a day, two weeks."""


def next_test(case: Case) -> str | None:
    """The cheapest test not made that still decides something; None when enough is known."""
    clay = case.entry
    done = {
        "coil": clay.coil or clay.ribbon or clay.thread,
        "fizz": clay.fizz,
        "jar": clay.jar or in_bars(case),
        "bars": any(bar.wet and bar.dry for bar in clay.bars.values()) or in_bars(case),
    }
    return next((test for test in TESTS if not done[test]), None)


def mixes_of(case: Case) -> list[Mix]:
    """The mixes that hold this clay."""
    name = case.entry.name
    return [m for m in case.context.notebook.of(Mix) if any(p.clay == name for p in m.parts)]


def in_bars(case: Case) -> bool:
    """Whether trial bars of a mix with this clay were dried: they tell as much."""
    return any(bar.dry for mix in mixes_of(case) for bar in mix.bars.values())


@rule(
    "first-clay",
    on=Notebook,
    urgency=Urgency.BLOCKING,
    source="clays are found by digging; common practice",
    topic="first",
)
def first_clay(case: Case) -> Iterator[Action]:
    """The notebook holds no clay yet."""
    if any(True for _ in case.context.notebook.of(Clay)):
        return
    yield case.act(
        "dig",
        f"Dig a bucket of clay from below {case.say.length(0.5)}, and note where it is from.",
        "Nothing can be said of bricks before there is a clay to look at.",
        numbers={"depth": [0.5, "m"]},
        log='fieldbook add clay … depth="… m"',
        settled_by="a clay in the notebook",
    )


@rule("roll-a-coil", on=Clay, urgency=Urgency.TEACHING, source=FAO, topic="test")
def roll_a_coil(case: Case) -> Iterator[Action]:
    """Nothing is known yet of how fat the clay is: the cheapest test that tells it."""
    if next_test(case) != "coil":
        return
    thick = case.say.length(0.010)
    yield case.act(
        "roll-coil",
        f"Roll a coil {thick} thick, hang it from one end, and measure what breaks off.",
        f"{case.say.length(SHORT_COIL)} to {case.say.length(LONG_COIL)} is brick soil; shorter is "
        "too sandy and longer too fat.",
        numbers={"thick": [0.010, "m"], "least": [SHORT_COIL, "m"], "most": [LONG_COIL, "m"]},
        log=f'fieldbook set {case.address} coil="… mm"',
        rests_on=("suitability",),
        settled_by="coil, ribbon or thread",
    )


@rule(
    "drop-of-acid",
    on=Clay,
    urgency=Urgency.TEACHING,
    source="Method 19D1 after Kalra and Maynard 1991",
    caution="Acid blinds: goggles and gloves, and vinegar if in doubt.",
    topic="test",
)
def drop_of_acid(case: Case) -> Iterator[Action]:
    """Lime is not tested yet."""
    if next_test(case) != "fizz":
        return
    yield case.act(
        "test-lime",
        "Put 2 drops of acid, or 15 ml of vinegar, on damp clay and on its lumps; wait 2 min.",
        "Lime lumps burst bricks weeks after the fire; 2 drops show them now.",
        numbers={"drops": [2, "drops"], "vinegar": [15, "ml"], "wait": [2, "min"]},
        log=f'fieldbook set {case.address} fizz="…" lime_lump="… mm"',
        rests_on=("carbonate",),
        settled_by="fizz",
    )


@rule(
    "shake-a-jar",
    on=Clay,
    urgency=Urgency.TEACHING,
    source="Montana State University 2021: mark sand at 1 min, silt at 6 h; Stokes' law, 20 °C",
    topic="test",
)
def shake_a_jar(case: Case) -> Iterator[Action]:
    """How much sand, silt and clay it holds is not measured."""
    if next_test(case) != "jar":
        return
    yield case.act(
        "shake-jar",
        "Shake a third of a jar of clay in water; mark the layers at 1 min, 6 h and 24 h.",
        "The layers tell how much sand to add; at 6 h all but the finest 2.3 µm has settled.",
        numbers={"sand": [1, "min"], "silt": [6, "h"], "clay": [24, "h"]},
        log=f'fieldbook set {case.address} jar.sand="… mm" jar.silt="… mm" jar.clay="… mm"',
        rests_on=("sand_fraction", "clay_fraction"),
        settled_by="jar",
    )


@rule(
    "mould-bars",
    on=Clay,
    urgency=Urgency.TEACHING,
    source="ASTM C326 bars; five of them: common practice",
    topic="test",
)
def mould_bars(case: Case) -> Iterator[Action]:
    """No bar of the clay was dried, so its shrinkage is unknown."""
    if next_test(case) != "bars":
        return
    wet = [name for name, bar in case.entry.bars.items() if bar.wet and not bar.dry]
    if wet:
        yield case.act(
            "measure-bars",
            f"Measure the marks on bar {wet[0]} when it is dry, and weigh it.",
            f"{len(wet)} bars are moulded and none is measured dry.",
            numbers={"bars": [len(wet), "bars"]},
            log=f"fieldbook set {case.address} bars.{wet[0]}.dry=…",
            rests_on=("linear_drying_shrinkage",),
            settled_by="a dry length",
            reason="bars not measured dry",
        )
        return
    marks = case.say.length(0.100)
    yield case.act(
        "mould-bars",
        f"Mould 5 bars, scratch two lines {marks} apart on each, weigh them, and dry them slowly.",
        "Shrinkage decides mould size, sand and cracks; a bar measures it.",
        numbers={"bars": [5, "bars"], "marks": [0.100, "m"]},
        log=f'fieldbook set {case.address} bars.1=\'{{ wet = "… mm", wet_mass = "… g" }}\'',
        rests_on=("linear_drying_shrinkage",),
        settled_by="a bar with its wet and dry length",
    )


@rule("find-lime-lumps", on=Clay, urgency=Urgency.BLOCKING, source=LIME, topic="lime")
def find_lime_lumps(case: Case) -> Iterator[Action]:
    """The clay fizzes and the size of its largest lime lump is not noted."""
    if case.entry.fizz not in LIMY or case.entry.lime_lump is not None:
        return
    limit = case.say.length(LUMP)
    yield case.act(
        "find-lumps",
        f"Wash a handful through a {limit} sieve, drop acid on what stays, measure the largest.",
        f"It fizzes ({case.entry.fizz}); only lumps above {limit} burst a brick, so their size "
        "decides.",
        numbers={"sieve": [LUMP, "m"]},
        log=f'fieldbook set {case.address} lime_lump="… mm"',
        rests_on=("carbonate",),
        settled_by="lime_lump",
    )


@rule("sieve-lime", on=Clay, urgency=Urgency.BLOCKING, source=f"{LIME}; {ASSESS}", topic="lime")
def sieve_lime(case: Case) -> Iterator[Action]:
    """Lime lumps are larger than 2 mm, and no mix of this clay was fired yet."""
    lump = case.entry.lime_lump
    if lump is None or lump.value <= LUMP or fired(case):
        return
    limit, heat = case.say.length(LUMP), case.say.temperature(900)
    big = case.say.length(lump.value)
    do = f"Sieve or crush this clay below {limit}, and fire its bricks at {heat} or more."
    if lump.value > 0.010:
        do = f"Dig elsewhere, or sieve all of this clay below {limit} before you use it."
    yield case.act(
        "sieve-lime",
        do,
        f"Its largest lime lump is {big}; above {limit} they swell and pop weeks after the fire.",
        numbers={"lime_lump": [lump.value, "m"], "limit": [LUMP, "m"], "fire_at": [900, "degC"]},
        log=f'fieldbook set {case.address} lime_lump="< 2 mm"',
        rests_on=("carbonate",),
        settled_by="a smaller lime_lump",
    )


def fired(case: Case) -> bool:
    """Whether a bar of this clay, or of a mix with it, was fired."""
    bars = [*case.entry.bars.values(), *(b for m in mixes_of(case) for b in m.bars.values())]
    return any(bar.fired or bar.fired_mass or bar.went for bar in bars)


def leaning(case: Case) -> tuple[str, str] | None:
    """`fat` or `lean` with the measure that says so; None where it fits or is not known."""
    shrinkage, coil = case.number("linear_drying_shrinkage"), case.entry.coil
    if shrinkage is not None:
        if shrinkage > 7:
            return (
                "fat",
                f"it shrinks {percent(shrinkage)} in drying where {percent(7)} is the most",
            )
        return None
    if coil and not coil.is_bound and coil.value > LONG_COIL:
        return "fat", f"its coil hangs {case.say.length(coil.value)} before it breaks"
    if coil and not coil.is_bound and coil.value < SHORT_COIL:
        return "lean", f"its coil breaks off at {case.say.length(coil.value)}"
    return None


@rule("add-sand", on=Clay, urgency=Urgency.BLOCKING, source=f"{ASSESS}; {FAO}", topic="body")
def add_sand(case: Case) -> Iterator[Action]:
    """The clay is too fat and no mix with temper was made of it: how much sand."""
    found = leaning(case)
    if not found or found[0] != "fat" or any(p.temper for m in mixes_of(case) for p in m.parts):
        return
    sand, name = case.number("temper_for"), case.entry.name
    if sand:
        do = f"Mix {case.say.mass(sand)} of dry sand into each {case.say.mass(100)} of dry clay, "
        do += "and try bars of it."
        numbers = {"sand": [sand, "kg"], "clay": [100, "kg"]}
        parts = blend(name, sand)
    else:
        do = "Mix 1 part of dry sand into 4 of clay, and try bars of it: they tell how much more."
        numbers = {"sand": [25, "kg"], "clay": [100, "kg"]}
        parts = blend(name, 25)
    yield case.act(
        "add-sand",
        do,
        f"This clay is too fat: {found[1]}.",
        numbers=numbers,
        log=f"fieldbook add mix … parts='[{parts}]'",
        rests_on=("temper_for", "linear_drying_shrinkage"),
        settled_by="a mix of this clay with temper",
    )


def blend(clay: str, sand: float) -> str:
    """The parts of a mix, as they are typed: so much sand to 100 of clay."""
    return f'{{ clay = "{clay}", mass = "100 kg" }}, {{ temper = "sand", mass = "{sand:.0f} kg" }}'


@rule("add-fat-clay", on=Clay, urgency=Urgency.BLOCKING, source=f"{ASSESS}; {FAO}", topic="body")
def add_fat_clay(case: Case) -> Iterator[Action]:
    """The clay is too lean to hold together, and no mix blends it with another clay."""
    found = leaning(case)
    if not found or found[0] != "lean":
        return
    if any(sum(1 for part in mix.parts if part.clay) > 1 for mix in mixes_of(case)):
        return
    yield case.act(
        "add-clay",
        "Look for a fatter clay and blend it with this one 1:1; make 5 bars of the blend.",
        f"This clay is too lean: {found[1]}.",
        numbers={"parts": [1, "part each"], "bars": [5, "bars"]},
        log=f'fieldbook add mix … parts=\'[{{ clay = "{case.entry.name}", volume = "…" }}, …]\'',
        rests_on=("suitability",),
        settled_by="a mix of this clay with another",
    )


@rule("avoid-salts", on=Clay, urgency=Urgency.TEACHING, source=ASSESS, topic="salts")
def avoid_salts(case: Case) -> Iterator[Action]:
    """White bloom was seen on the clay."""
    salts = (case.entry.salts or "").strip().lower()
    if not salts or salts in ("none", "no", "nil") or fired(case):
        return
    deep = case.say.length(0.3)
    yield case.act(
        "dig-deeper",
        f"Throw away the top {deep}, dig below it, and temper with clean fresh water.",
        "Salts gather near the ground and bloom white on the wall later.",
        numbers={"top": [0.3, "m"]},
        log=f'fieldbook set {case.address} salts="none"',
        settled_by="salts none",
    )


@rule("strip-topsoil", on=Clay, urgency=Urgency.BLOCKING, source=EXTRACTION, topic="topsoil")
def strip_topsoil(case: Case) -> Iterator[Action]:
    """The clay was dug from the topsoil."""
    depth = case.entry.depth
    if depth is None or depth.is_bound or depth.value >= 0.3 or fired(case):
        return
    yield case.act(
        "strip",
        f"Strip {case.say.length(0.3)} to {case.say.length(0.5)} of topsoil, and dig below it.",
        f"This clay is from {case.say.length(depth.value)}; roots and humus leave holes and soot.",
        numbers={"depth": [depth.value, "m"], "least": [0.3, "m"], "most": [0.5, "m"]},
        log=f'fieldbook set {case.address} depth="… m"',
        settled_by="a greater depth",
    )


@rule(
    "first-mix",
    on=Clay,
    urgency=Urgency.BLOCKING,
    source="25 to 30 % sand in soft-mud brick; about 1 sand to 3 or 4 clay: Tappan 1916",
    topic="next-step",
)
def first_mix(case: Case) -> Iterator[Action]:
    """The cheap tests are made, the clay is neither fat nor lean, and no mix holds it."""
    if mixes_of(case) or leaning(case) or next_test(case) in ("coil", "fizz"):
        return
    yield case.act(
        "make-mix",
        "Make a first mix of this clay, as dug or with 1 part sand to 4, and mould trial bars.",
        "What was tested speaks for it; only bars and bricks decide.",
        numbers={"sand": [1, "part"], "clay": [4, "parts"]},
        log=f'fieldbook add mix … parts=\'[{{ clay = "{case.entry.name}", volume = "…" }}]\'',
        settled_by="a mix of this clay",
    )
