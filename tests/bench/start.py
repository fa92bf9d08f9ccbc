"""How long commands take to start, beside a bare interpreter: `python -m tests.bench.start`.

Ratios within one run, medians of interleaved runs; the byte code is compiled first, as installing
does. A second part logs into a notebook of 10,000 entries and a log of 20,000 lines.
"""

import compileall
import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).parents[2]
FIELDBOOK = Path(sys.executable).with_name("fieldbook")
NOW = "2026-09-12 14:30"
RUNS = 21


def timed(command: list[str], folder: Path, environment: dict[str, str]) -> float:
    begun = time.perf_counter()
    done = subprocess.run(command, cwd=folder, env=environment, capture_output=True, check=False)
    taken = time.perf_counter() - begun
    if done.returncode not in (0, 1):
        raise SystemExit(f"{command} failed: {done.stderr.decode()}")
    return taken


def medians(commands: dict[str, list[str]], folder: Path, environment) -> dict[str, float]:
    taken: dict[str, list[float]] = {name: [] for name in commands}
    for _ in range(RUNS):
        for name, command in commands.items():
            taken[name].append(timed(command, folder, environment))
    return {name: statistics.median(times) for name, times in taken.items()}


def large(folder: Path) -> None:
    """A notebook of 10,000 entries, one with a log of 20,000 lines."""
    shutil.copytree(ROOT / "sample_notebook", folder, dirs_exist_ok=True)
    for number in range(10_000):
        (folder / "clays" / f"pit-{number}.toml").write_text('place = "somewhere"\n')
    lines = [
        f'"2026-09-{1 + i // 1440 % 28:02} {i // 60 % 24:02}:{i % 60:02}:{i // 40320:02}+01:00" '
        '= { temperature = "600 C", place = "top" }\n'
        for i in range(20_000)
    ]
    kiln = sorted((folder / "kilns").iterdir())[0].stem
    head = f'kiln = "{kiln}"\nload = []\n\n[log]\n'
    (folder / "firings" / "long-log.toml").write_text(head + "".join(lines))


def main() -> None:
    environment = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    compileall.compile_dir(ROOT / "fieldbook", quiet=1)
    with tempfile.TemporaryDirectory() as scratch:
        environment["XDG_STATE_HOME"] = f"{scratch}/state"
        environment["XDG_CACHE_HOME"] = f"{scratch}/cache"
        sample, big = Path(scratch, "sample"), Path(scratch, "big")
        shutil.copytree(ROOT / "sample_notebook", sample)
        large(big)
        firing = sorted((sample / "firings").iterdir())[-1].stem
        batch = sorted((sample / "batches").iterdir())[0].stem
        commands = {
            "tomllib": [sys.executable, "-c", "import tomllib"],
            "numpy": [sys.executable, "-c", "import numpy"],
            "--version": [str(FIELDBOOK), "--version"],
            "log": [str(FIELDBOOK), "log", f"firings/{firing}", "1040F", "top"],
            "show batch": [str(FIELDBOOK), "show", f"batches/{batch}", "--now", NOW],
            "check": [str(FIELDBOOK), "check", "--now", NOW],
            "next": [str(FIELDBOOK), "next", "--now", NOW],
        }
        found = medians(commands, sample, environment)
        logged = {"log, large": [str(FIELDBOOK), "log", "firings/long-log", "1040F", "top"]}
        found |= medians(logged, big, environment)
    bars = {
        "--version": ("tomllib", 1.5),
        "log": ("tomllib", 2.0),
        "log, large": ("tomllib", 2.0),
        "show batch": ("numpy", 2.5),
        "check": ("numpy", 2.5),
        "next": ("numpy", 3.0),
    }
    print(f"tomllib {found['tomllib'] * 1e3:.1f} ms, numpy {found['numpy'] * 1e3:.1f} ms")
    for name, (base, bar) in bars.items():
        ratio = found[name] / found[base]
        print(f"{name:<11} {found[name] * 1e3:6.1f} ms = {ratio:.2f} x {base} (bar {bar})")


if __name__ == "__main__":
    main()
