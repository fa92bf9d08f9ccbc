import subprocess
import sys
from pathlib import Path
from typing import NamedTuple

import pytest

from fieldbook.cli.main import main

FIELDBOOK = Path(sys.executable).with_name("fieldbook")

FILES = {
    "notebook.toml": """\
format = 1
timezone = "Europe/Dublin"
maker = "ines"

[measures]
armload = "8 kg"
""",
    "mixes/reach-3-1.toml": """\
parts = [ { clay = "reach", volume = "3 bucket" }, { temper = "sand", volume = "1 bucket" } ]
""",
    "clays/reach.toml": '# dug below the sea wall\nplace = "the reach"\n',
    "kilns/small.toml": 'form = "updraught"\nplaces = ["top", "bottom"]\nbase = "sand"\n',
    "batches/a.toml": """\
mix = "reach-3-1"   # the usual
moulded = 2026-09-01
count = 100

[green]
length = "246 mm"
width = "118 mm"
height = "75 mm"

[marked]
"1" = { marks = "150.0 mm", mass = "3.25 kg" }

[log]
"2026-09-02 09:00:00+01:00" = { brick = "1", mass = "3.02 kg", by = "ines" }
""",
    "firings/f.toml": """\
kiln = "small"
load = [ { batch = "a", count = 100, place = "top", moisture = "3 %" } ]

[plan]
peak = "1000 C"

[log]
"2026-09-12 06:00:00+01:00" = { event = "lit" }
""",
    "tests/t.toml": """\
batch = "a"
standard = "ASTM C62"

[specimens]
"1" = { dry_mass = "2000 g", soaked_mass = "2230 g", boiled_mass = "2300 g" }
""",
}
MEASURES = '\nbucket = "12 l"\n'


class Answer(NamedTuple):
    status: int
    out: str
    err: str


@pytest.fixture
def notebook(tmp_path, monkeypatch):
    """A small notebook on the disk, and the person's own folders beside it."""
    folder = tmp_path / "yard"
    for name, text in FILES.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text + (MEASURES if name == "notebook.toml" else ""), encoding="utf-8")
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    monkeypatch.delenv("FIELDBOOK_NOTEBOOK", raising=False)
    monkeypatch.chdir(folder)
    return folder


@pytest.fixture
def fieldbook(notebook, capsys):
    """Run a command in this process; gives status, output and complaints."""

    def run(*words: str) -> Answer:
        capsys.readouterr()
        status = main(list(words))
        out, err = capsys.readouterr()
        return Answer(status, out, err)

    return run


@pytest.fixture
def program(notebook):
    """Run the installed program as its own process."""

    def run(*words: str, **more) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            [FIELDBOOK, *words], capture_output=True, text=True, timeout=60, check=False, **more
        )

    return run
