"""Which readings of a stream from a thermometer are worth a line of the log."""

from __future__ import annotations

from datetime import datetime

from fieldbook.advice.context import Context
from fieldbook.advice.firing_phase import every_of
from fieldbook.calc.readings import reading_interval
from fieldbook.quantities import read_amount
from fieldbook.records import Firing

Written = tuple[datetime, float]
"""When and at what [degC] a line was written."""


class Stream:
    """Readings as they come, a second apart; those that say nothing new are held back.

    A reading is worth a line where it differs from the last one written at its place by more than
    the thermometer tells apart, or where the reading interval in force is past. What the whole
    thermometer is out by is the same for both and counts for nothing in a difference.
    """

    def __init__(self, context: Context, firing: Firing) -> None:
        thermometer = context.instruments.instrument("thermometer")
        error = thermometer.error
        self.step = thermometer.step or (error.absolute if error else 0.0)
        self.every, _ = every_of(firing, context.notebook)
        self._written: dict[str, tuple[Written, Written | None]] = {}

    def worth(self, at: datetime, temperature: str, place: str) -> bool:
        """Whether to write a reading now; one that is written is remembered."""
        amount = read_amount(temperature, "temperature")
        if amount.is_bound or amount.how != "digit":
            return True
        known = self._written.get(place)
        new = (at, amount.value)
        if known is not None and not self._differs(new, *known, digit=2 * amount.half):
            return False
        self._written[place] = (new, known[0] if known else None)
        return True

    def _differs(self, new: Written, last: Written, before: Written | None, digit: float) -> bool:
        since = (new[0] - last[0]).total_seconds() / 3600
        slope = 0.0
        if before is not None and last[0] > before[0]:
            slope = (last[1] - before[1]) / ((last[0] - before[0]).total_seconds() / 3600)
        interval = self.every or reading_interval(last[1], slope)
        return since >= interval or since < 0 or abs(new[1] - last[1]) > max(self.step, digit)
