"""A recommended action, and the order in which actions are taken."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from datetime import datetime
from enum import IntEnum
from typing import Any

from fieldbook.advice.results import _plain
from fieldbook.frozen import frozen


class Urgency(IntEnum):
    """What an action is for; the lower, the sooner it is done."""

    PEOPLE = 0
    WARE = 1
    TIMED = 2
    BLOCKING = 3
    TEACHING = 4


@frozen(kw_only=True)
class Action:
    """What to do: when, how much, why."""

    action: str
    """One word or a few, joined by hyphens: `hold`, `weigh`, `open-kiln`."""
    entry: str
    """The entry it is about, as `FOLDER/NAME`."""
    when: datetime | None
    """When it is due; None: now."""
    do: str
    """One imperative sentence with its amount."""
    why: str
    """One sentence with its numbers."""
    rule: str
    source: str
    urgency: Urgency
    numbers: Mapping[str, Any] = field(default_factory=dict)
    """The values the reason rests on: name to `[value, unit]`."""
    caution: str | None = None
    log: str = ""
    """The observation line that answers it, with blanks as `…`."""
    rests_on: tuple[str, ...] = ()
    """Names of derived values it follows from."""
    settled_by: str = ""
    """What observation would make it go away."""
    reason: str = ""
    """A few words that change when the reason does; a declined action comes back when they do."""
    topic: str = ""
    """Actions of one entry on one topic exclude each other: the more urgent stays."""
    place: tuple[int, int] = (0, 0)
    """Where its rule stands in the order of the work."""

    def json(self) -> dict[str, Any]:
        """As `next --json` prints it."""
        return {
            "action": self.action,
            "entry": self.entry,
            "when": self.when.isoformat() if self.when else "now",
            "do": self.do,
            "why": self.why,
            "numbers": _plain(self.numbers),
            "rule": self.rule,
            "source": self.source,
            "caution": self.caution,
            "log": self.log,
        }
