"""How long bricks soaked and boiled, and the water, pores and suction of one brick."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import datetime
from typing import Any, NamedTuple

from fieldbook.advice.derive import Known, missing, work
from fieldbook.advice.specimens import Brick
from fieldbook.calc import absorption
from fieldbook.records import Test, TestLine

COLD_HOURS, BOIL_HOURS = 24.0, 5.0
"""Soak and boil where the maker wrote none: ASTM C67."""


class Span(NamedTuple):
    """A soak or a boil."""

    what: str
    """`soak` or `boil`."""
    hours: float
    given: str
    """`written`, `logged` or `assumed`."""
    where: str
    began: datetime | None
    ended: datetime | None

    @property
    def words(self) -> str:
        """Its hours, and that nobody wrote them where that is so."""
        taken = " (not written: taken as the standard's)" if self.given == "assumed" else ""
        return f"{self.hours:g} h{taken}"

    @property
    def told(self) -> dict[str, Any]:
        """What a result says of it."""
        return {"hours": self.hours, "hours_given": self.given}


def span_of(test: Test, what: str) -> Span:
    """As written; else between its two log lines; else as the standard has it."""
    lines = [line for line in test.log if isinstance(line, TestLine)]
    began, ended = _last(lines, what, "began"), _last(lines, what, "ended")
    written = test.soaked_for if what == "soak" else test.boiled_for
    start, end = (began.at if began else None), (ended.at if ended else None)
    if written is not None and not written.is_bound:
        return Span(what, written.value, "written", written.where, start, end)
    if began and ended and ended.at > began.at:
        hours = (ended.at - began.at).total_seconds() / 3600
        return Span(what, round(hours, 4), "logged", ended.where, start, end)
    usual = COLD_HOURS if what == "soak" else BOIL_HOURS
    return Span(what, usual, "assumed", "", start, end)


def _last(lines: Iterable[TestLine], what: str, word: str) -> TestLine | None:
    found = [line for line in lines if getattr(line, what) == word]
    return found[-1] if found else None


Finder = Callable[[Brick], Known]


def taken_up(field: str) -> Finder:
    """Water taken up, from the dry mass to `soaked_mass` or `boiled_mass`."""

    def find(brick: Brick) -> Known:
        dry, wet = brick.take("dry_mass", field)
        return work(absorption.water_absorption, dry_mass=dry, soaked_mass=wet)

    return find


def coefficient(brick: Brick) -> Known:
    """Saturation coefficient."""
    dry, soaked, boiled = brick.take("dry_mass", "soaked_mass", "boiled_mass")
    formula = absorption.saturation_coefficient
    return work(formula, dry_mass=dry, soaked_mass=soaked, boiled_mass=boiled)


def hung(formula: Any) -> Finder:
    """A formula of the dry, the saturated and the hung mass of one saturation."""

    def find(brick: Brick) -> Known:
        dry, saturated, in_water = brick.take("dry_mass", brick.saturated, "suspended_mass")
        return work(formula, dry_mass=dry, saturated_mass=saturated, hung_mass=in_water)

    return find


def suction(brick: Brick) -> Known:
    """Initial rate of absorption of the face it stood on."""
    dry, minute = brick.take("dry_mass", "minute_mass")
    length, breadth, _ = (brick[field] for field in brick.sides)
    bored = brick["cores"].there or "cores" in brick.wrong
    cores = {"core_area": brick["cores"]} if bored else {}
    formula = absorption.initial_rate_of_absorption
    return work(formula, gain=_gain(dry, minute), length=length, breadth=breadth, **cores)


def _gain(dry: Known, wet: Known) -> Known:
    if not (dry.there and wet.there):
        return missing(*dry.needs, *wet.needs)
    return Known("gain", wet.number - dry.number, "kg", (*dry.inputs, *wet.inputs))
