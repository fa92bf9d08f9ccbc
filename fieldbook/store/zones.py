"""The notebook's time zone, and the format it is written in."""

import os
from datetime import UTC, tzinfo
from typing import Any

from fieldbook.errors import FieldbookError

FORMAT = 1


def zone_of(name: object) -> tzinfo | None:
    """Give the time zone of an IANA name; None where there is none of that name."""
    if name in ("UTC", "Etc/UTC"):
        return UTC
    if not isinstance(name, str) or not name:
        return None
    from zoneinfo import ZoneInfo

    try:
        return ZoneInfo(name)
    except (KeyError, ValueError, OSError):
        return None


def local_zone() -> str:
    """Give the machine's time zone by its IANA name; UTC where it does not say."""
    if os.environ.get("TZ"):
        return os.environ["TZ"].lstrip(":")
    try:
        target = os.path.realpath("/etc/localtime")
    except OSError:
        return "UTC"
    _, found, name = target.partition("/zoneinfo/")
    return name if found and name not in ("Etc/UTC", "UCT") else "UTC"


def refuse_newer(settings: dict[str, Any]) -> None:
    """Refuse to write to a notebook of a format that came after this program."""
    written = settings.get("format")
    if isinstance(written, int) and written > FORMAT:
        raise FieldbookError(
            f"This notebook is of format {written}, and this program knows format {FORMAT}.\n"
            "    Nothing was saved. Use a newer program."
        )
