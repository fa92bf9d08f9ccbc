"""What a sheet is made from: the notebook as it was read at one moment."""

from __future__ import annotations

from dataclasses import field, replace
from datetime import datetime
from threading import Lock
from typing import TYPE_CHECKING

from fieldbook.frozen import frozen
from fieldbook.report.stock import Station

if TYPE_CHECKING:
    from fieldbook.advice.context import Context
    from fieldbook.advice.engine import Advice
    from fieldbook.report.units import Units
    from fieldbook.store.folder import Store
    from fieldbook.store.recent import Kept


@frozen
class Look:
    """The notebook at one moment, and what follows from it."""

    now: datetime
    store: Store
    context: Context
    advice: Advice
    stations: tuple[Station, ...]
    units: Units
    lost: tuple[Kept, ...] = ()
    """Lines saved lately that are not in their entry any more."""
    busy: Lock = field(default_factory=Lock, repr=False, compare=False)
    """Held while its context is in use: one thread at a time."""
    unreadable: tuple[str, ...] = ()
    """Files of entries that cannot be read, of those looked at."""
    fire: str = ""
    """The firing that burns, else the one that cools, else the one that is planned."""
    is_all: bool = True
    """Whether every entry was looked at; else only those touched last were."""
    first: str = ""
    """The one entry that was looked at again so far; empty once all were."""


def with_entry(before: Look, context: Context, now: datetime, address: str) -> Look:
    """An earlier look with one entry looked at again; the rest stands as it was."""
    from fieldbook.advice.engine import Advice, advise, in_turn

    again = advise(context, address)
    review = context.review(address)
    if review is not None:
        # All of it is worked out here: the sheet that shows it runs in another thread.
        list(review.results.items())
    rest = [action for action in before.advice.actions if action.entry != address]
    actions = in_turn((*again.actions, *rest), now)
    return replace(
        before,
        now=now,
        context=context,
        advice=Advice(tuple(actions), before.advice.overruled, before.advice.declined),
        first=address,
    )
