"""Results worked out when somebody asks: a plan beside a fire, the inside of bricks unloaded."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

from fieldbook.advice.results import Result


class LaterResults(dict[str, Result]):
    """A dict of results, some of which are made when one of them, or all, are first looked at.

    A notebook may hold a hundred finished firings; what to do next hangs on their counts and
    peaks, not on a march through each of them.
    """

    def __init__(
        self, known: dict[str, Result], names: frozenset[str], work: Callable[[], None]
    ) -> None:
        super().__init__(known)
        self._names = names
        self._work: Callable[[], None] | None = work

    def finish(self) -> None:
        """Work out what is left to work out."""
        work, self._work = self._work, None
        if work is not None:
            work()

    def _wanted(self, name: object) -> None:
        if self._work is not None and name in self._names:
            self.finish()

    def __getitem__(self, name: str) -> Result:
        self._wanted(name)
        return super().__getitem__(name)

    def get(self, name: str, default: Any = None) -> Any:
        """The result of a name, made now if it has to be."""
        self._wanted(name)
        return super().get(name, default)

    def __contains__(self, name: object) -> bool:
        self._wanted(name)
        return super().__contains__(name)

    def __iter__(self) -> Iterator[str]:
        self.finish()
        return super().__iter__()

    def __len__(self) -> int:
        self.finish()
        return super().__len__()

    def keys(self) -> Any:
        """All names."""
        self.finish()
        return super().keys()

    def items(self) -> Any:
        """All names with their results."""
        self.finish()
        return super().items()

    def values(self) -> Any:
        """All results."""
        self.finish()
        return super().values()
