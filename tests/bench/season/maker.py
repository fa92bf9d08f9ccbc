"""A maker who does the first thing `next` says, writes what it asks for, and waits till due."""

from collections import Counter
from datetime import timedelta
from typing import NamedTuple

from fieldbook.advice.context import Context
from fieldbook.advice.engine import advise
from tests.bench.season.hands import HANDS
from tests.bench.season.hands_at_fire import STOKING

AGAIN = 6
"""The same order so often, with the notebook no further, is an endless repetition."""


class Entry(NamedTuple):
    """A line of the diary."""

    at: object
    said: str
    wrote: tuple[str, ...]


class DeadEnd(Exception):
    """Nothing is to be done, or always the same, and the stack is not there."""


class Maker:
    """One season."""

    def __init__(self, world, notes):
        self.world, self.notes = world, notes
        self.diary = []
        self.done = set()
        self.times = Counter()

    def advice(self):
        now = self.world.now
        return advise(Context.of(self.notes.store.notebook(now), now)).actions

    def play(self, until, most=600):
        """Obey until there is a graded, sufficient stack."""
        for _ in range(most):
            context = Context.of(self.notes.store.notebook(self.world.now), self.world.now)
            if until(context):
                return
            self.turn(advise(context).actions)
        raise DeadEnd(f"no end after {most} turns")

    def turn(self, actions):
        now = self.world.now
        for action in actions:
            if action.when is not None and action.when > now:
                continue
            if self.key(action) not in self.done:
                self.do(action)
                return
        due = [a.when for a in actions if a.when is not None and a.when > now]
        if not due:
            said = "; ".join(f"{a.rule}: {a.do}" for a in actions) or "nothing"
            raise DeadEnd(f"{now}: nothing is left to do of: {said}")
        self.world.wait_until(min(due))

    @staticmethod
    def key(action):
        """What makes an order the same one: its rule, its entry and its reason."""
        return action.rule, action.entry, action.reason

    def do(self, action):
        self.times[action.rule, action.entry] += 1
        began = self.world.now
        hand = HANDS.get(action.rule)
        if hand is None:
            raise DeadEnd(f"no hand knows how to {action.rule}: {action.do} [{action.log}]")
        self.done.add(self.key(action))
        lines = list(hand(self.world, action, self.notes))
        wrote = []
        for line in lines:
            self.world.pass_time(timedelta(minutes=1))
            self.notes.write(self.world.now, action.entry, line)
            wrote.append(line)
        if lines and not action.when:
            # what was written may call for the same thing again
            self.done.discard(self.key(action))
            self.times[self.key(action)] += 1
            if self.times[self.key(action)] > AGAIN:
                raise DeadEnd(f"over and over: {action.rule}: {action.do}")
        if action.rule == "read-now":
            self.done = {key for key in self.done if key[0] not in STOKING}
        self.diary.append(Entry(began, f"{action.do} ({action.rule})", tuple(wrote)))
