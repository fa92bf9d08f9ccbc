"""After the fire: count and sort, note faults, fill gaps, refire, wait for lime, test."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime, timedelta
from itertools import pairwise

from fieldbook.advice.actions import Action, Urgency
from fieldbook.advice.causes import ranked
from fieldbook.advice.events import happened, lines_of, phase_of, tests_of
from fieldbook.advice.fire import batches_in, mixes_in, phase
from fieldbook.advice.learning import worst_of
from fieldbook.advice.offered import MOST, of_each
from fieldbook.advice.rules import Case, rule
from fieldbook.advice.rules.clay import LIMY
from fieldbook.advice.rules.group import newer_firing
from fieldbook.advice.wording import bricks, listed
from fieldbook.records import Batch, Clay, Firing, Unloaded

PLACES = "grades by position in an open kiln: Building Construction, arts 164-169"
ASSESS = "Practical Action, Assessing the Technical Problems of Brick Production"
GAP = 3.0
"""h without a reading while the fire burnt, worth asking about; common practice."""
ASK_WITHIN = timedelta(days=3)
"""A person remembers a gap that long; common practice."""


LOOK_WITHIN = timedelta(days=14)
"""Spoilt bricks still lie about that long; common practice."""


def long_ago(case: Case) -> bool:
    """Whether the bricks came out more than two weeks ago: nobody can look at the spoilt ones."""
    out = happened(case.entry, "unloaded")
    return out is not None and case.is_past(out + LOOK_WITHIN)


def unloaded(case: Case) -> bool:
    """Whether the bricks are out."""
    return phase(case) == "unloaded"


@rule("count-and-sort", on=Firing, urgency=Urgency.BLOCKING, source=PLACES, topic="count-out")
def count_and_sort(case: Case) -> Iterator[Action]:
    """The kiln is unloaded and what came out is not counted."""
    if not unloaded(case) or case.entry.unloaded:
        return
    count = case.fact("count")
    all_of = f"all {bricks(int(count))}" if count else "all bricks"
    yield case.act(
        "count",
        f"Count {all_of} by place: sound, cracked, soft, overfired, lost.",
        "A firing without its count teaches nothing to the next one.",
        numbers={"count": [int(count), "bricks"]} if count else {},
        log="sound … cracked … soft … overfired … lost …",
        rests_on=("yield",),
        settled_by="unloaded, with counts",
    )


@rule("note-faults", on=Firing, urgency=Urgency.TEACHING, source=ASSESS, topic="faults")
def note_faults(case: Case) -> Iterator[Action]:
    """Bricks were lost and nobody wrote how their cracks or their cores look."""
    rows = case.entry.unloaded
    bad = sum(spoilt(row) for row in rows if not row.faults)
    if not unloaded(case) or bad == 0 or any(row.faults for row in rows):
        return
    if newer_firing(case) or long_ago(case) or is_usual_loss(rows, bad):
        return
    which = "the brick" if bad == 1 else f"{'the' if bad <= 3 else '3 of the'} {bricks(bad)}"
    yield case.act(
        "note-faults",
        f"Break {which} lost and note the crack edges, the core and the place.",
        "Sharp or rounded edges and a black or even core tell which hour of the fire did it.",
        numbers={"lost": [bad, "bricks"], "break": [min(3, bad), "bricks"]},
        log=f"fault … {bad}{worst_place(rows)}",
        rests_on=("losses",),
        settled_by="faults in unloaded",
    )


USUAL_LOSS, FEW = 0.05, 3
"""Of the bricks counted, and bricks: fewer lost than both teach nothing; common practice."""


def is_usual_loss(rows: Sequence[Unloaded], bad: int) -> bool:
    """Whether no more were lost than any fire loses."""
    out = bad + sum(row.sound or 0 for row in rows)
    return bad < FEW and bad < USUAL_LOSS * out


def spoilt(row: Unloaded) -> int:
    """Bricks of a row that did not come out sound."""
    return sum(getattr(row, name) or 0 for name in ("cracked", "lost", "overfired", "soft"))


def worst_place(rows: Sequence[Unloaded]) -> str:
    """` top`, the place that most of them are from; nothing where none is named."""
    place = max(rows, key=spoilt).place
    return f" {place}" if place else ""


@rule(
    "look-for-cause",
    on=Firing,
    urgency=Urgency.TEACHING,
    source=f"table of faults: {ASSESS}, Duggal, Davis, Lefevre and others",
    topic="faults",
)
def look_for_cause(case: Case) -> Iterator[Action]:
    """Bricks were lost to one fault, nothing in the record explains it, and a look would tell."""
    if not unloaded(case) or newer_firing(case) or long_ago(case) or worst_of(case) is None:
        return
    losses = case.result("losses")
    rows = losses.value if losses and isinstance(losses.value, list) else []
    if not rows:
        return
    worst = max(rows, key=lambda row: (row.get("count", 0), str(row.get("name"))))
    found = ranked(case, str(worst["name"]), worst.get("causes"))
    if not found or found[0].because or not found[0].look or worst.get("count", 0) < 3:
        return
    first = found[0]
    yield case.act(
        "look-for",
        f"Look at 3 of the {worst['count']} {worst['name']} bricks: {first.look}.",
        f"Nothing noted explains them; the likeliest cause left is: {first.cause}.",
        numbers={"look_at": [3, "bricks"], "lost": [worst["count"], "bricks"]},
        log=f"fault … {worst['count']}{worst_place(case.entry.unloaded)}",
        rests_on=("losses",),
        settled_by="faults in unloaded, or the record of what happened",
        reason=first.cause,
    )


@rule("fill-gaps", on=Firing, urgency=Urgency.TEACHING, source="common practice", topic="gaps")
def fill_gaps(case: Case) -> Iterator[Action]:
    """The log of a firing just ended holds a long gap that people may still remember."""
    if phase(case) not in ("opened", "unloaded", "cooling", "sealed"):
        return
    gap = longest_gap(case)
    if gap is None or case.is_past(gap[1] + ASK_WITHIN):
        return
    start, end = gap
    hours = (end - start).total_seconds() / 3600
    yield case.act(
        "fill-gap",
        f"Write what anyone remembers of {case.say.clock(start)} to {case.say.clock(end)}.",
        f"The log holds nothing for {case.say.hours(hours)} while the fire burnt.",
        numbers={"gap": [hours, "h"]},
        log=f"{start.strftime('%Y-%m-%d %H:%M')} … C",
        settled_by="a line in the gap",
        reason=f"gap from {start.isoformat(timespec='minutes')}",
    )


def longest_gap(case: Case) -> tuple[datetime, datetime] | None:
    """The longest span without temperature or glow between lighting and the peak or sealing."""
    lines = [x.at for x in lines_of(case.entry) if x.temperature or x.glow]
    end = happened(case.entry, "peak") or happened(case.entry, "sealed")
    times = [at for at in lines if end is None or at <= end]
    gaps = [(b - a, a, b) for a, b in pairwise(times)]
    longest = max(gaps, default=None)
    if longest is None or longest[0] < timedelta(hours=GAP):
        return None
    return longest[1], longest[2]


@rule(
    "weigh-fired-bricks",
    on=Firing,
    urgency=Urgency.TEACHING,
    source="mass balance from wet mould to fired brick",
    topic="weigh-fired",
)
def weigh_fired_bricks(case: Case) -> Iterator[Action]:
    """Marked bricks came out of the fire and were not weighed and measured."""
    if not unloaded(case):
        return
    for _, batch in batches_in(case):
        if told_by_another(case, batch):
            continue
        weighed = {x.brick for x in batch.log if x.firing == case.entry.name and x.mass}  # type: ignore[attr-defined]
        left = [name for name in batch.marked if name not in weighed][:MOST]
        if not left or weighed:
            continue
        yield case.act(
            "weigh-fired",
            f"Weigh and measure brick{'' if len(left) == 1 else 's'} {listed(left)} of batch "
            f"{batch.name}, fired.",
            "Their dry mass and fired shrinkage then stand for the whole batch.",
            numbers={"bricks": [len(left), "bricks"]},
            log=f"fieldbook log batches/{batch.name} "
            f"'{of_each(left, f'… kg marks … mm firing {case.entry.name}')}'",
            rests_on=("mass_balance",),
            settled_by="a mass of a marked brick with this firing",
            reason=f"marked bricks of {batch.name}",
        )
        return


def told_by_another(case: Case, batch: Batch) -> bool:
    """Whether fired bricks of another batch of the mix tell dry mass and shrinkage already."""
    return any(
        getattr(line, "firing", None) and getattr(line, "mass", None)
        for other in case.context.notebook.of(Batch)
        if other.mix == batch.mix and other.name != batch.name
        for line in other.log
    )


@rule("refire-soft", on=Firing, urgency=Urgency.TEACHING, source=ASSESS, topic="soft")
def refire_soft(case: Case) -> Iterator[Action]:
    """Soft bricks came out and no later firing takes them."""
    soft = sum(row.soft or 0 for row in case.entry.unloaded)
    again = any(
        load.refired == case.entry.name
        for firing in case.context.notebook.of(Firing)
        for load in firing.load
    )
    if not unloaded(case) or soft == 0 or again or newer_firing(case):
        return
    yield case.act(
        "keep-soft",
        f"Keep the {bricks(soft)} that are soft dry, and fire them again or use them indoors.",
        "A soft brick falls apart in wet and frost; a second fire hardens it.",
        numbers={"soft": [soft, "bricks"]},
        log=f"fieldbook set firings/… load+='{{ refired = \"{case.entry.name}\" }}'",
        settled_by="a firing with them in its load",
    )


@rule(
    "wait-for-lime",
    on=Firing,
    urgency=Urgency.TIMED,
    source="Lime Bursting in Bricks, CBRI Building Digest; soak 48 h: Practical Action; two weeks: "
    "common practice",
    topic="lime",
)
def wait_for_lime(case: Case) -> Iterator[Action]:
    """The load was of a clay with lime, and it came out less than two weeks ago."""
    out = happened(case.entry, "unloaded")
    if not unloaded(case) or out is None or not limy(case):
        return
    due = out + timedelta(days=14)
    if any(specimen_popped(case)) or case.now - due > timedelta(days=30):
        return
    yield case.act(
        "wait-lime",
        f"Soak 5 cold bricks 48 h now, and grade none before {case.say.day(due)}.",
        "Lime in this clay slakes and bursts bricks within two weeks of the fire.",
        when=due,
        numbers={"bricks": [5, "bricks"], "soak": [48, "h"], "wait": [14, "days"]},
        log="fieldbook set tests/… specimens.1.lime_pops=…",
        settled_by="lime_pops of a specimen",
    )


def limy(case: Case) -> bool:
    """Whether a clay in the load is known to hold lime lumps that burst."""
    for mix in mixes_in(case):
        for part in mix.parts:
            clay = case.context.notebook.entry(f"clays/{part.clay}") if part.clay else None
            if isinstance(clay, Clay) and clay.fizz in LIMY:
                lump = clay.lime_lump
                return lump is None or lump.value > 0.002
    return False


def specimen_popped(case: Case) -> Iterator[bool]:
    """For each specimen of this firing, whether its lime pops were counted."""
    for test in tests_of(case.context, case.entry):
        for brick in test.specimens.values():
            yield brick.lime_pops is not None


def untested_firing(case: Case) -> bool:
    """Whether enough sound bricks for a test came out of a firing, and none is begun."""
    sound = sum(row.sound or 0 for row in case.entry.unloaded)
    out = phase_of(case.context, case.entry) == "unloaded"
    return out and sound >= 5 and not tests_of(case.context, case.entry)


@rule(
    "test-bricks",
    on=Firing,
    urgency=Urgency.BLOCKING,
    source="five bricks of the lot: ASTM C67; drawn from all parts: IS 5454:1978",
    topic="test",
)
def test_bricks(case: Case) -> Iterator[Action]:
    """Sound bricks came out and no test of them is begun."""
    sound = sum(row.sound or 0 for row in case.entry.unloaded)
    if not untested_firing(case):
        return
    places = list(dict.fromkeys(row.place for row in case.entry.unloaded if row.place))
    where = f", from {listed(places[:4])}" if len(places) > 1 else ""
    batch = next((row.batch for row in case.entry.unloaded if row.batch), None)
    batch = batch or next((load.batch for load in case.entry.load if load.batch), "…")
    yield case.act(
        "begin-test",
        f"Take 5 sound bricks without choosing{where}, and begin a test of them.",
        f"{bricks(sound)} came out sound, and what they stand is not known.",
        numbers={"bricks": [5, "bricks"], "sound": [sound, "bricks"]},
        log=f'fieldbook add test … batch="{batch}" firing="{case.entry.name}"',
        settled_by="a test of this firing",
    )
