"""What the bricks are for: enough of them, fit for it, mortar, wetting, frost, drying a lining."""

from __future__ import annotations

import math
from collections.abc import Iterator
from datetime import timedelta

from fieldbook.advice.actions import Action, Urgency
from fieldbook.advice.events import last
from fieldbook.advice.rules import Case, rule
from fieldbook.advice.rules.after import untested_firing
from fieldbook.advice.rules.tests import next_step
from fieldbook.advice.wording import bricks
from fieldbook.records import Batch, Build, Firing, Test

GEOMETRY = "count by geometry, with the losses of the maker's own record"
HOT_MORTAR = "1 sand, 2 laterite gravel, 1 ant-hill soil, no cement: Agumba and Abbott 1996"
SUCTION = "above 30 g/min per 30 in² many codes ask for wetting: mason contractors' association"
WET_ABOVE = 30.0
HOT = 200.0
"""degC of the inner face from which cement cracks out of the joints; common practice."""


def laid(case: Case) -> int:
    """Bricks laid so far."""
    return sum(line.laid or 0 for line in case.entry.log)


def short(case: Case) -> float | None:
    """Bricks still to lay that are not in stock; None where it is not known."""
    needed, fit = case.number("bricks_needed"), case.number("bricks_fit")
    return None if needed is None else needed - laid(case) - (fit or 0.0)


def untested(case: Case) -> int:
    """Sound bricks in stock of which nobody knows yet whether they are fit for this use."""
    fit = case.result("bricks_fit")
    stock = fit.extra.get("in_stock", {}) if fit else {}
    return int(stock.get("unknown", 0))


def to_lay(case: Case) -> float:
    """Bricks still to lay; 0 where that is not known."""
    needed = case.number("bricks_needed")
    return max(0.0, needed - laid(case)) if needed is not None else 0.0


def not_to_be_laid(case: Case) -> bool:
    """Whether the bricks are not fit for this use, or nobody knows yet."""
    result = case.result("fit_for_use")
    return result is not None and result.value in ("no", "unknown")


def hot(case: Case) -> float | None:
    """The temperature of the inner face [degC], where the build stands heat."""
    face = case.entry.hot_face
    return face.value if face and not face.is_bound and face.value > HOT else None


@rule("say-the-size", on=Build, urgency=Urgency.BLOCKING, source=GEOMETRY, topic="size")
def say_the_size(case: Case) -> Iterator[Action]:
    """The count of bricks cannot be told because a size of the build is missing."""
    result = case.review.results.get("bricks_needed") if case.review else None
    if result is None or result.known or not result.needs:
        return
    needs = [need.replace("_", " ").replace(".", " ") for need in result.needs[:3]]
    fields = " ".join(f"{need}=…" for need in result.needs[:3])
    yield case.act(
        "measure",
        f"Measure and write its {', '.join(needs)}.",
        "The number of bricks follows from the size of the build and of the brick.",
        numbers={"missing": [len(result.needs), "fields"]},
        log=f"fieldbook set {case.address} {fields}",
        rests_on=("bricks_needed",),
        settled_by=", ".join(result.needs[:3]),
        reason=" ".join(result.needs),
    )


@rule("fire-more", on=Build, urgency=Urgency.BLOCKING, source=GEOMETRY, topic="stock")
def fire_more(case: Case) -> Iterator[Action]:
    """Fit bricks in stock are fewer than are still to lay."""
    missing = short(case)
    if missing is None or missing - untested(case) < 1 or list(too_hot_for_brick(case)):
        return
    firings = case.number("firings_needed")
    times = f", in about {math.ceil(firings)} firings" if firings and firings > 1 else ""
    count = math.ceil(missing - untested(case))
    yield case.act(
        "fire-more",
        f"Make and fire {count} more fit bricks for it{times}.",
        f"It takes {case.number('bricks_needed') or 0:.0f} in all; {laid(case)} are laid and "
        f"{case.number('bricks_fit') or 0:.0f} fit ones are in stock.",
        numbers={
            "missing": [count, "bricks"],
            "needed": [case.number("bricks_needed"), "bricks"],
            "fit": [case.number("bricks_fit") or 0.0, "bricks"],
        },
        log="fieldbook add batch …",
        rests_on=("bricks_needed", "bricks_fit", "firings_needed"),
        settled_by="as many fit bricks in stock",
        reason="bricks short",
    )


@rule("mix-mortar", on=Build, urgency=Urgency.BLOCKING, source=HOT_MORTAR, topic="mortar")
def mix_mortar(case: Case) -> Iterator[Action]:
    """There are enough fit bricks and the laying is not begun: how much mortar, of what."""
    missing, found = short(case), case.result("mortar_needed")
    mortar = found.number if found else None
    if missing is None or missing >= 1 or laid(case) or mortar is None or to_lay(case) < 1:
        return
    if not_to_be_laid(case):
        return
    heat = hot(case)
    volume = case.say.volume(mortar)
    what = "clay and sand mortar, no cement," if heat else "lime and sand mortar"
    yield case.act(
        "mix-mortar",
        f"Mix {volume} of {what} for {bricks(round(to_lay(case)))}.",
        f"Cement cracks at {case.say.temperature(heat)}; clay and sand fire with the bricks."
        if heat
        else "Mortar weaker than the brick lets the wall move without cracking it.",
        numbers={"mortar": [mortar, "m3"], "bricks": [round(to_lay(case)), "bricks"]},
        log="laid … ",
        rests_on=("mortar_needed", "bricks_needed"),
        settled_by="laid",
    )


@rule("wet-before-laying", on=Build, urgency=Urgency.TIMED, source=SUCTION, topic="wetting")
def wet_before_laying(case: Case) -> Iterator[Action]:
    """Bricks to be laid drink more than 30 g/min per 30 in², and no frost stands against it."""
    if to_lay(case) < 1 or (short(case) or 0) >= 1 or not_to_be_laid(case):
        return
    suction = thirst(case)
    if suction is None or suction <= WET_ABOVE:
        return
    yield case.act(
        "wet-bricks",
        "Wet the bricks 1 h before laying, and lay them damp, not dripping.",
        f"They take up {suction:.0f} g/min per 30 in²; above {WET_ABOVE:.0f} the mortar dries out.",
        numbers={"suction": [suction, "g/min/30in2"], "limit": [WET_ABOVE, "g/min/30in2"]},
        log="laid …",
        rests_on=("initial_rate_of_absorption",),
        settled_by="the build is laid",
    )


def thirst(case: Case) -> float | None:
    """Initial rate of absorption of bricks of the build's mix [g/min per 30 in²], the highest."""
    found = []
    for test in case.context.notebook.of(Test):
        batch = case.context.notebook.entry(f"batches/{test.batch}")
        if isinstance(batch, Batch) and batch.mix == case.entry.mix:
            review = case.context.review(test.address)
            rate = review.number("initial_rate_of_absorption") if review else None
            if rate is not None:
                found.append(rate)
    return max(found, default=None)


@rule(
    "not-in-frost",
    on=Build,
    urgency=Urgency.WARE,
    source="mortar that freezes before it sets falls out; common practice",
    topic="wetting",
)
def not_in_frost(case: Case) -> Iterator[Action]:
    """Bricks were laid within a week and frost was noted in the yard within two days."""
    newest = last(case.entry, "laid")
    if newest is None or case.is_past(newest.at + timedelta(days=7)):
        return
    frost = [last(batch, "frost") for batch in case.context.notebook.of(Batch)]
    times = [line.at for line in frost if line and case.now - line.at <= timedelta(days=2)]
    if not times:
        return
    yield case.act(
        "cover-wall",
        "Stop laying, and cover fresh work with straw and a sheet for 3 nights or more.",
        f"Frost was noted {case.say.clock(max(times))}; mortar frozen before it sets falls out.",
        numbers={"cover": [3, "nights"]},
        log=": covered",
        settled_by="two days without frost",
        reason=f"frost {max(times).isoformat(timespec='hours')}",
    )


@rule(
    "dry-the-lining",
    on=Build,
    urgency=Urgency.WARE,
    source="steam at 120 °C stands 97 kPa above the air (IAPWS): slow to 100 °C first",
    caution="A damp lining heated fast bursts.",
    topic="first-heat",
)
def dry_the_lining(case: Case) -> Iterator[Action]:
    """A hot build is laid and was never heated."""
    if hot(case) is None or laid(case) == 0 or to_lay(case) >= 1:
        return
    if last(case.entry, "temperature") or list(too_hot_for_brick(case)):
        return
    newest = last(case.entry, "laid")
    due = newest.at + timedelta(days=7)
    low = case.say.temperature(100)
    yield case.act(
        "dry-lining",
        f"Dry it {by_air(case, due)}, then warm it 2 h a day for 3 days, below {low}.",
        "The joints are wet; heat drives their water out as steam that bursts brick from mortar.",
        when=due if due > case.now else None,
        numbers={"air": [7, "days"], "fires": [3, "days"], "below": [100, "degC"]},
        log="… C",
        rests_on=("warm_up_time",),
        settled_by="a temperature noted on the build",
    )


def by_air(case: Case, due: object) -> str:
    """How long in the air, in words."""
    return f"in the air until {case.say.day(due)}"  # type: ignore[arg-type]


@rule(
    "too-hot-for-brick",
    on=Build,
    urgency=Urgency.PEOPLE,
    source="peak at the coldest place less its uncertainty and 50 °C, never above the peak limit",
    caution="Common brick is no refractory. Local codes and licensed practice come first.",
    topic="heat",
)
def too_hot_for_brick(case: Case) -> Iterator[Action]:
    """The inner face gets hotter than these bricks were fired."""
    face, limit = case.entry.hot_face, case.number("hot_face_limit")
    if face is None or face.is_bound or limit is None or face.value <= limit:
        return
    limit_words = case.say.temperature(limit)
    yield case.act(
        "line-with-firebrick",
        f"Line it with bought firebrick, or keep its inner face below {limit_words}.",
        f"It is meant for {case.say.temperature(face.value)}; these bricks were fired too little "
        "for that.",
        numbers={"hot_face": [face.value, "degC"], "limit": [limit, "degC"]},
        log=f'fieldbook set {case.address} hot_face="… C"',
        rests_on=("hot_face_limit",),
        settled_by="a cooler hot_face, or hotter bricks",
        urgency=None if laid(case) else Urgency.BLOCKING,  # nobody stands beside it yet
    )


def under_test(case: Case) -> bool:
    """Whether a test of bricks of this mix is not at its end, or a firing of them waits for one."""
    notebook = case.context.notebook
    mix = case.entry.mix
    batches = {batch.name for batch in notebook.of(Batch) if mix in (None, batch.mix)}
    for test in notebook.of(Test):
        review = case.context.review(test.address) if test.batch in batches else None
        if review is not None and next_step(Case(test, review, case.context)) is not None:
            return True
    fired = (f for f in notebook.of(Firing) if {load.batch for load in f.load} & batches)
    return any(untested_firing(Case(firing, None, case.context)) for firing in fired)


@rule(
    "prove-fitness",
    on=Build,
    urgency=Urgency.BLOCKING,
    source="use to checks: the grade that the exposure asks for",
    topic="fitness",
)
def prove_fitness(case: Case) -> Iterator[Action]:
    """Whether the bricks are fit for this use is not known: what measurement would tell."""
    result = case.review.results.get("fit_for_use") if case.review else None
    if result is None or to_lay(case) < 1:
        return
    if result.value not in ("unknown", None) or not (result.needs or result.extra.get("measure")):
        return
    if not result.each or under_test(case):
        return  # none are fired yet, or what there is to test is asked for already
    measure = str(result.extra.get("measure") or ", ".join(result.needs[:3]).replace("_", " "))
    yield case.act(
        "test-fitness",
        f"Test 5 bricks for {measure} before you lay any.",
        f"Whether they stand {case.entry.exposure or 'this use'} is not known.",
        numbers={"bricks": [5, "bricks"]},
        log="fieldbook add test …",
        rests_on=("fit_for_use",),
        settled_by=measure,
        reason=f"unknown for {case.entry.exposure}",
    )


@rule(
    "not-fit",
    on=Build,
    urgency=Urgency.BLOCKING,
    source="use to checks: the grade that the exposure asks for",
    topic="fitness",
)
def not_fit(case: Case) -> Iterator[Action]:
    """The bricks in stock are known not to be fit for this use, and some are still to lay."""
    result = case.result("fit_for_use")
    if result is None or result.value != "no" or to_lay(case) < 1:
        return
    if list(too_hot_for_brick(case)):
        return  # the heat alone rules them out, and that is said already
    yield case.act(
        "use-elsewhere",
        "Lay none of these bricks here; use them dry and indoors, and fire the next ones hotter.",
        f"They are not fit for {case.entry.exposure or 'this use'}"
        + (f": {result.because.rstrip('.')}." if result.because else "."),
        log="fieldbook add firing …",
        rests_on=("fit_for_use",),
        settled_by="bricks that are fit",
    )
