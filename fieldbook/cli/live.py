"""`fieldbook log ENTRY -`: observations from standard input, one a line, as they come."""

from __future__ import annotations

import io
import sys

from fieldbook.cli.call import Call
from fieldbook.cli.log import now_in, understood, warn
from fieldbook.errors import FieldbookError
from fieldbook.store.bearings import Bearings
from fieldbook.store.observing import save
from fieldbook.text import clean


def log_lines(call: Call, notebook: str, address: str, known: Bearings, by: str | None) -> int:
    """Save each line as it comes; one that cannot be saved is said and the next is taken."""
    if isinstance(sys.stdin, io.TextIOWrapper):
        sys.stdin.reconfigure(errors="replace")  # a byte of noise from a logger ends no log
    failed = 0
    for line in sys.stdin:
        typed = line.strip()
        if not typed:
            continue
        try:
            observation = understood(typed, known, now_in(call, known))
            saved = save(notebook, address, observation, by or known.maker)
        except FieldbookError as error:
            warn(f"{typed}: {error}")
            failed += 1
            continue
        place = f"{saved[0].address}.toml:{saved[0].line}"
        print(f"saved: {clean(observation.words)}  [{place}]", flush=True)
    return 1 if failed else 0
