"""How long commands take to start, beside a bare interpreter: `python -m tests.bench.start`.

Ratios within one run, medians of interleaved runs; the byte code is compiled first, as installing
does. Each `next` is asked a minute after the one before, so that none finds its whole answer kept.
`next, logged` comes a minute after a new reading of the firing that burns; `check, logged` as
well. A second part logs into a notebook of 10,000 entries and a log of 20,000 lines.
"""

import compileall
import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path

ROOT = Path(__file__).parents[2]
FIELDBOOK = Path(sys.executable).with_name("fieldbook")
BEGIN = datetime(2026, 9, 12, 14, 30)
RUNS = 21


def timed(command: list[str], folder: Path, environment: dict[str, str]) -> float:
    begun = time.perf_counter()
    done = subprocess.run(command, cwd=folder, env=environment, capture_output=True, check=False)
    taken = time.perf_counter() - begun
    if done.returncode not in (0, 1):
        raise SystemExit(f"{command} failed: {done.stderr.decode()}")
    return taken


Command = Callable[[int], list[str]]


def medians(commands: dict[str, Command], folder: Path, environment) -> dict[str, float]:
    """Median time of each, in turns; a command is told which turn it is."""
    taken: dict[str, list[float]] = {name: [] for name in commands}
    for turn in range(RUNS):
        for name, command in commands.items():
            taken[name].append(timed(command(turn), folder, environment))
    return {name: statistics.median(times) for name, times in taken.items()}


def at(turn: int) -> list[str]:
    """`--now` for a turn: a minute after the turn before."""
    return ["--now", f"{BEGIN + timedelta(minutes=turn):%Y-%m-%d %H:%M}"]


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
        sample, logged, big = (Path(scratch, name) for name in ("sample", "logged", "big"))
        shutil.copytree(ROOT / "sample_notebook", sample)
        shutil.copytree(ROOT / "sample_notebook", logged)
        large(big)
        firing = "firings/2026-09-12"
        batch = sorted((sample / "batches").iterdir())[0].stem
        python, book = sys.executable, str(FIELDBOOK)
        bare: dict[str, Command] = {
            "tomllib": lambda _: [python, "-c", "import tomllib"],
            "numpy": lambda _: [python, "-c", "import numpy"],
        }
        still: dict[str, Command] = {
            "--version": lambda _: [book, "--version"],
            "show batch": lambda turn: [book, "show", f"batches/{batch}", *at(turn)],
            "check": lambda turn: [book, "check", *at(turn)],
            "next": lambda turn: [book, "next", *at(turn)],
        }
        new: dict[str, Command] = {
            "log": lambda turn: [book, "log", firing, f"{620 + turn} F", "top", *at(turn)],
            "next, logged": lambda turn: [book, "next", *at(turn)],
            "check, logged": lambda turn: [book, "check", *at(turn)],
        }
        long: dict[str, Command] = {
            "log, large": lambda _: [book, "log", "firings/long-log", "1040F", "top"]
        }
        found = medians(bare | still, sample, environment)
        found |= medians(new, logged, environment)
        found |= medians({"tomllib": bare["tomllib"]} | long, big, environment)
    bars = {
        "--version": ("tomllib", 1.5),
        "log": ("tomllib", 2.0),
        "log, large": ("tomllib", 2.0),
        "show batch": ("numpy", 2.5),
        "check": ("numpy", 2.5),
        "next": ("numpy", 3.0),
        "next, logged": ("numpy", None),
        "check, logged": ("numpy", None),
    }
    print(f"tomllib {found['tomllib'] * 1e3:.1f} ms, numpy {found['numpy'] * 1e3:.1f} ms")
    for name, (base, bar) in bars.items():
        ratio = found[name] / found[base]
        wanted = f" (bar {bar})" if bar else ""
        print(f"{name:<13} {found[name] * 1e3:6.1f} ms = {ratio:.2f} x {base}{wanted}")


if __name__ == "__main__":
    main()
