"""A small notebook for tests: one clay, one mix, one kiln, one batch, one firing, one test."""

from collections.abc import Mapping
from pathlib import Path

FILES = {
    "notebook.toml": """\
format = 1
timezone = "Europe/Dublin"
maker = "ines"

[measures]
armload = "8 kg"
bucket = "12 l"
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

AT_THE_FIRE = FILES | {
    "batches/a.toml": FILES["batches/a.toml"]
    .replace("moulded = 2026-09-01", "moulded = 2026-08-01")
    .replace("2026-09-02 09:00", "2026-08-02 09:00"),
    "firings/f.toml": """\
kiln = "small"
load = [ { batch = "a", count = 100, place = "top", moisture = "2 %" } ]

[plan]
peak = "950 C"

[log]
"2026-09-12 06:00:00+01:00" = { event = "lit" }
"2026-09-12 07:00:00+01:00" = { temperature = "60 C", place = "top" }
"2026-09-12 08:00:00+01:00" = { temperature = "100 C", place = "top" }
"2026-09-12 09:00:00+01:00" = { temperature = "140 C", place = "top" }
"2026-09-12 10:00:00+01:00" = { temperature = "170 C", place = "top" }
"2026-09-12 11:00:00+01:00" = { temperature = "200 C", place = "top" }
"2026-09-12 12:00:00+01:00" = { temperature = "230 C", place = "top" }
""",
}
"""The same while its kiln burns: six hours lit, a reading an hour."""


def write_yard(folder: Path, files: Mapping[str, str]) -> Path:
    """Put a notebook on the disk."""
    for name, text in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return folder


def own_folders(beside, monkeypatch) -> None:
    """The person's own folders, away from those of whoever runs the tests."""
    monkeypatch.setenv("XDG_STATE_HOME", str(beside / "state"))
    monkeypatch.setenv("XDG_CACHE_HOME", str(beside / "cache"))
    monkeypatch.delenv("FIELDBOOK_NOTEBOOK", raising=False)
