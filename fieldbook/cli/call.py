"""One call of the program: what stands before and after every command."""

from __future__ import annotations

import os
import sys
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any, NamedTuple

from fieldbook.errors import Unreadable, WrongUse

if TYPE_CHECKING:
    from pathlib import Path

    from fieldbook.advice.context import Context
    from fieldbook.records import Notebook
    from fieldbook.store.folder import Store

UNITS = ("metric", "us", "as-written")
TAKES_A_WORD = {"--now", "--notebook", "--units"}
STANDS_ALONE = {"--json"}


class Shared(NamedTuple):
    """The options that every command takes, as typed."""

    json: bool = False
    now: str | None = None
    notebook: str | None = None
    units: str | None = None


def split(argv: list[str]) -> tuple[Shared, list[str]]:
    """Take the shared options out of the words, wherever they stand; `--` ends the options."""
    taken: dict[str, Any] = {}
    rest: list[str] = []
    words = iter(argv)
    for word in words:
        if word == "--":
            rest += ["--", *words]
            break
        option, equals, value = word.partition("=")
        if option in STANDS_ALONE and not equals:
            taken[option[2:]] = True
        elif option in TAKES_A_WORD:
            taken[option[2:]] = value if equals else next(words, None)
            if taken[option[2:]] is None:
                raise WrongUse(f"{option} needs a word after it")
        else:
            rest.append(word)
    shared = Shared(**taken)
    if shared.units not in (None, *UNITS):
        raise WrongUse(f"--units is one of {', '.join(UNITS)}, not {shared.units!r}")
    return shared, rest


class Call:
    """What a command works with. The store and all behind it are opened when first asked for."""

    def __init__(self, shared: Shared) -> None:
        self.shared = shared
        self._store: Store | None = None
        self._notebook: Notebook | None = None
        self._context: Context | None = None

    @property
    def folder(self) -> Path:
        """Where to look for the notebook."""
        from pathlib import Path

        return Path(self.shared.notebook or os.environ.get("FIELDBOOK_NOTEBOOK") or ".")

    @property
    def store(self) -> Store:
        """The notebook's folder."""
        if self._store is None:
            from fieldbook.store.folder import Store

            self._store = Store.find(self.folder)
        return self._store

    @property
    def clock(self) -> datetime:
        """`--now`, or the time of day."""
        if self.shared.now is None:
            return datetime.now(UTC).astimezone(self.store.zone).replace(microsecond=0)
        return moment(self.shared.now, self.store.zone)

    @property
    def notebook(self) -> Notebook:
        """Every entry as of now."""
        if self._notebook is None:
            self._notebook = self.store.notebook(self.clock)
        return self._notebook

    @property
    def context(self) -> Context:
        """What reviews and rules stand in."""
        if self._context is None:
            from fieldbook.advice.context import Context

            notebook = self._in_units_asked_for(self.notebook)
            # The units asked for change the words of answers: what is kept is in the notebook's.
            shelf = self.store.shelf if notebook is self.notebook else None
            self._context = Context.of(notebook, self.clock, shelf)
        return self._context

    def _in_units_asked_for(self, notebook: Notebook) -> Notebook:
        """The notebook with `--units` in place of the units it is set to."""
        if self.shared.units in (None, "as-written"):
            return notebook
        from dataclasses import replace

        from fieldbook.quantities import preferred
        from fieldbook.records import Show

        units = preferred(str(self.shared.units))
        show = Show(**{name: units[name] for name in ("temperature", "length", "mass", "volume")})
        return replace(notebook, settings=replace(notebook.settings, show=show))

    def close(self) -> None:
        """Keep what was worked out, for the next run."""
        if self._store is not None:
            self._store.keep()

    @property
    def width(self) -> int:
        """Columns to write in; 0 where the output is no terminal and lines are not broken."""
        if not sys.stdout.isatty():
            return 0
        return min(os.get_terminal_size(sys.stdout.fileno()).columns or 80, 100)

    def write_json(self, answer: Any) -> None:
        """Print an answer as JSON, the same on every machine."""
        import json

        print(json.dumps(answer, indent=2, ensure_ascii=False, allow_nan=False))


def moment(text: str, zone: Any) -> datetime:
    """A TIME as typed; without an offset it is in the notebook's zone, and a day is its noon."""
    from fieldbook.lines.toml_text import read_key

    is_day = len(text) == 10 and text[4] == text[7] == "-"
    try:
        return read_key(f"{text} 12:00" if is_day else text, zone)
    except Unreadable as error:
        raise WrongUse(
            f"--now {text!r} is no time: write it like 2026-05-03 14:10, or with an offset: +01:00"
        ) from error
