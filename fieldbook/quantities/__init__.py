"""Text to amounts and back; units. Nothing here loads pint before it is needed."""

from typing import Any

from fieldbook.errors import Unreadable
from fieldbook.quantities.amount import Amount
from fieldbook.quantities.fields import FIELDS
from fieldbook.quantities.finding import convert, unit_of
from fieldbook.quantities.formula import in_units
from fieldbook.quantities.reading import read_amount
from fieldbook.quantities.showing import preferred, show, show_amount, unit_sign
from fieldbook.quantities.table import CANONICAL

__all__ = [
    "CANONICAL",
    "FIELDS",
    "Amount",
    "Quantity",
    "Unreadable",
    "convert",
    "in_units",
    "preferred",
    "quantity",
    "read_amount",
    "show",
    "show_amount",
    "unit_of",
    "unit_sign",
    "units",
]


def __getattr__(name: str) -> Any:
    if name in ("Quantity", "quantity", "units"):
        from fieldbook.quantities import registry

        return getattr(registry, name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
