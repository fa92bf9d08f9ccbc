"""What a sheet is made from: the notebook as it was read at one moment."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from typing import TYPE_CHECKING

from fieldbook.advice.context import Context
from fieldbook.advice.engine import Advice
from fieldbook.report.stock import Station
from fieldbook.report.units import Units

if TYPE_CHECKING:
    from fieldbook.store.folder import Store


@dataclass(frozen=True)
class Look:
    """The notebook at one moment, and what follows from it."""

    now: datetime
    store: Store
    context: Context
    advice: Advice
    stations: tuple[Station, ...]
    units: Units
    trouble: tuple[str, ...] = field(default=())
    """What could not be worked out, one line each."""
