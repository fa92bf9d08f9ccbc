"""What is asked before a line is kept: what cannot be right, by itself or after what is known."""

from collections.abc import Collection, Iterable, Mapping
from datetime import datetime

from fieldbook.lines import limits
from fieldbook.lines.part import READINGS, Observation


class Doubts:
    """What is known of an entry, against which each part of a line is held."""

    def __init__(
        self,
        kind: str,
        bricks: Collection[str],
        places: Iterable[str],
        bricks_there: int | None,
        record: limits.Record | None,
    ) -> None:
        self.kind, self.bricks, self.bricks_there, self.record = kind, bricks, bricks_there, record
        self.places: Collection[str] = ()
        if isinstance(places, Mapping) and any(places.values()):
            self.places = places
        """All places there are, where the kiln names its own."""

    def after(self, former: Observation) -> None:
        """What follows in the line is held against this part as well."""
        if self.record:
            from fieldbook.lines.log_text import Grown

            self.record = Grown(self.record, former.at, former.line())

    def of(self, seen: dict[str, object], name: str, at: datetime) -> list[str]:
        """What is to be asked of one part; `name` is the specimen it speaks of."""
        brick = name or str(seen.get("brick", ""))
        row = self.bricks.get(brick) if isinstance(self.bricks, Mapping) else None
        last = None
        if self.record and brick and "mass" in seen:
            from fieldbook.lines.so_far import last_weighed

            last = last_weighed(self.record()[1], brick, at)
        wrong = limits.questions(seen, row if isinstance(row, Mapping) else None, last)
        wrong = wrong or limits.so_far(seen, at, self.record, self.kind == "firing")
        return [*filter(None, (self._unnamed(seen, brick),)), *wrong]

    def _unnamed(self, seen: dict[str, object], brick: str) -> str:
        """Ask about a place that the kiln does not name, or a brick that is not marked."""
        bricks, places = self.bricks, self.places
        is_marked = self.kind != "batch" or not isinstance(bricks, Mapping) or brick in bricks
        if brick and bricks and not is_marked:
            from fieldbook.lines import unnamed

            return unnamed.brick(brick, bricks, self.record)
        if not places or seen.get("place") in (None, *places) or seen.keys().isdisjoint(READINGS):
            return ""
        from fieldbook.lines import unnamed

        return unnamed.place(seen, places, self.record)

    def of_counts(self, observed: list[Observation]) -> list[str]:
        """What is to be asked where more bricks are counted, in all parts, than there are."""
        counts: dict[str, int] = {}
        for each in observed:
            for field, count in each.fields.items():
                if isinstance(count, int):
                    counts[field] = counts.get(field, 0) + count
        return limits.too_many(counts, self.bricks_there)
