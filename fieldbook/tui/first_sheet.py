"""The sheet of somebody who has no notebook yet."""

from __future__ import annotations

from pathlib import Path

from fieldbook.tui import keys
from fieldbook.tui.rows import Page, Row, plain, wrapped

CHOICES = (keys.MAKE, keys.SAMPLE)


def welcome(folder: Path, sample: Path | None, width: int) -> Page:
    """What may be done where there is no notebook."""
    rows: list[Row] = [plain(""), *wrapped(f"There is no notebook in {folder}.", width, " ")]
    rows += [plain(""), *wrapped("m   make one in this folder", width, " ", "strong")]
    if sample:
        rows += wrapped(
            "s   open a copy of the sample yard, to look round and try things", width, " ", "strong"
        )
    rows += wrapped("q   leave", width, " ", "strong")
    rows += [plain(""), *wrapped(WHAT_IT_IS, width, " ")]
    return Page("No notebook here", tuple(rows))


WHAT_IT_IS = (
    "A notebook is a folder of plain text: clays, mixes, kilns, batches, firings, tests and what "
    "is built of them. Here you note what you see, and read what to do next, when, and why."
)


def sample_folder() -> Path | None:
    """Where the sample yard came with the program, or None."""
    import fieldbook

    package = Path(fieldbook.__file__).parent
    for folder in (package / "sample_notebook", package.parent / "sample_notebook"):
        if (folder / "notebook.toml").is_file():
            return folder
    return None
