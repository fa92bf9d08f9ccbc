"""What every entry and every log line has."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from datetime import datetime
from types import MappingProxyType
from typing import Any, ClassVar

from fieldbook.frozen import frozen
from fieldbook.quantities import Amount
from fieldbook.records import schema as s

NOWHERE: Mapping[str, int] = MappingProxyType({})


@frozen
class Moment:
    """A point in time as written: a whole day or a time of day."""

    at: datetime
    """Aware; of a whole day its noon in the notebook's zone."""
    half_hours: float
    """Half the span it may mean: 12 of a whole day, 0 of a time."""
    text: str
    where: str = ""


@frozen(kw_only=True)
class Line:
    """One observation: what every log line may hold."""

    at: datetime = field()
    where: str = ""
    key: str = ""

    by: str | None = s.text("who saw it")
    note: str | None = s.text("anything else, in your own words")
    hours: Amount | None = s.time_span("hours of work it took")
    cost: Amount | None = s.amount("money", "what it cost: a number and a currency code")
    declined: str | None = s.text("the rule whose advice is not taken now")
    because: str | None = s.text("why it is not taken now")


@frozen(kw_only=True)
class Entry:
    """What every kind of entry may hold."""

    folder: ClassVar[str]
    line_type: ClassVar[type[Line]]

    name: str
    lines_of: Mapping[str, int] = field(default_factory=dict, repr=False, compare=False)
    """The line in the file of each field, by its dotted path."""
    disputed: Mapping[str, Any] = field(default_factory=dict, repr=False)
    """Fields that two makers set differently, with both values as they were written."""

    title: str | None = s.text("a name as people say it")
    maker: str | None = s.text("who looks after it")
    note: str | None = s.text("anything else, in your own words")
    tags: tuple[str, ...] = s.texts("words to find it by")
    private: Any = s._field(s.Spec("flag_or_texts", "true, or the fields that are not shared"))
    log: tuple[Line, ...] = field(default=())

    @property
    def address(self) -> str:
        """The entry as `FOLDER/NAME`."""
        return f"{self.folder}/{self.name}"

    @property
    def path(self) -> str:
        """Its file, relative to the notebook."""
        return f"{self.folder}/{self.name}.toml"

    def where(self, field_path: str) -> str:
        """The file and line a field stands at; the file alone where it is not written."""
        line = self.lines_of.get(field_path)
        return f"{self.path}:{line}" if line else self.path
