"""What a firing taught: the one change to make in the next, and how many bricks would show it."""

from __future__ import annotations

from collections.abc import Iterator

from fieldbook.advice.actions import Action, Urgency
from fieldbook.advice.fire import phase
from fieldbook.advice.learning import next_trial
from fieldbook.advice.rules import Case, rule
from fieldbook.advice.rules.group import newer_firing
from fieldbook.records import Firing


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
