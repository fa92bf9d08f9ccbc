"""What is worked out once: within a context, and from run to run for as long as it holds.

While something is worked out, what it looks at is noted: the entries, the lists of entries, the
clock, and other answers. A kept answer holds as long as those are the same, so that it is what
working it out again would give. Another answer is the same when it packs to the same bytes: a new
reading that leaves the stock of bricks as it was leaves alone all that follows from the stock.
What looked at the time itself is not kept from run to run; what only asked whether a moment is
past is kept until the next such moment.
"""

from __future__ import annotations

import pickle
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from datetime import datetime
from hashlib import blake2b
from importlib import import_module
from typing import TYPE_CHECKING, Any, Protocol

from fieldbook.records import Entry, Notebook
from fieldbook.records.packing import Name, packed, unpacked

if TYPE_CHECKING:
    from fieldbook.advice.context import Context

Work = Callable[["Context", str], Any]
"""A function of a module, of a context and an address: it can be found again by its name."""


class Shelf(Protocol):
    """Where answers lie between runs; it may lose any of them at any moment."""

    epoch: int
    """Grows when what was read may be older than the states told from then on."""

    def get(self, name: str) -> bytes | None:
        """What was put under a name."""

    def put(self, name: str, answer: bytes) -> None:
        """Keep an answer."""

    def state(self, address: str) -> str:
        """A word that changes when the entry's file does, or the names in a `FOLDER/`."""


@dataclass
class Uses:
    """What one answer rests on."""

    asked: set[str] = field(default_factory=set)
    """Addresses of entries, and `FOLDER/` where all of a kind were asked for."""
    answers: dict[str, Answer] = field(default_factory=dict)
    """Other answers, by name, in the order they were asked for."""
    since: datetime | None = None
    """The latest moment that was past; the answer does not hold before it."""
    until: datetime | None = None
    """The earliest moment that was not past; the answer does not hold from it on."""
    only_now: bool = False
    """It holds at this moment alone, or hangs on the order in which things were asked."""

    def passed(self, moment: datetime, is_past: bool) -> None:
        """Note that a moment was past, or was still to come."""
        if is_past:
            self.since = moment if self.since is None else max(self.since, moment)
        else:
            self.until = moment if self.until is None else min(self.until, moment)

    def holds_at(self, now: datetime) -> bool:
        """Whether the clock says it still holds."""
        begun = self.since is None or self.since <= now
        return begun and (self.until is None or now < self.until)


class Answer:
    """One answer: worked out in this run, or packed as it lay on the shelf."""

    def __init__(
        self,
        kept: Kept,
        uses: Uses,
        packed: bytes | None = None,
        value: Any = None,
        digest: str = "",
    ) -> None:
        self.uses = uses
        self._kept = kept
        self._packed = packed
        self._value = value
        self._is_open = packed is None
        self._digest = digest

    @property
    def value(self) -> Any:
        """The answer itself; unpacked when first asked for."""
        if not self._is_open and self._packed is not None:
            self._value = self._kept.unpacked(self._packed)
            self._is_open = True
        return self._value

    @property
    def packed(self) -> bytes:
        """The answer as it goes to the shelf."""
        if self._packed is None:
            self._packed = self._kept.packed(self._value)
        return self._packed

    @property
    def digest(self) -> str:
        """The same for the same answer."""
        if not self._digest:
            self._digest = blake2b(self.packed, digest_size=16).hexdigest()
        return self._digest


class Kept:
    """The answers of one context."""

    def __init__(self, context: Context, shelf: Shelf | None) -> None:
        self.context = context
        self.shelf = shelf
        self.answers: dict[str, Answer] = {}
        self.outer: Kept | None = None
        """Of an earlier moment: who asked for it; to them its clock stands, its entries count."""
        self._epoch = shelf.epoch if shelf is not None else 0
        self._checking: set[str] = set()
        """Kept answers that are being held against what they rest on."""
        self._stack: list[tuple[str, Uses]] = []
        """What is being worked out now, innermost last."""

    def once(self, work: Work, address: str) -> Any:
        """What `work` gives for an address: at hand, on the shelf, or worked out now."""
        answer = self._answer(_name(work, address), work, address)
        if self._stack:
            self._stack[-1][1].answers[_name(work, address)] = answer
        return answer.value

    def hold(self, work: Work, address: str, value: Any) -> None:
        """Take an answer as it is given."""
        self.answers[_name(work, address)] = Answer(self, Uses(), value=value)

    def in_hand(self, work: Work, address: str) -> bool:
        """Whether it is being worked out now, so that what asks for it goes without.

        What goes without would have it at another time, and so it is not kept between runs.
        """
        found = any(name == _name(work, address) for name, _ in self._stack)
        for _, uses in self._stack if found else ():
            uses.only_now = True
        return found

    def looked_at(self, address: str, entry: Entry | None, following: datetime | None) -> None:
        """Note that an entry was asked for, or all of a `FOLDER/`; and its first later line."""
        if self.outer is not None:
            self.outer.looked_at(address, None, None)
        if not self._stack:
            return
        uses = self._stack[-1][1]
        uses.asked.add(address)
        if entry is not None and entry.log:
            uses.passed(entry.log[-1].at, True)
        if following is not None:
            uses.passed(following, False)

    def clock(self) -> None:
        """Note that the time itself was asked for."""
        if self._stack:
            self._stack[-1][1].only_now = True

    def passed(self, moment: datetime, is_past: bool) -> None:
        """Note that a moment was compared with the clock."""
        if self._stack:
            self._stack[-1][1].passed(moment, is_past)

    def packed(self, value: Any) -> bytes:
        """A value as bytes; what belongs to the context goes by name."""
        return packed(value, _Names(self.context).name_of)

    def unpacked(self, data: bytes) -> Any:
        """A value out of its bytes."""
        stack, self._stack = self._stack, []  # entries that go by name were noted when it was made
        try:
            return unpacked(data, _Names(self.context).thing_of)
        finally:
            self._stack = stack

    def _answer(self, name: str, work: Work, address: str) -> Answer:
        if name not in self.answers:
            self.answers[name] = self._from_shelf(name) or self._worked_out(name, work, address)
        return self.answers[name]

    def _worked_out(self, name: str, work: Work, address: str) -> Answer:
        uses = Uses()
        self._stack.append((name, uses))
        try:
            answer = Answer(self, uses, value=work(self.context, address))
        finally:
            self._stack.pop()
        if self._is_current() and self.shelf is not None and not uses.only_now:
            rests_on = [(other, one.digest) for other, one in uses.answers.items()]
            asked = sorted(uses.asked)
            header = (self._state(asked), asked, uses.since, uses.until, rests_on)
            whole = (header, answer.packed, answer.digest)
            self.shelf.put(name, pickle.dumps(whole, protocol=5))
        return answer

    def _from_shelf(self, name: str) -> Answer | None:
        found = self.shelf.get(name) if self.shelf is not None and self._is_current() else None
        if found is None or name in self._checking:
            return None
        (state, asked, since, until, rests_on), answer, digest = pickle.loads(found)
        uses = Uses(set(asked), {}, since, until)
        if not uses.holds_at(self.context.present) or self._state(asked) != state:
            return None
        self._checking.add(name)
        try:
            if not all(self._again(other).digest == before for other, before in rests_on):
                return None
        finally:
            self._checking.discard(name)
        return Answer(self, uses, answer, digest=digest)

    def _is_current(self) -> bool:
        """Whether the shelf still tells the states of the entries that are read here."""
        return self.shelf is not None and self.shelf.epoch == self._epoch

    def _again(self, name: str) -> Answer:
        """The answer of a name as it is now."""
        place, _, address = name.partition(" ")
        module, _, function = place.partition(":")
        return self._answer(name, getattr(import_module(module), function), address)

    def _state(self, asked: Iterable[str]) -> str:
        assert self.shelf is not None, "only what goes to a shelf has a state"
        words = blake2b(digest_size=16)
        for address in asked:
            words.update(f"{address} {self.shelf.state(address)}\n".encode())
        return words.hexdigest()


def _name(work: Work, address: str) -> str:
    return f"{work.__module__}:{work.__qualname__} {address}"


class _Names:
    """What of a context goes by name, so that it is the same object when it is unpacked."""

    def __init__(self, context: Context) -> None:
        self._context = context
        self._errors = {id(error): name for name, error in context.instruments.errors.items()}

    def name_of(self, thing: Any) -> Name | None:
        """The name of what is not packed itself, and of an entry what it is the same for."""
        context = self._context
        if isinstance(thing, Entry):
            if context.notebook.known(thing.address) is not thing:
                return None
            return ("entry", thing.address, context.state_of(thing.address))
        if isinstance(thing, Notebook):
            return ("notebook",)
        if thing is context or thing is context.instruments:
            return ("context" if thing is context else "instruments",)
        name = self._errors.get(id(thing))
        return ("error", name) if name is not None else None

    def thing_of(self, name: Name) -> Any:
        """What goes by a name in this context."""
        match name[0]:
            case "entry":
                return self._context.notebook.entry(name[1])
            case "error":
                return self._context.instruments.error_of(name[1])
            case kind:
                return self._context if kind == "context" else getattr(self._context, kind)
