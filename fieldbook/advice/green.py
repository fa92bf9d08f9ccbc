"""What rules ask of bricks that are not fired yet: do they wait, how wet are they, are they dry."""

from __future__ import annotations

import math

from fieldbook.advice.context import Context
from fieldbook.advice.events import in_fire, unfired
from fieldbook.advice.rules import Case
from fieldbook.advice.stock import begun
from fieldbook.advice.wording import bricks
from fieldbook.records import Batch, Kiln

TARGET = 3.0
"""% of the dry mass: dry enough to fire where the maker has set nothing; common practice."""
SOFT = 10.0
"""% of the dry mass above which a brick is still soft; common practice."""


LEFTOVER = 0.25
"""of a batch that went to the fire: fewer that stayed behind go along some day, unasked; common
practice."""


def drying(case: Case) -> bool:
    """Whether bricks of the batch still wait for a fire and are in no kiln."""
    if not moulded(case):
        return False
    left = left_green(case)
    if left is None or not case.entry.count:
        return True
    in_the_fire = bool(in_fire(case.context, case.entry))
    return left > 0 and not (in_the_fire and left < small_rest(case.context, case.entry))


def small_rest(context: Context, batch: Batch) -> float:
    """Fewer than these that stayed behind, when the others of a batch were fired, are a rest.

    What fills half of the smallest kiln is worth a fire of its own.
    """
    halves = (half for kiln in context.notebook.of(Kiln) if (half := half_load(kiln)))
    return min(LEFTOVER * (batch.count or 0), *halves, math.inf)


def half_load(kiln: Kiln) -> int | None:
    """Bricks that fill half of a kiln: fewer are not worth the wood that heats it."""
    return math.ceil(kiln.capacity / 2) if kiln.capacity else None


def moulded(case: Case) -> bool:
    """Whether the batch exists yet: its day of moulding is not written, or is here."""
    day = case.entry.moulded
    return day is None or begun(day, case.context)


def left_green(case: Case) -> int | None:
    """Bricks not yet fired, sold, cracked or broken; None where the count is not written."""
    counts = case.fact("counts")
    if isinstance(counts, dict) and "green" in counts:
        return None if counts["green"] is None else int(counts["green"])
    return unfired(case.context, case.entry)


def target(case: Case) -> float:
    """The moisture that is dry enough [% of the dry mass]: of the batch, else of the notebook."""
    practice = case.context.notebook.settings.practice
    for amount in (case.entry.target_moisture, practice and practice.target_moisture):
        if amount and not amount.is_bound:
            return float(amount.value)
    return TARGET


def wettest(case: Case) -> float | None:
    """The moisture of the wettest marked brick, or of the batch [% of the dry mass]."""
    result = case.result("moisture")
    if result is None:
        return None
    each = [float(value) for value in result.each.values() if isinstance(value, int | float)]
    return max([result.number, *each])


def age_in_days(case: Case) -> float | None:
    """Days since moulding, or None where that is not written."""
    moulded = case.entry.moulded
    return case.context.hours_since(moulded.at) / 24 if moulded else None


def still_soft(case: Case) -> bool:
    """Whether the bricks are known to be soft: by moisture, by stage, or less than 3 days old."""
    moisture, age = case.number("moisture"), age_in_days(case)
    if moisture is not None:
        return moisture > SOFT
    return case.word("drying_stage") == "shrinking" or (age is not None and 0 <= age < 3)


def stack(case: Case) -> str:
    """What is left to fire, in words."""
    left = left_green(case)
    return f"the {bricks(left)}" if left else "the bricks"


def doubt(case: Case) -> float:
    """The uncertainty of the moisture [% of the dry mass]."""
    result = case.result("moisture")
    return result.plus_minus or 0.0 if result else 0.0
