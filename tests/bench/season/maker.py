"""A maker who does the first thing `next` says, writes what it asks for, and waits till due."""

from collections import Counter
from datetime import timedelta
from typing import NamedTuple

from fieldbook.advice.actions import Urgency
from fieldbook.advice.context import Context
from fieldbook.advice.engine import advise
from tests.bench.season.hands import HANDS
from tests.bench.season.hands_at_fire import STOKING

AGAIN = 6
"""So often the same order, with what it asks for written each time, is an endless repetition."""


class Round(NamedTuple):
    """One order, obeyed: an observation where anything was written."""

    at: object
    entry: str
    rule: str
    said: str
    wrote: tuple[str, ...]


class DeadEnd(Exception):
    """Nothing is to be done, or always the same, and the stack is not there."""


def stack_is_there(context):
    """Whether a build has as many bricks as it takes, each lot of them tested and found fit."""
    for review in (context.review(a) for a in context.notebook.addresses if a.startswith("builds")):
        needed, fit = review.number("bricks_needed"), review.number("bricks_fit")
        if needed and fit and fit >= needed:
            return True
    return False


class Maker:
    """One season."""

    def __init__(self, world, notes, tell=lambda entry: None):
        self.world, self.notes, self.tell = world, notes, tell
        self.diary = []
        self.done = set()
        self.times = Counter()

    def play(self, until=stack_is_there, most=3000):
        """Obey until there is a graded, sufficient stack."""
        for _ in range(most):
            now = self.world.now
            context = Context.of(self.notes.store.notebook(now), now)
            if self.may_be_the_end() and until(context):
                return
            self.turn(advise(context).actions)
        raise DeadEnd(f"no end after {most} turns")

    def may_be_the_end(self):
        """Only a test ever completes a stack."""
        wrote = [entry.entry for entry in self.diary[-3:] if entry.wrote]
        return any(entry.startswith("tests/") for entry in wrote)

    def turn(self, actions):
        now = self.world.now
        for action in actions:
            due = action.when is None or action.when <= now
            if due and self.key(action) not in self.done and not self.kept_at_a_fire(action):
                self.do(action)
                return
        later = [a.when for a in actions if a.when is not None and a.when > now]
        if not later:
            said = "; ".join(f"{a.rule}: {a.do}" for a in actions) or "nothing"
            raise DeadEnd(f"{now:%d %b %H:%M}: nothing is left to do of: {said}")
        self.world.wait_until(min(later))

    def kept_at_a_fire(self, action):
        """Nobody leaves a fire that burns for a day's work elsewhere."""
        burning = [f"firings/{name}" for name in self.world.burning()]
        return burning and action.entry not in burning and action.urgency > Urgency.TIMED

    @staticmethod
    def key(action):
        """What makes an order the same one: its rule, its entry and its reason."""
        return action.rule, action.entry, action.reason

    def do(self, action):
        hand = HANDS.get(action.rule)
        if hand is None:
            raise DeadEnd(f"no hand knows how to {action.rule}: {action.do} [{action.log}]")
        key = self.key(action)
        self.done.add(key)
        wrote = []
        for line in list(hand(self.world, action, self.notes)):
            self.world.pass_time(timedelta(minutes=1))
            self.notes.write(self.world.now, action.entry, line)
            wrote.append(line)
        if wrote:
            if action.rule not in STOKING:
                self.done.discard(key)  # what was written may call for the same thing again
            self.times[key] += action.when is None
            if self.times[key] > AGAIN:
                raise DeadEnd(f"over and over: {action.rule}: {action.do}")
        if action.rule in ("read-now", "read-cooling"):
            self.done = {each for each in self.done if each[0] not in STOKING}
        at = self.world.now
        self.diary.append(Round(at, action.entry, action.rule, action.do, tuple(wrote)))
        self.tell(self.diary[-1])
