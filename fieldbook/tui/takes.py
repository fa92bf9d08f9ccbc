"""What a field takes, for whoever is to fill it: its help, its words or units, names to choose."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from fieldbook.quantities import FIELDS
from fieldbook.report.values import spell
from fieldbook.store.typed import find_field, record_of
from fieldbook.tui.fields import help_of

if TYPE_CHECKING:
    from fieldbook.quantities import Amount
    from fieldbook.records import Spec

MANY = 6
"""Names that are told at most; ours."""


def takes(address: str, path: str, measures: Mapping[str, Amount], addresses: Sequence[str]) -> str:
    """Say what a field takes, in a line or two."""
    _, spec = find_field(record_of(address), path)
    said = help_of(spec._replace(required=False))
    if spec.dimensions:
        said = f"{spec.help}, such as {_example(spec, measures)}"
    elif spec.holds == "name":
        said = f"{spec.help}: {_names(spec, addresses)}"
    return f"{spell(path.rpartition('.')[2])}: {said}"


def _example(spec: Spec, measures: Mapping[str, Amount]) -> str:
    """An amount as it may be typed, in a measure of the maker's own where there is one."""
    is_filled = "volume" in spec.dimensions  # what a barrow or a bucket may measure
    own = [n for n, size in measures.items() if is_filled and size.dimension in spec.dimensions]
    likely = FIELDS[spec.dimensions[0]].likely if spec.dimensions[0] in FIELDS else ""
    return f"3 {own[0]}" if own else f"10 {likely}".strip()


def _names(spec: Spec, addresses: Sequence[str]) -> str:
    """The entries that may be meant."""
    folders = spec.refers.split()
    found = [address.partition("/")[2] for address in addresses if address.split("/")[0] in folders]
    if not found:
        return f"none of the {' and '.join(folders)} is there yet"
    more = f" and {len(found) - MANY} more" if len(found) > MANY else ""
    return ", ".join(found[-MANY:]) + more
