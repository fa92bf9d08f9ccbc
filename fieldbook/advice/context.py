"""What reviews and rules stand in: the notebook, the moment, the instruments, other reviews."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from typing import TYPE_CHECKING, Any

from fieldbook.calc.uncertainty import Instruments
from fieldbook.records import Entry, Notebook

if TYPE_CHECKING:
    from fieldbook.advice.review import Review


@dataclass
class Context:
    """One notebook at one moment. Reviews are made once each and shared."""

    notebook: Notebook
    now: datetime
    instruments: Instruments
    _reviews: dict[str, Review] = field(default_factory=dict, repr=False)
    _in_hand: set[str] = field(default_factory=set, repr=False)
    shared: dict[str, Any] = field(default_factory=dict, repr=False)
    """What is worked out once for the whole notebook, such as the stock."""

    @classmethod
    def of(cls, notebook: Notebook, now: datetime) -> Context:
        """The context of a notebook that was read as of `now`."""
        settings = notebook.settings
        return cls(notebook, now, Instruments.of(settings.instruments, settings.measures))

    def review(self, address: str) -> Review | None:
        """The review of another entry; None where it cannot be read or is being made now."""
        if address in self._reviews:
            return self._reviews[address]
        entry = self.notebook.entry(address)
        if entry is None or address in self._in_hand:
            return None
        from fieldbook.advice.review import review_in

        self._in_hand.add(address)
        try:
            self._reviews[address] = review_in(entry, self)
        finally:
            self._in_hand.discard(address)
        return self._reviews[address]

    def reviews_of(self, record: type[Entry]) -> list[Review]:
        """The reviews of all entries of one kind, by name."""
        found = (self.review(entry.address) for entry in self.notebook.of(record))
        return [review for review in found if review is not None]

    def hours_since(self, moment: datetime) -> float:
        """Hours from `moment` to now."""
        return (self.now - moment).total_seconds() / 3600
