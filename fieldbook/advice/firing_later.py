"""Results worked out when somebody asks: a plan beside a fire, the inside of bricks unloaded."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any

from fieldbook.advice.results import Result


class LaterResults(dict[str, Result]):
    """A dict of results, some of which are made when one of them, or all, are first looked at.

    A notebook may hold a hundred finished firings; what to do next hangs on their counts and
    peaks, not on a march through each of them.
    """

    def __init__(
        self, known: Mapping[str, Result], names: frozenset[str], work: Callable[[], None]
    ) -> None:
        super().__init__(known)
        self._names = names
        self._work = work
        self._is_at_it = False

    def __reduce__(self) -> tuple[Any, ...]:
        """Packed as it stands, with what is left to work out."""
        state = (self._names, self._work)
        return (_empty, (), state, None, iter(super().items()))

    def __setstate__(self, state: tuple[Any, ...]) -> None:
        self._names, self._work = state

    def finish(self) -> None:
        """Work out what is left to work out; asked again, `work` finds it at hand."""
        if not self._is_at_it:
            self.fill(self._work)

    def fill(self, work: Callable[[], None]) -> None:
        """Let `work` look at what is known so far, and add to it."""
        self._is_at_it = True
        try:
            work()
        finally:
            self._is_at_it = False

    def _wanted(self, name: object) -> None:
        if name in self._names:
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


def _empty() -> LaterResults:
    empty = LaterResults.__new__(LaterResults)
    empty._is_at_it = False
    return empty
