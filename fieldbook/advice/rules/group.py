"""The group: someone else's firing of the same mix did better; what they did differently."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from fieldbook.advice.actions import Action, Urgency
from fieldbook.advice.events import lines_of, phase_of
from fieldbook.advice.fire import mixes_in, phase
from fieldbook.advice.rules import Case, rule
from fieldbook.advice.wording import listed, percent
from fieldbook.records import Batch, Entry, Firing

BETTER = 10.0
"""Points of sound bricks, in per cent: less is chance; common practice."""


LONGEST = 24
"""Letters of a disputed value that a sentence has room for."""


class Outcome(NamedTuple):
    """What a firing gave, with the things a maker can do differently."""

    firing: Firing
    sound: float
    """% of the bricks counted."""
    peak: float | None
    hours: float | None


def sound_share(firing: Firing) -> float | None:
    """Sound bricks of those counted [%]; None below twenty, which say too little."""
    names = ("sound", "cracked", "soft", "overfired", "lost")
    counts = {n: sum(getattr(row, n) or 0 for row in firing.unloaded) for n in names}
    total = sum(counts.values())
    return 100 * counts["sound"] / total if total >= 20 else None


def outcome(case: Case, firing: Firing) -> Outcome | None:
    """What a finished firing gave; None where it was not counted."""
    share = sound_share(firing)
    if share is None or phase_of(case.context, firing) != "unloaded":
        return None
    review = case.context.review(firing.address)
    peak = review.number("peak") if review else None
    hours = review.facts.get("fire_hours") if review else None
    return Outcome(firing, share, peak, float(hours) if hours else None)


def maker_of(case: Case, firing: Firing) -> str:
    """Whose a firing is: as written; else who wrote that it was lit, or its first signed line.

    Only where no line is signed it is one's own: `maker` in the settings is who reads this.
    """
    lit = [line.by for line in lines_of(firing) if line.event == "lit" and line.by]
    signed = [line.by for line in firing.log if line.by]
    return firing.maker or next(iter([*lit, *signed]), case.context.notebook.settings.maker or "")


def others(case: Case) -> list[Outcome]:
    """Other makers' finished firings of a mix in this load."""
    mine = maker_of(case, case.entry).casefold()
    names = {mix.name for mix in mixes_in(case)}
    batches = {b.name for b in case.context.notebook.of(Batch) if b.mix in names}
    found = []
    for firing in case.context.notebook.of(Firing):
        if firing.name == case.entry.name or maker_of(case, firing).casefold() == mine:
            continue
        if any(load.batch in batches for load in firing.load):
            result = outcome(case, firing)
            if result:
                found.append(result)
    return found


def brief(value: object) -> str:
    """A value as written, short enough for a sentence."""
    text = " ".join(str(value).split())
    return text if len(text) <= LONGEST else f"{text[: LONGEST - 1]}…"


@rule(
    "decide-disputed",
    on=Entry,
    urgency=Urgency.BLOCKING,
    source="the group's own record",
    topic="dispute",
)
def decide_disputed(case: Case) -> Iterator[Action]:
    """Two makers set one field of it differently while they were apart; one value is in force."""
    field, values = next(iter(case.entry.disputed.items()), ("", None))
    if not isinstance(values, list | tuple) or len(values) < 2:
        return
    more = len(case.entry.disputed) - 1
    either = " or ".join(brief(value) for value in values[:2])
    yield case.act(
        "choose",
        f"Choose which is true of {brief(field)}: {either}; set that one.",
        "Two of you set it while apart; everything worked out rests on one of the two."
        + (f" {more} more of it wait for the same." if more else ""),
        numbers={"disputed": [more + 1, "fields"]},
        log=f"fieldbook set {case.address} {field}=…",
        settled_by=f"{brief(field)} set again",
        reason=f"{field} disputed",
    )


@rule(
    "learn-from-others",
    on=Firing,
    urgency=Urgency.TEACHING,
    source="the group's own record",
    topic="group",
)
def learn_from_others(case: Case) -> Iterator[Action]:
    """Another maker's firing of the same mix gave clearly more sound bricks than this one."""
    if phase(case) != "unloaded" or newer_firing(case):
        return
    mine = outcome(case, case.entry)
    if mine is None:
        return
    best = max(others(case), key=lambda other: other.sound, default=None)
    if best is None or best.sound < mine.sound + BETTER:
        return
    who = maker_of(case, best.firing) or "another maker"
    done = differences(case, mine, best)
    yield case.act(
        "compare",
        f"Look at firing {best.firing.name} by {who} before you fire this mix again.",
        f"It gave {percent(best.sound)} sound bricks where yours gave {percent(mine.sound)}"
        + (f"; theirs {listed(done)}." if done else "."),
        numbers={"theirs": [best.sound, "%"], "yours": [mine.sound, "%"]},
        log=f"fieldbook compare {case.address} {best.firing.address}",
        rests_on=("yield", "peak"),
        settled_by="a newer firing of this mix",
        reason=f"{best.firing.name} did better",
    )


def newer_firing(case: Case) -> bool:
    """Whether a later firing of this kiln was begun, so that this one is past history."""
    first = case.entry.log[0].at if case.entry.log else None
    later = [
        firing
        for firing in case.context.notebook.of(Firing)
        if firing.kiln == case.entry.kiln and firing.name != case.entry.name and firing.log
    ]
    return first is not None and any(firing.log[0].at > first for firing in later)


def differences(case: Case, mine: Outcome, theirs: Outcome) -> list[str]:
    """What they did differently, the plain things first."""
    found = []
    if mine.peak and theirs.peak and abs(mine.peak - theirs.peak) > 20:
        way = "hotter" if theirs.peak > mine.peak else "cooler"
        gap = case.say.difference(abs(theirs.peak - mine.peak))
        found.append(f"was {gap} {way} at the coldest place")
    if mine.hours and theirs.hours and abs(mine.hours - theirs.hours) > 0.15 * mine.hours:
        way = "longer" if theirs.hours > mine.hours else "shorter"
        found.append(f"burnt {case.say.hours(abs(theirs.hours - mine.hours))} {way}")
    return found
