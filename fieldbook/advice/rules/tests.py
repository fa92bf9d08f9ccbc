"""Bricks on test: which to take, soak and boil with their hours, bend, settle the grade."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta

from fieldbook.advice.actions import Action, Urgency
from fieldbook.advice.daylight import due_by_day
from fieldbook.advice.events import last, phase_of
from fieldbook.advice.fired_fit import line_of
from fieldbook.advice.offered import of_each
from fieldbook.advice.rules import Case, rule
from fieldbook.advice.wording import bricks, listed
from fieldbook.records import Batch, Build, Firing, Mix, Specimen, Test

C67 = "ASTM C67: five bricks, dried at 110 to 115 °C, 24 h cold soak, 5 h boil"
ENOUGH = 5
"""bricks, the sample of ASTM C67 and of IS 3495 for a small lot."""
SOAK, BOIL = 24.0, 5.0
MILD = ("indoors", "damp")
ENOUGH_LINES = 1
"""Tests or bars with a strength, from which on breaking more of a mix for a mild use is spared;
ours."""
COLD_ONLY = ("IS", "SS", "IQS", "ASTM C902")
"""Standards whose limits are on the cold soak alone, by the first letters of their names."""


def specimens(case: Case) -> dict[str, Specimen]:
    """The bricks of a test."""
    return dict(case.entry.specimens)


def lacking(case: Case, *fields: str) -> list[str]:
    """The bricks that none of these fields is noted of."""
    rows = specimens(case).items()
    return [name for name, brick in rows if not any(getattr(brick, f) for f in fields)]


def standard_of(case: Case) -> str:
    """The standard the test is graded by, of the test or of the notebook; empty without one."""
    practice = case.context.notebook.settings.practice
    return str(case.entry.standard or (practice and practice.standard) or "")


def wants_boil(case: Case) -> bool:
    """Whether the standard asks for the boil; where there is none the boil still tells frost."""
    if standard_of(case):
        return not standard_of(case).startswith(COLD_ONLY)
    return not mild_use(case)


def mild_use(case: Case) -> bool:
    """Whether all that is built of these bricks stands where nothing freezes and nobody walks."""
    batch = case.context.notebook.entry(f"batches/{case.entry.batch}")
    mix = batch.mix if isinstance(batch, Batch) else None
    uses = [build for build in case.context.notebook.of(Build) if build.mix == mix]
    return bool(mix and uses) and all(
        build.exposure in MILD and build.form != "paving" and not build.hot_face for build in uses
    )


def signs_settle(case: Case) -> bool:
    """Whether ring and scratch say all that a mild use asks for, and breaking teaches no more."""
    if standard_of(case) or not mild_use(case) or case.word("field_verdict") != "good":
        return False
    batch = case.context.notebook.entry(f"batches/{case.entry.batch}")
    mix = case.context.notebook.entry(f"mixes/{batch.mix}") if isinstance(batch, Batch) else None
    line = line_of(mix, case.context, "modulus_of_rupture") if isinstance(mix, Mix) else None
    return line is not None and line.n >= ENOUGH_LINES


def under_way(case: Case, what: str) -> bool:
    """Whether a soak or a boil began and did not end."""
    began, ended = last(case.entry, what, "began"), last(case.entry, what, "ended")
    return began is not None and (ended is None or ended.at < began.at)


def begun(case: Case) -> bool:
    """Whether the bricks of the test exist as of now: moulded, and out of their firing."""
    notebook = case.context.notebook
    batch = notebook.entry(f"batches/{case.entry.batch}") if case.entry.batch else None
    if isinstance(batch, Batch) and batch.moulded and not case.is_past(batch.moulded.at):
        return False
    firing = notebook.entry(f"firings/{case.entry.firing}") if case.entry.firing else None
    return not isinstance(firing, Firing) or phase_of(case.context, firing) == "unloaded"


def next_step(case: Case) -> str | None:
    """What the test asks for next: take, dry, soak, soaking, boil, boiling, break; None at its end.

    One thing at a time, in the order in which bricks survive it: the break comes last.
    """
    if not begun(case):
        return None
    if under_way(case, "soak") and lacking(case, "soaked_mass"):
        return "soaking"  # what is in the water comes first, however few they are
    if len(specimens(case)) < ENOUGH:
        return "take"
    for step, field, ongoing in (
        ("dry", "dry_mass", ""),
        ("soak", "soaked_mass", "soak"),
        ("boil", "boiled_mass", "boil"),
    ):
        if step == "boil" and not wants_boil(case):
            continue
        if lacking(case, field):
            return f"{ongoing}ing" if ongoing and under_way(case, ongoing) else step
    broken = ("bending_load", "crushing_load", "lever")
    if len(lacking(case, *broken)) < len(specimens(case)) or signs_settle(case):
        return None
    return "break"


def many(names: list[str]) -> str:
    """`brick 3`, `bricks 1 and 2`, `5 bricks`."""
    if len(names) > 3:
        return bricks(len(names))
    return f"brick{'' if len(names) == 1 else 's'} {listed(names)}"


@rule(
    "take-five",
    on=Test,
    urgency=Urgency.BLOCKING,
    source=f"{C67}; drawn from all parts of the stack: IS 5454:1978",
    topic="step",
)
def take_five(case: Case) -> Iterator[Action]:
    """A test holds fewer than the five bricks that a grade asks for."""
    have = len(specimens(case))
    if next_step(case) != "take":
        return
    missing = ENOUGH - have
    more = f"{missing} more brick{'' if missing == 1 else 's'}" if have else f"{ENOUGH} bricks"
    yield case.act(
        "take",
        f"Take {more} without choosing, from all places; number, ring and scratch each; dry them "
        f"24 h at {case.say.temperature(110)} and weigh each to 1 g.",
        f"The test holds {bricks(have)}; a grade asks for {ENOUGH}; a mean of fewer says little.",
        numbers={"bricks": [missing, "bricks"], "asked": [ENOUGH, "bricks"]},
        log=f"#{have + 1} ring … scratch … dry … kg",
        settled_by="five specimens",
    )


@rule(
    "dry-and-weigh",
    on=Test,
    urgency=Urgency.BLOCKING,
    source=C67,
    topic="step",
)
def dry_and_weigh(case: Case) -> Iterator[Action]:
    """Specimens have no dry mass yet."""
    if next_step(case) != "dry":
        return
    names = lacking(case, "dry_mass")
    yield case.act(
        "dry",
        f"Dry {many(names)} 24 h at {case.say.temperature(110)}, cool them, and weigh each to 1 g.",
        "All that a soak tells is counted from the dry mass.",
        numbers={"time": [24, "h"], "temperature": [110, "degC"], "to": [1, "g"]},
        log=of_each(names, "dry … kg"),
        rests_on=("cold_absorption",),
        settled_by="dry_mass of each brick",
    )


@rule(
    "start-soak",
    on=Test,
    urgency=Urgency.BLOCKING,
    source=C67,
    topic="step",
)
def start_soak(case: Case) -> Iterator[Action]:
    """The bricks are weighed dry and not yet soaked."""
    if next_step(case) != "soak":
        return
    names = lacking(case, "soaked_mass")
    cold, warm = case.say.temperature(15), case.say.temperature(30)
    yield case.act(
        "soak",
        f"Lay {many(names)} under clean water of {cold} to {warm} for 24 h.",
        f"The mass gained in 24 h is the absorption; in at {case.say.clock(case.now)} is out at "
        f"{case.say.clock(case.in_hours(SOAK))}.",
        numbers={"soak": [SOAK, "h"], "coldest": [15, "degC"], "warmest": [30, "degC"]},
        log="soak began",
        rests_on=("cold_absorption",),
        settled_by="soak began",
    )


@rule(
    "end-soak",
    on=Test,
    urgency=Urgency.TIMED,
    source=f"{C67}; weighed within 3 to 5 min of lifting",
    topic="step",
)
def end_soak(case: Case) -> Iterator[Action]:
    """Bricks are soaking: the hour at which they must be weighed."""
    if next_step(case) != "soaking":
        return
    due = last(case.entry, "soak", "began").at + timedelta(hours=SOAK)
    names = lacking(case, "soaked_mass")
    if case.now - due > timedelta(hours=2):
        yield too_long(case, due, names)
        return
    yield case.act(
        "weigh-soaked",
        f"Lift {many(names)} {case.say.at(due)}, wipe each once, and weigh it within 5 min.",
        "The soak is then 24 h; the limits hold for that and for no other time.",
        when=due,
        numbers={"soak": [SOAK, "h"], "within": [5, "min"]},
        log=of_each(names, "soaked … kg"),
        rests_on=("cold_absorption",),
        settled_by="soaked_mass of each brick",
    )


def too_long(case: Case, due: datetime, names: list[str]) -> Action:
    """Bricks that soaked past their hour: weigh them as they are, and say for how long.

    What an hour can spoil is spoilt: it waits for the day, and for what has its hour.
    """
    day = due_by_day(case.context, None)
    hours = SOAK + ((day or case.now) - due).total_seconds() / 3600
    return case.act(
        "weigh-soaked",
        f"Weigh {many(names)} {case.say.at(day) if day else 'now'} and write how long they "
        "soaked; for a grade dry them and soak them again, 24 h.",
        f"They have soaked {hours:.0f} h{' by then' if day else ''}; the limits of absorption hold "
        "for 24 h alone.",
        numbers={"soaked": [hours, "h"], "soak": [SOAK, "h"]},
        log=f"fieldbook set {case.address} soaked_for='{hours:.0f} h'",
        when=day,
        urgency=Urgency.BLOCKING,
        rests_on=("cold_absorption",),
        settled_by="soaked_mass and soaked_for",
        reason="soaked too long",
    )


@rule(
    "start-boil",
    on=Test,
    urgency=Urgency.BLOCKING,
    source=C67,
    topic="step",
)
def start_boil(case: Case) -> Iterator[Action]:
    """The bricks are weighed soaked and the standard asks for the boil."""
    if next_step(case) != "boil":
        return
    names = lacking(case, "boiled_mass")
    yield case.act(
        "boil",
        f"Boil {many(names)} for 5 h, reach the boil within 1 h, and let them cool in the water.",
        "Cold over boiled gain tells how much room frost has left, which no other test here does.",
        numbers={"boil": [BOIL, "h"], "within": [1, "h"]},
        log="boil began",
        rests_on=("boiling_absorption", "saturation_coefficient"),
        settled_by="boil began",
    )


@rule(
    "end-boil",
    on=Test,
    urgency=Urgency.TIMED,
    source=C67,
    topic="step",
)
def end_boil(case: Case) -> Iterator[Action]:
    """Bricks are boiling: the hour at which the fire is taken away."""
    if next_step(case) != "boiling":
        return
    due = last(case.entry, "boil", "began").at + timedelta(hours=BOIL)
    names = lacking(case, "boiled_mass")
    yield case.act(
        "weigh-boiled",
        f"End the boil {case.say.at(due)}, cool {many(names)} in it, weigh within 5 min.",
        "The boil is then 5 h, as the limits mean it.",
        when=due,
        numbers={"boil": [BOIL, "h"], "within": [5, "min"]},
        log=of_each(names, "boiled … kg"),
        rests_on=("boiling_absorption",),
        settled_by="boiled_mass of each brick",
    )


@rule(
    "break-five",
    on=Test,
    urgency=Urgency.BLOCKING,
    source="ASTM C67: centre load on a span, five dry bricks; a lever with a bucket does it too",
    topic="step",
)
def break_five(case: Case) -> Iterator[Action]:
    """Water is known and strength is not: bend five bricks."""
    if next_step(case) != "break":
        return
    yield case.act(
        "bend",
        f"Dry the {bricks(len(specimens(case)))} again, lay each across {case.say.length(0.15)}, "
        "and load its middle until it breaks.",
        "Without a breaking load no grade that asks for strength can be given.",
        numbers={"bricks": [len(specimens(case)), "bricks"], "span": [0.15, "m"]},
        log="#1 span … mm bending … N width … mm height … mm",
        rests_on=("modulus_of_rupture",),
        settled_by="a breaking load with its span, width and height",
    )


@rule(
    "weigh-again-on-test",
    on=Test,
    urgency=Urgency.TIMED,
    source="dry < soaked <= boiled, and hung below each of them; by the physics",
    topic="step",
)
def weigh_again_on_test(case: Case) -> Iterator[Action]:
    """The masses of a specimen contradict each other, so nothing is derived from them."""
    wrong = case.fact("contradicting") or ()
    if not wrong:
        return
    names = [str(name) for name in wrong]
    yield case.act(
        "weigh-again",
        f"Weigh {many(names)} again, dry and soaked, and read the unit off the scale.",
        f"The masses noted for {many(names)} cannot all be right; nothing is derived from them.",
        numbers={"bricks": [len(names), "bricks"]},
        log=of_each(names, "dry … kg soaked … kg"),
        rests_on=("cold_absorption",),
        settled_by="masses in the right order",
        reason=f"masses of {listed(names)}",
    )


MEASURED_BY = {
    "compressive": "crushing … kN",
    "rupture": "bending … kN",
    "boil": "boiled … kg",
    "saturation": "boiled … kg",
    "initial": "minute … kg",
    "freeze": "cycles … freeze loss … %",
    "efflorescence": "efflorescence …",
}


def measured_by(settle: str) -> str:
    """What is typed of a brick once it is measured; an absorption where nothing else is named."""
    return next((typed for word, typed in MEASURED_BY.items() if word in settle), "soaked … kg")


@rule(
    "settle-grade",
    on=Test,
    urgency=Urgency.TEACHING,
    source="a verdict within its own uncertainty of a limit is withheld (JCGM 100)",
    topic="settle",
)
def settle_grade(case: Case) -> Iterator[Action]:
    """A grade is withheld and one measurement would settle it."""
    if next_step(case) is not None or case.review is None or not begun(case):
        return
    for verdict in case.review.verdicts:
        if verdict.grade is not None or not verdict.settle:
            continue
        settle = verdict.settle.rstrip(".")
        because = verdict.because[0] if verdict.because else "too little is known"
        yield case.act(
            "settle",
            f"{settle[0].upper()}{settle[1:]}.",
            f"{verdict.standard} gives no grade yet: {because}.",
            log=f"#1 {measured_by(verdict.settle)}",
            settled_by=f"a grade under {verdict.standard}",
            reason=f"{verdict.standard} {verdict.settle}",
        )
        return
