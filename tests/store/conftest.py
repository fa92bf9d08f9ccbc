"""A notebook on a real disk, and a state folder that is not the maker's own."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from fieldbook.store import Store

SETTINGS = """\
format = 1
timezone = "America/Chicago"
maker = "ines"

[measures]
barrow = "60 l"
armload = "8 kg"
"""

BATCH = """\
# the first bricks of the year
mix = "reach-3-1"   # three of clay, one of sand
moulded = 2026-04-02
count = 180
oven_dry = { wet_mass = "936 g", dry_mass = "745 g", at = "2026-04-02 18:00" }

[green]
length = "246 mm"
width  = '118 mm'
height = "75 mm"

[marked]
"1" = { marks = "150.0 mm", mass = "3.25 kg", where = "middle of the stack" }
"2" = { marks = "150.0 mm", mass = "3.31 kg" }

# seen
[log]
"2026-04-05 09:00:00-05:00" = { brick = "1", mass = "3.02 kg", by = "ines" }
"2026-04-06 18:10:00-05:00" = { note = "turned on edge", turned = true }
"""

MIX = 'parts = [\n  { clay = "reach", volume = "3 barrow" },\n  { temper = "sand", volume = "1 barrow" },\n]\n'  # noqa: E501


@pytest.fixture(autouse=True)
def state_folder(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> Path:
    folder = tmp_path_factory.mktemp("state")
    monkeypatch.setenv("XDG_STATE_HOME", str(folder))
    return folder


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A small notebook that is in order."""
    files = {
        "notebook.toml": SETTINGS,
        "clays/reach.toml": 'place = "the reach"\n',
        "mixes/reach-3-1.toml": MIX,
        "kilns/cross-1.toml": 'form = "updraught"\nplaces = ["top", "middle", "bottom"]\n',
        "batches/2026-04-a.toml": BATCH,
        "firings/2026-05-03.toml": (
            'kiln = "cross-1"\nload = [{ batch = "2026-04-a", count = 170, place = "top" }]\n\n'
            '[log]\n"2026-05-03 07:40:00-05:00" = { temperature = "212 degF", place = "top" }\n'
        ),
        "tests/2026-05-a.toml": (
            'batch = "2026-04-a"\nfiring = "2026-05-03"\n\n[specimens]\n'
            '"1" = { dry_mass = "2.51 kg", soaked_mass = "2.80 kg", ring = "clear" }\n'
        ),
        "builds/oven.toml": 'form = "dome"\ninside_diameter = "90 cm"\n',
    }
    for name, text in files.items():
        path = tmp_path / name
        path.parent.mkdir(exist_ok=True)
        path.write_bytes(text.encode())
    return tmp_path


@pytest.fixture
def store(folder: Path) -> Store:
    return Store(folder)


@pytest.fixture
def put(folder: Path) -> Callable[[str, str | bytes], Path]:
    """Writes one file of the notebook."""

    def write(name: str, content: str | bytes) -> Path:
        path = folder / name
        path.parent.mkdir(exist_ok=True)
        path.write_bytes(content.encode() if isinstance(content, str) else content)
        return path

    return write
