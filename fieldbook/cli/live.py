"""`fieldbook log ENTRY -`: observations from standard input, one a line, as they come.

A thermometer that is read by a machine says its temperature every second; such readings are held
back while they say nothing new. What a person types, and whatever is more than a bare reading, is
written at once.
"""

from __future__ import annotations

import io
import sys
from typing import TYPE_CHECKING

from fieldbook.cli.call import Call
from fieldbook.cli.log import now_in, understood, warn
from fieldbook.errors import FieldbookError
from fieldbook.store.bearings import Bearings
from fieldbook.store.observing import save
from fieldbook.text import clean

if TYPE_CHECKING:
    from fieldbook.advice.fire_stream import Stream
    from fieldbook.lines.reading import Observation

BARE = {"temperature", "place", "probe"}
"""All that a line from a thermometer holds; a line with anything else is never held back."""


def log_lines(call: Call, notebook: str, address: str, known: Bearings, by: str | None) -> int:
    """Save each line as it comes; one that cannot be saved is said and the next is taken."""
    if isinstance(sys.stdin, io.TextIOWrapper):
        sys.stdin.reconfigure(errors="replace")  # a byte of noise from a logger ends no log
    log = Lines(call, notebook, address, by or known.maker)
    failed = 0
    try:
        for line in sys.stdin:
            typed = line.strip()
            if not typed:
                continue
            try:
                log.take(understood(typed, known, now_in(call, known)))
            except FieldbookError as error:
                warn(f"{typed}: {error}")
                failed += 1
    finally:
        log.end()
    return 1 if failed else 0


class Lines:
    """The lines of one entry as they come: written, or held back until they say something new."""

    def __init__(self, call: Call, notebook: str, address: str, by: str | None) -> None:
        self.call, self.notebook, self.address, self.by = call, notebook, address, by
        self.from_a_pipe = not sys.stdin.isatty() and address.startswith("firings/")
        self.waiting: dict[str, Observation] = {}
        """The last reading held back at each place."""
        self.held_back = 0
        self._stream: Stream | None = None

    def take(self, observation: Observation) -> None:
        """Write an observation, or hold it back."""
        place = str(observation.fields.get("place", ""))
        if self.from_a_pipe and is_bare(observation):
            if not self.stream.worth(observation.at, str(observation.fields["temperature"]), place):
                self.waiting[place] = observation
                self.held_back += 1
                return
            self.waiting.pop(place, None)
        self._write(observation)

    def end(self) -> None:
        """Write the last reading that was held back at each place; say how many were."""
        for observation in self.waiting.values():
            try:
                self._write(observation)
            except FieldbookError as error:
                warn(f"{observation.words}: {error}")
            self.held_back -= 1
        self.waiting = {}
        if self.held_back:
            plural = "reading" if self.held_back == 1 else "readings"
            warn(f"{self.held_back} {plural} held back: no change that the thermometer can tell")

    @property
    def stream(self) -> Stream:
        """What tells a reading that says something new; made at the first reading."""
        if self._stream is None:
            from fieldbook.advice.fire_stream import Stream
            from fieldbook.records import Firing

            firing = self.call.notebook.entry(self.address)
            if not isinstance(firing, Firing):
                raise FieldbookError(f"{self.address} cannot be read: run fieldbook check")
            self._stream = Stream(self.call.context, firing)
        return self._stream

    def _write(self, observation: Observation) -> None:
        saved = save(self.notebook, self.address, observation, self.by)
        if self.call.shared.json:
            import json

            for each in saved:
                row = {"entry": each.address, "key": each.key, "line": each.line}
                print(json.dumps(row, ensure_ascii=False), flush=True)
            return
        place = f"{saved[0].address}.toml:{saved[0].line}"
        print(f"saved: {clean(observation.words)}  [{place}]", flush=True)


def is_bare(observation: Observation) -> bool:
    """Whether a line is a temperature at a place and nothing else: no word, no event, no doubt."""
    fields = observation.fields
    return (
        observation.target == "log"
        and observation.note is None
        and not observation.also
        and not observation.more
        and "temperature" in fields
        and fields.keys() <= BARE
    )
