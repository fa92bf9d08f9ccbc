"""How long a sync takes beside the plain git commands it needs: `python -m tests.bench.sync`.

A notebook of 10,000 entries; each time 20 entries changed here and 20 others came to the other side
since. Medians of interleaved runs, as a ratio within one run.
"""

import compileall
import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).parents[2]
FIELDBOOK = [str(Path(sys.executable).with_name("fieldbook"))]
ENTRIES, CHANGED, RUNS, BAR = 10_000, 20, 9, 2.5
PLAIN = (
    ("add", "-A"),
    ("commit", "-q", "-m", "20 observations"),
    ("fetch", "-q", "origin"),
    ("merge", "-q", "--no-edit", "origin/main"),
    ("push", "-q", "origin", "main"),
)


class Yard:
    """One folder of the notebook, with a person's own folders of its own."""

    def __init__(self, root: Path, name: str) -> None:
        self.folder, self.name = root / name / "yard", name
        home = str(root / name)
        kept = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
        self.environment = {**kept, "HOME": home, "XDG_CONFIG_HOME": f"{home}/config"}
        self.environment |= {"XDG_STATE_HOME": f"{home}/state", "GIT_CONFIG_NOSYSTEM": "1"}
        self.environment |= {"GIT_CONFIG_GLOBAL": f"{home}/gitconfig"}
        self.folder.mkdir(parents=True)

    def run(self, *words: str) -> None:
        done = subprocess.run(
            words, cwd=self.folder, env=self.environment, capture_output=True, check=False
        )
        if done.returncode:
            raise SystemExit(f"{words} failed: {done.stderr.decode()}")

    def git(self) -> None:
        for words in PLAIN:
            self.run("git", *words)

    def sync(self) -> None:
        self.run(*FIELDBOOK, "sync")

    def change(self, first: int, round_: int) -> None:
        """Add an observation to 20 entries."""
        for number in range(first, first + CHANGED):
            path = self.folder / "clays" / f"pit-{number}.toml"
            with path.open("a", encoding="utf-8") as file:
                file.write(f'"2026-09-06 12:{round_:02}:00+00:00" = {{ note = "{self.name}" }}\n')


def begun(root: Path) -> tuple[Yard, Yard, Yard]:
    """A notebook kept by three: one syncs, one uses plain git, one is timed by nobody."""
    stick = str(root / "stick.git")
    subprocess.run(["git", "init", "-q", "--bare", "-b", "main", stick], check=True)
    here, plain, other = (Yard(root, name) for name in ("here", "plain", "other"))
    (here.folder / "clays").mkdir()
    settings = 'format = 1\ntimezone = "UTC"\nmaker = "ines"\n'
    (here.folder / "notebook.toml").write_text(settings, encoding="utf-8")
    for number in range(ENTRIES):
        text = f'place = "pit {number}"\nnote = "{"brown earth " * 60}"\n\n[log]\n'
        (here.folder / "clays" / f"pit-{number}.toml").write_text(text, encoding="utf-8")
    here.run(*FIELDBOOK, "share", stick)
    for yard in (plain, other):
        yard.run("git", "clone", "-q", stick, ".")
        yard.run("git", "config", "user.name", yard.name)
        yard.run("git", "config", "user.email", f"{yard.name}@example.org")
    return here, plain, other


def timed(act) -> float:
    began = time.perf_counter()
    act()
    return time.perf_counter() - began


def main() -> None:
    compileall.compile_dir(ROOT / "fieldbook", quiet=1)
    taken: dict[str, list[float]] = {"sync": [], "git": []}
    with tempfile.TemporaryDirectory() as scratch:
        here, plain, other = begun(Path(scratch))
        for number in range(RUNS + 1):
            for name, yard, act in (("sync", here, here.sync), ("git", plain, plain.git)):
                other.change(5000, number * 2 + (name == "git"))
                other.git()
                yard.change(CHANGED * (1 + (name == "git")), number)
                taken[name].append(timed(act))
    ours, theirs = (statistics.median(taken[name][1:]) for name in ("sync", "git"))
    print(f"plain git {theirs * 1e3:.0f} ms (from {min(taken['git']) * 1e3:.0f})")
    print(f"sync {ours * 1e3:.0f} ms = {ours / theirs:.2f} x plain git (bar {BAR})")


if __name__ == "__main__":
    main()
