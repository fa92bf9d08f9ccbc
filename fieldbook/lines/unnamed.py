"""A place that the kiln does not name, and a brick that is not marked: which one is meant?

Imported only by a line that holds one.
"""

from collections.abc import Collection, Mapping

from fieldbook.lines.limits import Record, question

_SHOWN = 5
"""Names that are told at most; ours."""


def place(fields: Mapping[str, object], named: Collection[str], record: Record | None) -> str:
    """What is asked about a reading at another place; nothing where the log holds that place."""
    found = str(fields["place"])
    if fields.get("probe") in ("wall", "flue") or _is_logged(record, "place", found):
        return ""
    return question(f"Which place: {_listed(named, 'or')}? The kiln names no {found}.")


def brick(name: str, marked: Collection[str], record: Record | None) -> str:
    """What is asked about a brick without a mark; nothing where the log holds it."""
    if _is_logged(record, "brick", name):
        return ""
    known = _listed(marked, "and")
    return f"Which brick? Marked: {known}. Mark {name} first, or end with ! to keep it."


def _is_logged(record: Record | None, field: str, name: str) -> bool:
    if record is None:
        return False
    from datetime import UTC, datetime

    from fieldbook.lines.log_text import lines

    logged = lines(record()[1], (field.encode(),), datetime.now(UTC))
    return any(held.get(field) == name for _, held in logged)


def _listed(names: Collection[str], last: str) -> str:
    *first, end = names
    if len(first) >= _SHOWN:
        return f"{', '.join(first[:_SHOWN])} {last} others"
    return f"{', '.join(first)} {last} {end}" if first else end
