"""A sheet: one view of the notebook. It turns what was read into rows and decides nothing."""

from __future__ import annotations

from abc import ABC, abstractmethod
from typing import ClassVar, NamedTuple

from fieldbook.tui.keys import Key
from fieldbook.tui.look import Look
from fieldbook.tui.rows import Page


class Paper(NamedTuple):
    """What a page is written on."""

    width: int
    height: int
    ascii_only: bool = False


class Sheet(ABC):
    """One view. `page` runs beside the screen, so it may take its time."""

    name: ClassVar[str]
    """What it is called in the help."""
    says: ClassVar[str]
    """What it shows, in a sentence."""
    keys: ClassVar[tuple[Key, ...]] = ()
    """The keys it has beside those that hold everywhere."""
    station: str = ""
    """Where it lies on the map; empty where nowhere."""
    address: str = ""
    """The entry it is about; empty where it is about several."""

    @abstractmethod
    def page(self, look: Look, paper: Paper) -> Page:
        """Everything it shows."""

    @property
    def title(self) -> str:
        """What stands over it before it is made."""
        return self.address or self.station.capitalize() or "What to do now"

    @property
    def key(self) -> str:
        """What tells it from other sheets."""
        return f"{self.name} {self.address} {self.station}"
