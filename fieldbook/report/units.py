"""In which units a notebook is shown: what the maker set, or a system asked for."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, NamedTuple

from fieldbook.quantities import preferred, show
from fieldbook.quantities.finding import find_unit
from fieldbook.records import Settings
from fieldbook.report.clock import clock

__all__ = ["CONVERTIBLE", "FINEST", "Units", "clock"]

CONVERTIBLE = {
    "°C": ("degC", "temperature"),
    "K": ("delta_degC", "difference"),
    "K/h": ("delta_degC/h", "rate"),
    "kg": ("kg", "mass"),
    "m": ("m", "length"),
    "mm": ("mm", "length"),
    "m³": ("m3", "volume"),
    "kg/m³": ("kg/m3", "density"),
}
"""Unit of a result: its name in the table of units, and the dimension people choose a unit for."""


COUNTED = ("bricks", "firings")
"""Units that are counted, so that one of them is one."""
FINEST = 1e-4
"""Below this, in the unit of a result, a number is shown as nothing."""


class Units(NamedTuple):
    """The unit of each dimension; a dimension that is not in it is shown as it comes."""

    of: Mapping[str, str]
    ascii_only: bool = False

    @classmethod
    def for_notebook(
        cls, settings: Settings, system: str | None = None, *, ascii_only: bool = False
    ) -> Units:
        """What `notebook.toml` sets, or the system that was asked for."""
        if system and system != "as-written":
            return cls(preferred(system), ascii_only)
        chosen: dict[str, Any] = {}
        for dimension in ("temperature", "length", "mass", "volume"):
            written = settings.show and getattr(settings.show, dimension)
            if written and find_unit(written, dimension) is not None:
                chosen[dimension] = written
        return cls(preferred("as-written", chosen), ascii_only)

    def say(
        self, value: float, unit: str | None, half: float | None = None, *, with_half: bool = False
    ) -> str:
        """A number in the unit people here read, no finer than anyone could measure."""
        if abs(value) < FINEST:
            value = 0.0
        if half is not None:
            half = max(half, FINEST)
        if unit in CONVERTIBLE:
            name, dimension = CONVERTIBLE[unit]
            return show(
                value,
                name,
                half,
                to=self.of.get(dimension),
                ascii_only=self.ascii_only,
                with_half=with_half,
            )
        if unit == "1":
            unit = None
        bare = show(value, "", half, with_half=with_half, ascii_only=self.ascii_only)
        if bare == "1" and unit in COUNTED:
            unit = unit[:-1]
        return f"{bare} {unit or ''}".rstrip()
