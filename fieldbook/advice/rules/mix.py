"""A mix: trial bars and what to measure on them, mould size, proving it, moulding bricks of it."""

from __future__ import annotations

from collections.abc import Iterator

from fieldbook.advice.actions import Action, Urgency
from fieldbook.advice.fire import NOTHING_KNOWN
from fieldbook.advice.moulding import (
    batches_of,
    proven,
    short_builds,
    to_mould,
    untested_left,
    waiting,
)
from fieldbook.advice.peak_limit import SOFTENS
from fieldbook.advice.rules import Case, rule
from fieldbook.advice.wording import bricks, listed, percent
from fieldbook.records import Bar, Batch, Build, Kiln, Mix, Notebook

VILLAGE = "Village-Level Brickmaking, GATE/GTZ 1989, Appendices: mould and fire 50, measure ten"
ASSESS = "Practical Action, Assessing the Technical Problems of Brick Production"
FAO = "FAO, Farm Structures in Tropical Climates, ch. 3: dry shrinkage below 7 %"
GEOMETRY = "count by geometry, with the losses of the maker's own record"
C326 = "ASTM C326: lines scribed on the wet bar, measured dry and fired"
HOTTEST_TRIAL = 1000.0
"""degC: no trial bar of a common clay is fired hotter; common practice."""
PROOF = 50
"""bricks that prove a mix: Village-Level Brickmaking, GATE/GTZ 1989."""
BARS = 5
"""bars of one mix that tell its shrinkage; common practice."""


def bars_that(case: Case, *, have: tuple[str, ...], lack: str) -> dict[str, Bar]:
    """The trial bars with some fields noted and one not."""
    found = {}
    for name, bar in case.entry.bars.items():
        if all(getattr(bar, field) for field in have) and not getattr(bar, lack):
            found[name] = bar
    return found


def named(bars: dict[str, Bar]) -> str:
    """`bar 3`, `bars 1 and 2`, `7 bars`."""
    names = list(bars)
    if len(names) > 3:
        return f"{len(names)} bars"
    return f"bar{'' if len(names) == 1 else 's'} {listed(names)}"


@rule("mould-trial-bars", on=Mix, urgency=Urgency.BLOCKING, source=C326, topic="bars")
def mould_trial_bars(case: Case) -> Iterator[Action]:
    """The mix has no trial bar and no batch, so nothing is known of it."""
    if case.entry.bars or batches_of(case):
        return
    marks = case.say.length(0.100)
    yield case.act(
        "mould-bars",
        f"Mould {BARS} bars of it, scratch two lines {marks} apart on each, and weigh them wet.",
        "Without a bar its shrinkage, its fire and its strength are unknown.",
        numbers={"bars": [BARS, "bars"], "marks": [0.100, "m"]},
        log=f'fieldbook set {case.address} bars.1=\'{{ wet = "… mm", wet_mass = "… g" }}\'',
        rests_on=("linear_drying_shrinkage",),
        settled_by="a trial bar",
    )


@rule("measure-dry-bars", on=Mix, urgency=Urgency.BLOCKING, source=C326, topic="bars")
def measure_dry_bars(case: Case) -> Iterator[Action]:
    """Bars were measured wet and not dry."""
    bars = bars_that(case, have=("wet",), lack="dry")
    if not bars or all(bar.fired for bar in bars.values()):
        return
    first = next(iter(bars))
    yield case.act(
        "measure-bars",
        f"Dry {named(bars)} in the shade, then measure between the marks and weigh to 1 g.",
        "Drying shrinkage above 7 % cracks bricks, and the mould is sized by it.",
        numbers={"bars": [len(bars), "bars"], "limit": [7, "%"], "to": [1, "g"]},
        log=f'fieldbook set {case.address} bars.{first}.dry="… mm" bars.{first}.dry_mass="… g"',
        rests_on=("linear_drying_shrinkage", "water_of_plasticity"),
        settled_by="a dry length of each bar",
    )


@rule(
    "fire-bars",
    on=Mix,
    urgency=Urgency.BLOCKING,
    source="a line of temperatures shows where it hardens and where it bends, from 50 K below the "
    f"limit of the mix down: common practice; where nothing is known, {SOFTENS}",
    topic="bars",
)
def fire_bars(case: Case) -> Iterator[Action]:
    """Bars are dry and none was fired."""
    bars = bars_that(case, have=("dry",), lack="fired")
    unfired = {n: b for n, b in bars.items() if not (b.went or b.fired_mass)}
    if not unfired or any(b.fired or b.fired_mass or b.went for b in case.entry.bars.values()):
        return
    if too_fat(case) or outdone(case):
        return  # a body that cracks in drying is not worth the wood
    if not any(True for _ in case.context.notebook.of(Kiln)):
        return  # the kiln comes first
    stands = case.number("peak_limit") or NOTHING_KNOWN
    limit = min(HOTTEST_TRIAL, stands - 50)
    steps = [limit - 100, limit - 50, limit] if len(unfired) > 2 else [limit - 50]
    heats = listed([case.say.temperature(step) for step in steps])
    first = next(iter(unfired))
    yield case.act(
        "fire-bars",
        f"Fire {named(unfired)} at {heats} for 1 h{' each' if len(unfired) > 1 else ''}; note how "
        f"{'each' if len(unfired) > 1 else 'it'} went.",
        f"It shows where this mix is hard and where it bends; {case.say.temperature(stands)} is "
        "the most it is taken to stand.",
        numbers={
            "bars": [len(unfired), "bars"],
            "coolest": [steps[0], "degC"],
            "hottest": [steps[-1], "degC"],
            "step": [50, "K"],
            "hold": [1, "h"],
            "peak_limit": [stands, "degC"],
        },
        log=f'fieldbook set {case.address} bars.{first}.fired="… mm" '
        f'bars.{first}.fired_mass="… g" bars.{first}.fired_at="… C" bars.{first}.went="…"',
        rests_on=("peak_limit", "linear_firing_shrinkage"),
        settled_by="a fired bar",
    )


@rule(
    "soak-bars",
    on=Mix,
    urgency=Urgency.TEACHING,
    source="ASTM C67 soak; absorption against heat tells the peak to fire at",
    topic="bars",
)
def soak_bars(case: Case) -> Iterator[Action]:
    """Fired bars were weighed and not soaked."""
    bars = bars_that(case, have=("fired_mass",), lack="soaked_mass")
    sound = {n: b for n, b in bars.items() if b.went in (None, "sound")}
    if not sound:
        return
    first = next(iter(sound))
    yield case.act(
        "soak-bars",
        f"Soak {named(sound)} 24 h in cold water, wipe once, and weigh each to 1 g.",
        "Absorption against the heat of each bar tells how hot this mix must be fired.",
        numbers={"bars": [len(sound), "bars"], "soak": [24, "h"], "to": [1, "g"]},
        log=f'fieldbook set {case.address} bars.{first}.soaked_mass="… g"',
        rests_on=("cold_absorption",),
        settled_by="soaked_mass of each bar",
    )


@rule("temper-more", on=Mix, urgency=Urgency.BLOCKING, source=f"{FAO}; {ASSESS}", topic="body")
def temper_more(case: Case) -> Iterator[Action]:
    """The bars of the mix shrink more than 7 % in drying, and neither a batch nor a mix of the
    same clay with more temper is made yet."""
    shrinkage = case.result("linear_drying_shrinkage")
    if shrinkage is None or batches_of(case) or outdone(case):
        return
    wide = shrinkage.plus_minus or 0.0
    if shrinkage.number - wide <= 7:
        return
    sand = case.number("temper_for")
    amount = case.say.mass(sand) if sand else ""
    do = (
        f"Add {amount} of dry sand to each {case.say.mass(100)} of dry mix, as a new mix with bars."
        if sand
        else "Make two new mixes with 1 part sand to 4 and to 3, and bars of each."
    )
    yield case.act(
        "temper-more",
        do,
        f"Its bars shrink {percent(shrinkage.number)} in drying; above {percent(7)} bricks crack.",
        numbers={
            "shrinkage": [shrinkage.number, "%"],
            "limit": [7, "%"],
            **({"sand": [sand, "kg"]} if sand else {}),
        },
        log=f"fieldbook add mix … parts='[{with_sand(case.entry, sand or 25.0)}]'",
        rests_on=("linear_drying_shrinkage", "temper_for"),
        settled_by="bars that shrink less, or a batch",
    )


def temper_share(mix: Mix) -> float:
    """Temper in the parts as measured, 0 to 1."""
    amounts = [(part, part.mass or part.volume) for part in mix.parts]
    known = [(part, amount.value) for part, amount in amounts if amount and not amount.is_bound]
    whole = sum(value for _, value in known)
    return sum(value for part, value in known if part.temper) / whole if whole else 0.0


def outdone(case: Case) -> bool:
    """Whether a mix of the same clay with more temper was made, so that this one is past."""
    clays = {part.clay for part in case.entry.parts if part.clay}
    own = temper_share(case.entry)
    return any(
        temper_share(other) > own + 0.01
        for other in case.context.notebook.of(Mix)
        if other.name != case.entry.name and clays & {part.clay for part in other.parts}
    )


def with_sand(mix: Mix, sand: float) -> str:
    """The parts of a mix and so much sand for each hundred of them, as they are typed."""
    by_mass = all(part.mass for part in mix.parts)
    amounts = [part.mass or part.volume for part in mix.parts]
    values = [amount.value for amount in amounts if amount and not amount.is_bound]
    if len(values) < len(mix.parts) or not sum(values):
        return "…"
    kind, unit = ("mass", "kg") if by_mass else ("volume", "l")
    rows = [
        f'{{ clay = "{part.clay}", {kind} = "{100 * value / sum(values):.0f} {unit}" }}'
        if part.clay
        else f'{{ temper = "{part.temper}", {kind} = "{100 * value / sum(values):.0f} {unit}" }}'
        for part, value in zip(mix.parts, values, strict=True)
    ]
    return ", ".join([*rows, f'{{ temper = "sand", {kind} = "{sand:.0f} {unit}" }}'])


@rule("first-build", on=Notebook, urgency=Urgency.TEACHING, source=GEOMETRY, topic="first-build")
def first_build(case: Case) -> Iterator[Action]:
    """Bars are fired or bricks moulded, and nothing says what they are for; before the mould is
    made it blocks."""
    notebook = case.context.notebook
    moulded = any(True for _ in notebook.of(Batch))
    fired = [m.name for m in notebook.of(Mix) if any(b.fired or b.went for b in m.bars.values())]
    if any(True for _ in notebook.of(Build)) or not (moulded or fired):
        return
    mix = fired[-1] if len(fired) == 1 else "…"
    yield case.act(
        "name-build",
        "Write what the bricks are for, with its size, so that count and grade can be told.",
        "Without a use there is no telling how many bricks are enough, how large, nor how good.",
        log=f"fieldbook add build … form=… length=… height=… exposure=… mix={mix} "
        "brick.length=… brick.width=… brick.height=…",
        settled_by="a build in the notebook",
        urgency=Urgency.TEACHING if moulded else Urgency.BLOCKING,
    )


@rule("size-the-mould", on=Mix, urgency=Urgency.BLOCKING, source=VILLAGE, topic="mould")
def size_the_mould(case: Case) -> Iterator[Action]:
    """A build wants bricks of this mix, its shrinkage is known and nothing is moulded yet."""
    size = case.result("mould_size")
    if size is None or batches_of(case) or not isinstance(size.value, list):
        return
    sides = [row["value"] / 1000 for row in size.value]
    inside = " by ".join(case.say.length(side) for side in sides)
    factor = size.extra.get("factor")
    yield case.act(
        "make-mould",
        f"Make the mould {inside} inside.",
        f"The brick shrinks from it, by a factor of {factor:.3f}, to the size the build wants."
        if isinstance(factor, int | float)
        else "The brick shrinks from it to the size the build wants.",
        numbers={row["name"]: [row["value"], "mm"] for row in size.value},
        log="fieldbook add batch … mould.length=… mould.width=… mould.height=…",
        rests_on=("mould_size", "total_linear_shrinkage"),
        settled_by="a batch of this mix",
    )


@rule("prove-with-fifty", on=Mix, urgency=Urgency.BLOCKING, source=VILLAGE, topic="next-step")
def prove_with_fifty(case: Case) -> Iterator[Action]:
    """The bars of the mix are fired and no brick of it is moulded yet: fifty first."""
    fired = [b for b in case.entry.bars.values() if b.fired or b.fired_mass]
    if not fired or batches_of(case) or too_fat(case):
        return
    yield case.act(
        "mould-fifty",
        "Mould 50 bricks of this mix, mark and weigh 3 of them, and fire them in a small kiln.",
        f"{len(fired)} bar{' is' if len(fired) == 1 else 's are'} fired; bars only screen, and "
        "bricks decide.",
        numbers={"bricks": [50, "bricks"], "marked": [3, "bricks"]},
        log=batch_line(case, 50),
        settled_by="a batch of this mix",
    )


def batch_line(case: Case, count: int) -> str:
    """The line that notes a batch, with the mould it comes from."""
    size = case.result("mould_size")
    sides = {"length": '"… mm"', "width": '"… mm"', "height": '"… mm"'}
    if size is not None and isinstance(size.value, list):
        sides.update({row["name"]: f'"{row["value"]:.0f} mm"' for row in size.value})
    inside = " ".join(f"mould.{side}={text}" for side, text in sides.items())
    return f'fieldbook add batch … mix="{case.entry.name}" moulded=… count={count} {inside}'


def too_fat(case: Case) -> bool:
    """Whether the bars surely shrink more than 7 % in drying."""
    shrinkage = case.result("linear_drying_shrinkage")
    return shrinkage is not None and shrinkage.number - (shrinkage.plus_minus or 0.0) > 7


@rule("mould-more", on=Mix, urgency=Urgency.BLOCKING, source=VILLAGE, topic="next-step")
def mould_more(case: Case) -> Iterator[Action]:
    """Bricks of this mix were fired and judged, and a build meant for it still lacks some."""
    wanted = short_builds(case)
    if not wanted or not batches_of(case) or waiting(case):
        return
    build, count = wanted[0]
    if untested_left(case, build):
        return  # what came out is tested first: more of the same may be as bad
    made, fewest = to_mould(case, build, count)
    why = f"It lacks {bricks(count)}, and none of this mix is drying or waiting for the fire."
    if fewest:
        why = f"It lacks {bricks(count)}; the last load is worth its wood with {bricks(fewest)}."
    if not proven(case, build):
        made = PROOF
        why = f"None of this mix came out fit yet: {bricks(PROOF)} prove what is changed, no more."
    yield case.act(
        "mould",
        f"Mould {bricks(made)} of this mix for {build.title or build.name}.",
        why,
        numbers={"bricks": [made, "bricks"], "lacking": [count, "bricks"]},
        log=batch_line(case, made),
        rests_on=("firings_needed",),
        settled_by="a batch of this mix",
        reason=f"{build.name} lacks bricks",
    )
