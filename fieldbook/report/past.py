"""The notebook as it was: its fields of then, with every observation that had been made by then."""

from __future__ import annotations

from dataclasses import replace

from fieldbook.records import Entry, Firing, Notebook, Test


def with_observations(then: Notebook, now: Notebook, address: str) -> Notebook:
    """The notebook of then; to it come the lines that were noted by then and kept only later.

    A history knows a line from when it was kept, which may be weeks after it was seen. `address`
    is the entry in view, under its name of then; it and what it rests on get the lines.
    """
    entry = then.load(address)
    about = {address, *(_rests_on(entry) if entry is not None else ())}

    def load(wanted: str) -> Entry | None:
        was = then.load(wanted)
        known = now.load(wanted) if wanted in about else None
        if was is None or known is None or type(was) is not type(known):
            return was
        lines = {line.key: line for line in (*known.log, *was.log)}
        log = tuple(sorted(lines.values(), key=lambda line: (line.at, line.key)))
        return replace(was, log=log)

    return Notebook(settings=then.settings, addresses=then.addresses, load=load, now=then.now)


def _rests_on(entry: Entry) -> set[str]:
    """The entries whose observations belong to what is told of one."""
    if isinstance(entry, Firing):
        return {f"batches/{part.batch}" for part in entry.load if part.batch}
    if isinstance(entry, Test):
        return {f"batches/{entry.batch}", f"firings/{entry.firing}"}
    return set()
