"""From an entry to all that follows from it: the door to the physics."""

from __future__ import annotations

import importlib
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from fieldbook.advice.context import Context
from fieldbook.advice.results import Result, Verdict
from fieldbook.errors import FieldbookError, Problem
from fieldbook.records import FOLDERS, Entry, Notebook


@dataclass(kw_only=True)
class Review:
    """An entry with its derived values, verdicts, problems and cautions."""

    entry: Entry
    results: dict[str, Result] = field(default_factory=dict)
    verdicts: list[Verdict] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)
    cautions: list[str] = field(default_factory=list)
    model: Any = None
    """What a review keeps for curves and for rules: a drying fit, a firing state."""
    facts: Mapping[str, Any] = field(default_factory=dict)
    """Plain facts that rules ask for and that are no derived value, such as `phase`."""

    def add(self, result: Result) -> Result:
        """Take up one derived value."""
        self.results[result.name] = result
        return result

    def get(self, name: str) -> Result | None:
        """A derived value that is known, or None."""
        result = self.results.get(name)
        return result if result is not None and result.known else None

    def number(self, name: str) -> float | None:
        """The value of a derived number that is known, or None."""
        result = self.get(name)
        return result.number if result is not None else None

    def question(self, field_path: str, what: str, remedy: str) -> None:
        """Point out something that cannot be right, at a field of the entry."""
        line = self.entry.lines_of.get(field_path)
        self.problems.append(Problem(self.entry.path, line, what, remedy))

    def question_at(self, where: str, what: str, remedy: str) -> None:
        """Point out something that cannot be right, at a `FILE:LINE`."""
        path, _, line = where.rpartition(":")
        if line.isdigit():
            self.problems.append(Problem(path, int(line), what, remedy))
        else:
            self.problems.append(Problem(where, None, what, remedy))


def review(entry: Entry, notebook: Notebook, now: datetime) -> Review:
    """All that follows from an entry as of `now`."""
    return review_in(entry, Context.of(notebook, now))


def review_at(context: Context, address: str) -> Review | None:
    """The review of the entry at an address; None where it cannot be read."""
    entry = context.notebook.entry(address)
    return review_in(entry, context) if entry is not None else None


def review_in(entry: Entry, context: Context) -> Review:
    """The same within a context that shares the reviews of other entries."""
    kind = FOLDERS[entry.folder]
    module = importlib.import_module(f"fieldbook.advice.reviews.{kind}")
    fill: Callable[[Review, Context], None] = module.fill
    made = Review(entry=entry)
    try:
        fill(made, context)
    except FieldbookError as refusal:
        remedy = "Look for a slip in its figures; what could be derived before it stands."
        made.problems.append(Problem(entry.path, None, str(refusal), remedy))
    return made
