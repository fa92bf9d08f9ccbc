"""What `check` has to say of the history beside a notebook, without changing anything."""

from __future__ import annotations

from pathlib import Path

from fieldbook.errors import FieldbookError, Problem
from fieldbook.sync import consent
from fieldbook.sync.git import Git


def problems(folder: Path) -> list[Problem]:
    """Entries that a merge left unmerged; none where no history is kept, or was not agreed to.

    Where git's own settings may run something, that is the problem, and nothing else is asked.
    """
    git = Git(folder)
    if git.program is None or not git.is_here or not consent.given(folder):
        return []
    try:
        git.settings()
        listed = git("ls-files", "-u", "-z").out.decode("utf-8", "replace")
    except FieldbookError as error:
        what, _, remedy = str(error).partition("\n")
        return [Problem("", None, what, remedy.strip())]
    paths = dict.fromkeys(row.partition("\t")[2] for row in listed.split("\0") if row)
    return [
        Problem(
            path,
            None,
            "stands unmerged: git left two versions of it side by side",
            "Merge them by meaning: fieldbook sync",
        )
        for path in paths
    ]
