"""What a field may hold: the dimensions it takes, its name in speech, an example of it."""

from collections.abc import Sequence
from typing import NamedTuple


class Field(NamedTuple):
    """How a kind of field is read."""

    dimensions: tuple[str, ...]
    """The first that fits wins."""
    called: str
    example: str
    likely: str
    """The unit most likely meant where none is written."""
    signed: bool = False
    """Whether an amount below zero makes sense."""
    rough: float | None = None
    """Half-width of `~` in the canonical unit; one tenth of the value where None."""


FIELDS = {
    "length": Field(("length",), "a length", "240 mm", "mm"),
    "elevation": Field(("length",), "an elevation", "240 m", "m", signed=True),
    "mass": Field(("mass",), "a mass", "2.50 kg", "kg"),
    "volume": Field(("volume",), "a volume", "10 l", "l"),
    "temperature": Field(("temperature",), "a temperature", "560 C", "C", True, 25.0),
    "air_temperature": Field(("temperature",), "a temperature", "18 C", "C", True, 3.0),
    "difference": Field(("difference",), "a difference of temperature", "30 C", "C", True),
    "rate": Field(("rate",), "a climb in temperature", "50 C/h", "C/h", True),
    "force": Field(("force",), "a load", "41 kg", "kg"),
    "percent": Field(("percent",), "a share in per cent", "8 %", "%", True),
    "time": Field(("time",), "a length of time", "20 min", "h"),
    "density": Field(("density",), "a density", "1.6 kg/l", "kg/m3"),
    "area": Field(("area",), "an area", "120 cm2", "cm2"),
    "power": Field(("power",), "a power", "40 W", "W"),
    "energy": Field(("energy",), "an energy", "500 Wh", "Wh"),
    "charge": Field(("charge",), "a charge", "100 Ah", "Ah"),
    "voltage": Field(("voltage",), "a voltage", "12.6 V", "V", True),
    "current": Field(("current",), "a current", "3.5 A", "A", True),
    "flow": Field(("flow",), "a flow of air", "60 m3/h", "m3/h"),
    "pressure": Field(("pressure",), "a pressure", "120 Pa", "Pa", True),
    "conductivity": Field(("conductivity",), "a conductivity", "0.8 W/(m K)", "W/(m K)"),
    "calorific": Field(("calorific",), "a calorific value", "18.5 MJ/kg", "MJ/kg"),
    "speed": Field(("speed",), "a speed", "3 m/s", "m/s", True),
    "fuel": Field(("mass", "volume"), "a mass, a volume or a local measure", "8 kg", "kg"),
}
"""Kind of field -> how it is read."""

FIELDS["amount_of_fuel"] = FIELDS["mass_or_volume"] = FIELDS["fuel"]

CALLED = {field.dimensions[0]: field.called for field in reversed(FIELDS.values())}
"""Dimension -> its name in speech."""


def field_of(kinds: str | Sequence[str]) -> Field | None:
    """Give how a kind of field is read; of several kinds, how any of them is."""
    if isinstance(kinds, str):
        return FIELDS.get(kinds)
    fields = [FIELDS[kind] for kind in kinds]
    if len(fields) == 1:
        return fields[0]
    return fields[0]._replace(
        dimensions=tuple(dict.fromkeys(name for each in fields for name in each.dimensions)),
        called=" or ".join(dict.fromkeys(each.called for each in fields)),
        signed=any(each.signed for each in fields),
    )
