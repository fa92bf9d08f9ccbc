"""The sheet of somebody who has no notebook yet, and the small screen it stands on."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import ClassVar

from textual import events
from textual.app import App, ComposeResult

from fieldbook.errors import FieldbookError
from fieldbook.tui import keys
from fieldbook.tui.lines import Lines
from fieldbook.tui.look import Look
from fieldbook.tui.rows import Page, Row, plain, wrapped
from fieldbook.tui.sheet import Paper, Sheet

WHAT_IT_IS = (
    "A notebook is a folder of plain text: clays, mixes, kilns, batches, firings, tests and what "
    "is built of them. Here you note what you see, and read what to do next, when, and why."
)
SAMPLE_TIME = "2026-09-12 14:30"
"""When the sample yard is looked at: a kiln is burning then."""


class FirstSheet(Sheet):
    """What may be done where there is no notebook."""

    name = "no notebook"
    says = "Where there is no notebook: make one here, or open a copy of the sample yard."
    keys = (keys.MAKE, keys.SAMPLE)

    def __init__(self, folder: Path, sample: Path | None) -> None:
        self.folder, self.sample = folder, sample

    def page(self, look: Look | None, paper: Paper) -> Page:
        """The choices, one key each."""
        width = paper.width - 1
        rows: list[Row] = [
            plain(""),
            *wrapped(f"There is no notebook in {self.folder}.", width, " "),
        ]
        rows += [plain(""), *wrapped("m   make one in this folder", width, " ", "strong")]
        if self.sample:
            said = "s   open a copy of the sample yard, to look round and try things"
            rows += wrapped(said, width, " ", "strong")
        rows += wrapped("q   leave", width, " ", "strong")
        return Page("No notebook here", (*rows, plain(""), *wrapped(WHAT_IT_IS, width, " ")))


class FirstScreen(App[str]):
    """Asks for one key: what to do without a notebook."""

    ENABLE_COMMAND_PALETTE = False
    CSS = "#lines { height: 1fr; scrollbar-size: 0 0; background: ansi_default; }"
    BINDINGS: ClassVar = []

    def __init__(self, sheet: FirstSheet, *, ascii_only: bool = False) -> None:
        super().__init__(ansi_color=True)
        self.theme = "ansi-dark"
        self.sheet, self.ascii_only = sheet, ascii_only

    def compose(self) -> ComposeResult:
        """The sheet alone."""
        yield Lines(ascii_only=self.ascii_only)

    def on_resize(self) -> None:
        """Write it for the width."""
        paper = Paper(self.size.width, self.size.height, self.ascii_only)
        self.query_one(Lines).show(self.sheet.page(None, paper), afresh=True)

    async def on_event(self, event: events.Event) -> None:
        """Take the one key."""
        if isinstance(event, events.Key) and not event.is_forwarded:
            choices = {"m": "make", "q": "leave", "ctrl+c": "leave", "ctrl+q": "leave"}
            if self.sheet.sample:
                choices["s"] = "sample"
            if event.key in choices:
                self.exit(choices[event.key])
            return
        await super().on_event(event)


def sample_folder() -> Path | None:
    """Where the sample yard came with the program, or None."""
    import fieldbook

    package = Path(fieldbook.__file__).parent
    for folder in (package / "sample_notebook", package.parent / "sample_notebook"):
        if (folder / "notebook.toml").is_file():
            return folder
    return None


def copied_sample(sample: Path, home: Path) -> Path:
    """A copy of the sample yard in the person's own folder; the one made before is kept."""
    copy = home / "sample-yard"
    if not (copy / "notebook.toml").is_file():
        try:
            shutil.copytree(sample, copy, ignore=shutil.ignore_patterns(".*"), dirs_exist_ok=True)
        except OSError as error:
            raise FieldbookError(f"the sample yard cannot be copied: {error.strerror}") from error
    return copy


def new_notebook(folder: Path) -> Path:
    """Make a notebook here, in the zone of this machine."""
    from fieldbook.store.folder import Store
    from fieldbook.store.zones import local_zone

    Store.start(folder, {"timezone": local_zone(), "title": folder.resolve().name})
    return folder
