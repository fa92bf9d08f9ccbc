"""Fields that two makers set differently: both values, who set each and when, and what holds."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from datetime import datetime
from typing import Any, NamedTuple

from fieldbook.records import Entry, Notebook
from fieldbook.report.entry import word
from fieldbook.report.units import clock
from fieldbook.report.values import spell

SETTINGS = "notebook.toml"


class Claim(NamedTuple):
    """One of the values, and whose it is, as far as git's history tells."""

    value: Any
    by: str = ""
    at: datetime | None = None


class Dispute(NamedTuple):
    """One field of an entry with its values."""

    address: str
    field: str
    claims: tuple[Claim, ...]
    holds: Any
    """The value that is in force until someone decides."""

    def text(self, now: datetime) -> str:
        """In one line, such as `batches/a: count is 90 (tomas, Thu 06 Aug 09:00) or 96 (…)`."""
        said = " or ".join(_claim(claim, now) for claim in self.claims)
        return f"{self.address}: {spell(self.field)} is {said}; {word(self.holds)} holds"

    def json(self) -> dict[str, Any]:
        """As `news --json` prints it."""
        claims = [
            {"value": word(c.value), "by": c.by or None, "at": c.at.isoformat() if c.at else None}
            for c in self.claims
        ]
        return {"entry": self.address, "field": self.field, "claims": claims}


WAY_OUT = "Set the right one, here or with: fieldbook set ENTRY FIELD=VALUE; that settles it."
"""How a dispute is ended."""


def _claim(claim: Claim, now: datetime) -> str:
    about = [part for part in (claim.by, clock(claim.at, now) if claim.at else "") if part]
    return word(claim.value) + (f" ({', '.join(about)})" if about else "")


def disputed_in(notebook: Notebook, among: Iterable[str] | None = None) -> Iterator[Entry]:
    """The entries that hold a dispute, of some or of all."""
    for address in notebook.addresses if among is None else among:
        entry = notebook.entry(address)
        if entry is not None and entry.disputed:
            yield entry


Told = Iterable[tuple[str, Iterable[tuple[Any, ...]]]]
"""By field its claims, each (value, by, at)."""


class Files(NamedTuple):
    """What is asked of the files of a notebook."""

    settings: Mapping[str, Any]
    """What `notebook.toml` says."""
    data: Callable[[str], Mapping[str, Any]]
    """What the file of an entry says, by its address."""
    claims: Callable[[str, Mapping[str, Any]], Told]
    """Who set what, by the path of a file and its table of disputes."""


def open_disputes(
    notebook: Notebook, files: Files, among: Iterable[str] | None = None
) -> list[Dispute]:
    """What needs a decision, with who set what; the settings first, then some entries or all."""
    found = []
    table = files.settings.get("disputed")
    if isinstance(table, Mapping) and table:
        told = files.claims(SETTINGS, table)
        found += disputes_at(SETTINGS, table, files.settings, told)
    for entry in disputed_in(notebook, among):
        told = files.claims(entry.path, entry.disputed)
        found += disputes_of(entry, files.data(entry.address), told)
    return found


def disputes_of(entry: Entry, data: Mapping[str, Any], known: Told) -> list[Dispute]:
    """The disputes of an entry.

    Args:
        entry: as it is.
        data: what its file says.
        known: by field its claims, each (value, by, at), as git's history tells.
    """
    return disputes_at(entry.address, entry.disputed, data, known)


def disputes_at(
    address: str,
    disputed: Mapping[str, Any],
    data: Mapping[str, Any],
    known: Told,
) -> list[Dispute]:
    """The same of any file, by its table of them; `notebook.toml` is no entry and may have one."""
    told = {field: tuple(Claim(*claim) for claim in claims) for field, claims in known}
    found = []
    for field, values in disputed.items():
        both = values if isinstance(values, list) else [values]
        claims = told.get(field) or tuple(Claim(value) for value in both)
        found.append(Dispute(address, field, claims, _at(data, field)))
    return found


def _at(data: Mapping[str, Any], field: str) -> Any:
    value: Any = data
    for part in field.split("."):
        value = value.get(part) if isinstance(value, Mapping) else None
    return value if value is not None else "neither"
