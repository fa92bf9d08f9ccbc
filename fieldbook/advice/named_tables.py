"""Published tables that the settings name: a standard, a list of glow colours; are they there?"""

from __future__ import annotations

from fieldbook.calc import glow, grading
from fieldbook.errors import NotPossible, Problem
from fieldbook.records import Settings

FILE = "notebook.toml"


def settings_problems(settings: Settings) -> list[Problem]:
    """Names in the settings that no table has, each with its line."""
    return [one for one in (standard_problem(settings), glow_problem(settings)) if one]


def where(settings: Settings, field: str) -> str:
    """File and line of a setting."""
    line = settings.lines_of.get(field)
    return f"{FILE}:{line}" if line else FILE


def standard_problem(settings: Settings) -> Problem | None:
    """A usual standard that is not known here."""
    name = settings.practice.standard if settings.practice else None
    try:
        if name:
            grading.find_standard(name)
    except NotPossible:
        known = ", ".join(grading.standards())
        line = settings.lines_of.get("practice.standard")
        return Problem(FILE, line, f'no standard "{name}" is known here', f"Write one of: {known}.")
    return None


def glow_problem(settings: Settings) -> Problem | None:
    """A list of glow colours that is not known here; all lists together stand in for it."""
    name = settings.practice.glow_list if settings.practice else None
    if not name or name in glow.lists():
        return None
    return Problem(
        FILE,
        settings.lines_of.get("practice.glow_list"),
        f'no list of glow colours is called "{name}"; the envelope of all lists is used',
        f"Write one of: {', '.join(glow.lists())}.",
    )
