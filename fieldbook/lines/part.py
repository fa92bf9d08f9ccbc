"""What a typed line says of one place, one brick or one moment.

A round of the kiln, or of the marked bricks, goes on one line: `540 C bottom 397 C top`. Each part
of it is an observation of its own.
"""

from datetime import datetime
from typing import NamedTuple

from fieldbook.lines.phrase import Phrase
from fieldbook.lines.times import TypedTime

READINGS = ("temperature", "glow", "cone")
"""What is read at a place."""


class Observation(NamedTuple):
    """What one typed line says."""

    at: datetime
    """When it was seen, with an offset."""
    fields: dict[str, object]
    """Field -> value ready for TOML, in the order typed; amounts as typed."""
    target: str
    """Where the fields go: `log`, `specimens` (of a test) or `unloaded` (of a firing)."""
    note: str | None
    """What was not understood, as typed."""
    words: str
    """All of it in plain words, on one line, with what `more` says."""
    questions: tuple[str, ...]
    """What must be answered before it can be kept."""
    name: str
    """The specimen that `fields` belong to; empty for other targets."""
    also: dict[str, object]
    """Log fields that were typed beside fields for another target."""
    more: tuple["Observation", ...] = ()
    """What else stood in the line: of other bricks, of other places, at other times."""

    def line(self, by: str | None = None) -> dict[str, object]:
        """Give what the log line at `at` holds; empty where there is nothing for the log.

        A note beside fields for another target goes into the log as well, for want of a place
        there, and names the specimen it is about.
        """
        line = dict(self.fields if self.target == "log" else self.also)
        if self.note is not None:
            about = f"specimen {self.name}: " if self.name else ""
            line["note"] = about + self.note
        if line and by:
            line["by"] = by
        return line


class Part:
    """One part of a line while it is read."""

    __slots__ = ("begins_with_place", "begun", "found", "lone_place", "name", "notes", "time")

    def __init__(self, time: TypedTime | None = None, begun: int = 0) -> None:
        self.found: dict[str, dict[str, object]] = {"log": {}}
        """Table -> what goes into it."""
        self.name = ""
        """The specimen it speaks of."""
        self.notes: list[tuple[int, int]] = []
        """Where in the text stands what was not understood."""
        self.lone_place: tuple[int, int] | None = None
        """Where a place was typed that belongs to no reading yet."""
        self.begins_with_place = False
        """Whether the place came first, so that all that follows it was seen there."""
        self.time, self.begun = time, begun
        """A time of its own, and where that was typed."""

    @property
    def is_filled(self) -> bool:
        """Whether there is more than words in it."""
        return any(self.found.values())

    def is_another(self, phrase: Phrase) -> bool:
        """Whether a phrase speaks of another brick, or of another place, than this part does."""
        log, fields = self.found["log"], phrase.fields
        if phrase.name:
            return self.name not in ("", phrase.name)
        if any(name in fields and fields[name] != log.get(name, fields[name]) for name in _BRICKS):
            return True
        place = log.get("place")
        if fields.get("place", place) != place:
            return place is not None and self._is_read_there
        if phrase.table == "unloaded":
            mine = self.found.get("unloaded", {})
            if "batch" in fields:
                return mine.get("batch", fields["batch"]) != fields["batch"]
            counted = mine.keys() & fields.keys()
            is_closed = not self.begins_with_place or bool(counted - {"faults"})
            return place is not None and is_closed
        probe = log.get("probe", "gas")
        return "temperature" in log and fields.get("probe", probe) != probe

    @property
    def _is_read_there(self) -> bool:
        """Whether something was seen at its place: a reading, or bricks that came out."""
        counted = self.found.get("unloaded", {}).keys() - {"batch"}
        return bool(counted) or not self.found["log"].keys().isdisjoint(READINGS)

    @property
    def waits_for_reading(self) -> bool:
        """Whether a place was typed, and nothing yet that was seen there."""
        return "place" in self.found["log"] and not self._is_read_there

    def keep(self, phrase: Phrase) -> str:
        """Add what a phrase says; gives what has to be asked where it does not go together."""
        table = self.found.setdefault(phrase.table, {})
        for field, value in phrase.fields.items():
            is_twice = field == "fuel" and field in table  # two feeds alike are two feeds
            if field != "faults" and (is_twice or table.get(field, value) != value):
                return f"There are two of {field} here. Write the second in a line of its own."
        self.begins_with_place |= phrase.fields.keys() == {"place"} and not self._is_read_there
        faults = [*_listed(table), *_listed(phrase.fields)]
        table.update(phrase.fields)
        if faults:
            table["faults"] = faults
        self.name = self.name or phrase.name
        return ""

    def settle_place(self) -> None:
        """A place belongs to a reading, or to what came out; alone it is a word of the note."""
        log, unloaded = self.found["log"], self.found.get("unloaded")
        if "place" not in log:
            return
        if not log.keys().isdisjoint(READINGS):
            if unloaded and self.begins_with_place:
                unloaded["place"] = log["place"]
            return
        if unloaded:
            unloaded["place"] = log.pop("place")
        elif self.lone_place:
            del log["place"]
            self.notes.append(self.lone_place)

    def takes(self, other: "Part") -> bool:
        """Take over counts that name no place of their own, or this one; False where it cannot."""
        counts = other.found.get("unloaded")
        if not counts or other.found["log"] or other.time is not self.time:
            return False
        mine = self.found.get("unloaded")
        if not mine or counts.get("place", mine.get("place")) != mine.get("place"):
            return False
        if counts.keys() & mine.keys() - {"place", "faults"}:
            return False
        self.keep(Phrase(counts, "unloaded"))
        self.notes += other.notes
        return True

    def add_words_of(self, other: "Part") -> None:
        """Take over the words of a part that holds nothing else."""
        if other.time and other.notes:
            other.notes.append((other.begun, min(start for start, _ in other.notes)))
        self.notes += other.notes

    def note(self, text: str) -> str | None:
        """Join what was not understood, as typed."""
        joined = list[tuple[int, int]]()
        for start, end in sorted(self.notes):
            if joined and not text[joined[-1][1] : start].strip(" ,;"):
                joined[-1] = (joined[-1][0], end)
            else:
                joined.append((start, end))
        return ", ".join(text[start:end].strip(" ,;") for start, end in joined) or None


_BRICKS = ("brick", "draw")


def _listed(table: dict[str, object]) -> list[object]:
    faults = table.get("faults", [])
    return faults if isinstance(faults, list) else []
