"""The screen in tmux: an evening at the kiln, and its main sheets on every kind of terminal."""

import shutil
from pathlib import Path

import pytest

from fieldbook.text import columns
from tests.with_tools import evening
from tests.with_tools.tmux import Pane

NOW = "2026-09-12 14:30+01:00"
SAMPLE = Path(__file__).parents[2] / "sample_notebook"
TERMINALS = [
    (60, 20, {}),
    (120, 40, {}),
    (80, 24, {"TERM": "linux"}),
    (60, 20, {"TERM": "vt100"}),
    (80, 24, {"TERM": "xterm-256color", "NO_COLOR": "1"}),
]
SHEETS = (
    ("", "What to do now"),
    ("Enter", "Why: "),
    ("f", "2026-09-12: "),
    ("e", "firings/2026-09-12"),
    ("t", "firings/2026-09-12.toml"),
    ("Escape", "firings/2026-09-12"),
    ("h", "History of "),
    ("?", "Help"),
    ("Right", "Clays"),
    ("Enter", "clays/bank-red"),
    ("g", "The group"),
)
"""Keys pressed one after the other, and what the title says then."""


def test_an_evening_at_the_kiln_is_as_the_docs_show_it_and_the_file_as_by_hand():
    captured, file = evening.evening()
    assert file == evening.BY_HAND
    assert evening.page(captured, file) == evening.PAGE.read_text(encoding="utf-8")


@pytest.mark.parametrize("wide, high, terminal", TERMINALS)
def test_every_main_sheet_keeps_its_layout_on_every_terminal(tmp_path, wide, high, terminal):
    notebook = tmp_path / "yard"
    shutil.copytree(SAMPLE, notebook)
    pane = Pane(tmp_path, notebook, NOW, wide, high, **terminal)
    is_bare = terminal.get("TERM") in ("linux", "vt100")
    rule, sign = ("--", ">") if is_bare else ("\N{BOX DRAWINGS LIGHT HORIZONTAL}" * 2, "›")
    try:
        pane.wait_for("why: ")
        for key, title in SHEETS:
            if key:
                pane.press(key)
            shown = pane.wait_for(f"{rule} {title}")
            rows = shown.split("\n")
            assert len(rows) == high, shown
            assert max(columns(row) for row in rows) <= wide, shown
            assert rows[0][1:5] == "clay", shown
            assert rows[2].startswith(rule) and rows[2].endswith(rule), shown
            assert sign in rows[-3] and rows[-1].endswith("? help"), shown
            assert not is_bare or shown.isascii(), shown
    finally:
        pane.close()
