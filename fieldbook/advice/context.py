"""What reviews and rules stand in: the notebook, the moment, the instruments, other reviews."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date, datetime, time, timedelta, tzinfo
from typing import TYPE_CHECKING, TypeVar

from fieldbook.advice.keeping import Kept, Shelf
from fieldbook.calc.uncertainty import Instruments
from fieldbook.records import Notebook

if TYPE_CHECKING:
    from fieldbook.advice.review import Review

T = TypeVar("T")


class Context:
    """One notebook at one moment. What is worked out in it is worked out once, and shared."""

    def __init__(
        self, notebook: Notebook, now: datetime, instruments: Instruments, shelf: Shelf | None
    ) -> None:
        self.present = now
        """The moment, for those who answer to nobody; all others ask for `now`."""
        self.instruments = instruments
        self._kept = Kept(self, shelf)
        self.notebook = replace(notebook, watch=self._kept)

    @classmethod
    def of(cls, notebook: Notebook, now: datetime, shelf: Shelf | None = None) -> Context:
        """The context of a notebook that was read as of `now`; `shelf`: what earlier runs kept."""
        settings = notebook.settings
        return cls(notebook, now, Instruments.of(settings.instruments, settings.measures), shelf)

    def as_of(self, then: datetime) -> Context:
        """The same notebook at an earlier moment; what is asked there counts as asked here."""
        earlier = Context.of(self.notebook.as_of(then), then)
        earlier._kept.outer = self._kept
        return earlier

    @property
    def now(self) -> datetime:
        """The moment. Where only a comparison is wanted, `is_past` holds for longer."""
        self._kept.clock()
        return self.present

    @property
    def zone(self) -> tzinfo | None:
        """The notebook's own time zone."""
        return self.present.tzinfo

    def is_past(self, moment: datetime) -> bool:
        """Whether a moment has come."""
        is_past = moment <= self.present
        self._kept.passed(moment, is_past)
        return is_past

    def today(self, zone: tzinfo | None) -> date:
        """The day it is in a zone."""
        day = self.present.astimezone(zone).date()
        for start in (day, day + timedelta(days=1)):
            self.is_past(datetime.combine(start, time(), zone or self.zone))
        return day

    @property
    def midnight(self) -> datetime:
        """When today began: for what is told in days."""
        return datetime.combine(self.today(self.zone), time(), self.zone)

    def days_since(self, moment: datetime) -> int:
        """Whole days since a moment."""
        days = (self.present - moment).days
        for whole in (days, days + 1):
            self.is_past(moment + timedelta(days=whole))
        return days

    def once(self, work: Callable[[Context, str], T], address: str = "") -> T:
        """What `work(context, address)` gives: worked out once, and kept while it holds."""
        answer: T = self._kept.once(work, address)
        return answer

    def review(self, address: str) -> Review | None:
        """The review of an entry; None where it cannot be read or is being made now."""
        from fieldbook.advice.review import review_at

        if self._kept.in_hand(review_at, address):
            return None
        return self.once(review_at, address)

    def state_of(self, address: str) -> str:
        """A word that changes when an entry does, as far as it is seen now."""
        shelf = self._kept.shelf
        entry = self.notebook.known(address)
        return f"{shelf.state(address) if shelf else ''} {len(entry.log) if entry else 0}"

    def hold(self, review: Review) -> None:
        """Take a review as it is given, in place of one that would be made."""
        from fieldbook.advice.review import review_at

        self._kept.hold(review_at, review.entry.address, review)

    def hours_since(self, moment: datetime) -> float:
        """Hours from `moment` to now."""
        return (self.now - moment).total_seconds() / 3600
