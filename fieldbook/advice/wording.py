"""Amounts in the sentences of actions: in the maker's units, with clock times in their zone."""

from __future__ import annotations

from datetime import date, datetime, tzinfo
from functools import cached_property
from typing import Protocol
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from fieldbook.quantities import convert, unit_sign
from fieldbook.records import Settings

DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def rounded(value: float, step: float) -> float:
    """The nearest whole number of steps, halves away from zero."""
    whole = int(abs(value) / step + 0.5) * step
    return whole if value >= 0 else -whole


def figures(value: float, step: float) -> str:
    """A number to the nearest step, without digits the step does not carry."""
    places = max(0, -_exponent(step))
    text = f"{rounded(value, step):.{places}f}"
    return text[1:] if text.startswith("-") and float(text) == 0 else text


def _exponent(step: float) -> int:
    return int(f"{step:e}".split("e")[1])


class Clock(Protocol):
    """What words of time hang on."""

    @property
    def zone(self) -> tzinfo | None:
        """The notebook's own time zone."""

    def today(self, zone: tzinfo | None) -> date:
        """The day it is in a zone."""

    def is_past(self, moment: datetime) -> bool:
        """Whether a moment has come."""


class Wording:
    """How one notebook likes its amounts said, as of one moment."""

    def __init__(self, settings: Settings, clock: Clock) -> None:
        show = settings.show
        self.units = {
            name: getattr(show, name, None) for name in ("temperature", "length", "mass", "volume")
        }
        self._zone = _zone(settings.timezone, clock.zone)
        self._clock = clock

    @cached_property
    def today(self) -> date:
        """The day it is there."""
        return self._clock.today(self._zone)

    def temperature(self, celsius: float) -> str:
        """A temperature to the nearest 5, or degree where water boils and below.

        In both units where the maker has named none.
        """
        return self._degrees(celsius, "degC", "degF", 5.0 if celsius >= 130 else 1.0)

    def difference(self, kelvin: float) -> str:
        """A difference of temperature to the nearest degree, or 5 from 20 on."""
        return self._degrees(kelvin, "delta_degC", "delta_degF", 5.0 if abs(kelvin) >= 20 else 1.0)

    def rate(self, kelvin_per_hour: float) -> str:
        """A climb or fall, `25 °C/h (45 °F/h)`."""
        step = 5.0 if abs(kelvin_per_hour) >= 20 else 1.0
        return self._degrees(kelvin_per_hour, "delta_degC", "delta_degF", step, "/h")

    def _degrees(self, value: float, metric: str, us: str, step: float, tail: str = "") -> str:
        chosen = self.units["temperature"]
        shown = {
            unit: f"{figures(convert(value, metric, unit), step)} {unit_sign(unit)}{tail}"
            for unit in (metric, us)
        }
        if chosen == "degF":
            return shown[us]
        return shown[metric] if chosen else f"{shown[metric]} ({shown[us]})"

    def mass(self, kilograms: float) -> str:
        """A mass: two figures or more, in kg or g unless the maker likes another unit."""
        chosen = self.units["mass"]
        if chosen in (None, "kg", "g"):
            return f"{_two(kilograms)} kg" if kilograms >= 1 else f"{_two(kilograms * 1000)} g"
        return f"{_two(convert(kilograms, 'kg', chosen))} {unit_sign(chosen)}"

    def energy(self, watt_hours: float) -> str:
        """An energy of a battery in watt-hours."""
        return f"{figures(watt_hours, 10 if watt_hours >= 100 else 1)} Wh"

    def length(self, metres: float) -> str:
        """A length to the millimetre, in metres from 2 m on."""
        chosen = self.units["length"]
        if chosen in (None, "mm", "m", "cm"):
            if metres >= 1:
                return f"{figures(metres, 0.01).rstrip('0').rstrip('.')} m"
            return f"{figures(metres * 1000, 1)} mm"
        value = convert(metres, "m", chosen)
        return f"{figures(value, 0.1)} {unit_sign(chosen)}"

    def volume(self, cubic_metres: float) -> str:
        """A volume in litres, or cubic metres from 1 m³ on."""
        chosen = self.units["volume"]
        if chosen in (None, "l", "m3"):
            if cubic_metres >= 1:
                return f"{figures(cubic_metres, 0.1)} m³"
            return f"{_two(cubic_metres * 1000)} l"
        return f"{_two(convert(cubic_metres, 'm3', chosen))} {unit_sign(chosen)}"

    def hours(self, hours: float) -> str:
        """A span of time: `35 min`, `3 h 20 min`, `4 days`."""
        minutes = hours * 60
        if minutes < 20:
            return f"{max(1, round(minutes))} min"
        whole = int(rounded(minutes, 5))
        if whole < 60:
            return f"{whole} min"
        if hours >= 48:
            return f"{figures(hours / 24, 1)} days"
        if hours >= 10:
            return f"{figures(hours, 1)} h"
        return f"{whole // 60} h {whole % 60} min" if whole % 60 else f"{whole // 60} h"

    def clock(self, when: datetime) -> str:
        """A moment: `14:10` today, `tomorrow 06:30`, `Thu 7 May 06:30`."""
        local = when.astimezone(self._zone)
        hour = f"{local.hour:02d}:{local.minute:02d}"
        days = (local.date() - self.today).days
        near = {0: hour, 1: f"tomorrow {hour}", -1: f"yesterday {hour}"}
        return near.get(days) or f"{self.day(when)} {hour}"

    def at(self, when: datetime) -> str:
        """A moment to do something at: `now`, `at 14:10`, `tomorrow at 06:30`, `on Thu 7 May at`.

        A time that is past is `now`.
        """
        local = when.astimezone(self._zone)
        hour = f"at {local.hour:02d}:{local.minute:02d}"
        days = (local.date() - self.today).days
        if self._clock.is_past(when):
            return "now"
        if days < 2:
            return f"tomorrow {hour}" if days else hour
        return f"on {self.day(when)} {hour}"

    def day(self, when: datetime) -> str:
        """A day: `today`, `tomorrow`, `Thu 7 May`."""
        local = when.astimezone(self._zone)
        days = (local.date() - self.today).days
        if days in (0, 1):
            return ("today", "tomorrow")[days]
        year = f" {local.year}" if abs(days) > 300 else ""
        return f"{DAYS[local.weekday()]} {local.day} {MONTHS[local.month - 1]}{year}"

    def days_between(self, first: object, final: object) -> str:
        """The bounds of a day that hold in 8 cases of 10, where there are any."""
        begins, ends = (datetime.fromisoformat(str(x)) if x else None for x in (first, final))
        if begins and ends:
            return f", between {self.day(begins)} and {self.day(ends)} in 8 cases of 10"
        return f", and not before {self.day(begins)} in 9 cases of 10" if begins else ""

    def local(self, moment: datetime) -> datetime:
        """A moment by the clock on the notebook's wall."""
        return moment.astimezone(self._zone)


def _zone(name: str | None, zone: tzinfo | None) -> tzinfo | None:
    try:
        return ZoneInfo(name) if name else zone
    except (ValueError, ZoneInfoNotFoundError):
        return zone


def _two(value: float) -> str:
    """At least two figures: `2.5`, `25`, `250`."""
    if value >= 10:
        return figures(value, 1 if value < 100 else 5)
    return figures(value, 0.1).removesuffix(".0")


def bricks(count: int) -> str:
    """`1 brick`, `180 bricks`."""
    return f"{count} brick" if count == 1 else f"{count} bricks"


def percent(value: float, step: float = 0.1) -> str:
    """`3.4 %`; whole per cent from 20 on."""
    return f"{figures(value, 1 if abs(value) >= 20 else step)} %"


def listed(words: list[str]) -> str:
    """`a`, `a and b`, `a, b and c`."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"
