"""What a firing taught: the one change to make in the next, and how many bricks would show it."""

from __future__ import annotations

from collections.abc import Iterator

from fieldbook.advice.actions import Action, Urgency
from fieldbook.advice.events import last
from fieldbook.advice.fire import phase
from fieldbook.advice.foretold import WORDS, Foretold, foretold
from fieldbook.advice.learning import next_trial
from fieldbook.advice.rules import Case, rule
from fieldbook.advice.rules.group import newer_firing
from fieldbook.records import Firing, Test


@rule(
    "one-change",
    on=Firing,
    urgency=Urgency.TEACHING,
    source="one change at a time; its size from this maker's own firings; common practice",
    topic="next-trial",
)
def one_change(case: Case) -> Iterator[Action]:
    """The firing is counted, something was lost, and no newer firing of the kiln is begun."""
    if phase(case) != "unloaded" or not case.entry.unloaded or newer_firing(case):
        return
    trial = next_trial(case)
    if trial is None:
        return
    yield case.act(
        "next-trial",
        f"{trial.do} next time, change nothing else; it takes {trial.bricks} bricks to show.",
        trial.why,
        numbers={**trial.numbers, "bricks": [trial.bricks, "bricks"]},
        log=f"fieldbook show {case.address}",
        rests_on=("losses", "yield"),
        settled_by="a newer firing of this kiln",
        reason=trial.change,
    )


@rule(
    "unlike-foretold",
    on=Test,
    urgency=Urgency.TEACHING,
    source="the line of the mix through its other bars and tests against heat-work, coverage 2",
    topic="foretold",
)
def unlike_foretold(case: Case) -> Iterator[Action]:
    """A test came out clearly unlike what the other bars and tests of its mix foretold."""
    apart = [one for one in foretold(case.entry, case.context) if beyond(one) > 1]
    if not apart or last(case.entry, "note"):
        return
    worst = max(apart, key=lambda one: (beyond(one), one.what))
    words, unit = WORDS[worst.what], worst.unit
    heat = case.say.temperature(worst.heat)
    yield case.act(
        "look-back",
        f"Write what was other with these bricks: clay, mixing, drying, or the probe in "
        f"firing {case.entry.firing}.",
        f"Their {words} is {worst.found:.1f} {unit}; {worst.points} other bars and tests foretold "
        f"{worst.expected:.1f} ± {worst.half:.1f} {unit} at {heat} of one hour.",
        numbers={
            "found": [worst.found, unit],
            "expected": [worst.expected, unit],
            "plus_minus": [worst.half, unit],
            "heat_work": [worst.heat, "degC"],
        },
        log=": …",
        rests_on=(worst.what,),
        settled_by="a note on the test",
        reason=f"{worst.what} unlike foretold",
    )


def beyond(one: Foretold) -> float:
    """How far what was found lies from what was foretold, in half-widths."""
    return abs(one.found - one.expected) / one.half
