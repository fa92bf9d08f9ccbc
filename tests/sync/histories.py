"""Random histories of a group: what each maker does, offline for long, and what must hold after.

`python -m tests.sync.histories 300` plays many and prints how many held, `… 300 plain` the same
with plain `git pull` and `git push` by one of the makers, `… 300 from 120` begins later; `… 300
careless` lets that one merge without the driver and keep one side; the suite plays a few.
"""

import os
import random
import signal
import subprocess
import sys
import tempfile
import time
import tomllib
from collections import Counter
from datetime import UTC, datetime, timedelta
from pathlib import Path

from fieldbook.errors import FieldbookError
from fieldbook.store.append import append
from fieldbook.store.folder import Store
from fieldbook.sync.syncing import Sync

NAMES = ("ines", "tomas", "bea")
HEAD = 'mix = "reach-3-1"\nmoulded = 2026-09-01\ncount = 100 # as moulded\n\n[log]\n'
BEGUN = datetime(2026, 9, 1, 6, tzinfo=UTC)


class History:
    """Three makers, one stick, and a list of what was observed and must never be lost."""

    is_careless = False
    """Whether who uses plain git merges without the driver, and keeps one side."""

    def __init__(self, root: Path, seed: int, plain: str | None = None) -> None:
        self.root, self.random = root, random.Random(seed)
        self.plain = plain
        self.stick = root / "stick.git"
        subprocess.run(
            ["git", "init", "-q", "--bare", "--initial-branch=main", self.stick], check=True
        )
        self.observed: set[str] = set()
        self.number = 0
        self.now = BEGUN
        for name in NAMES:
            self.set_up(name)

    def set_up(self, name: str) -> None:
        folder = self.folder(name)
        (folder / "batches").mkdir(parents=True)
        (folder / "notebook.toml").write_text('format = 1\ntimezone = "UTC"\n', encoding="utf-8")
        if name == NAMES[0]:
            for entry in ("a", "b", "c"):
                (folder / f"batches/{entry}.toml").write_text(HEAD, encoding="utf-8")
        self.as_maker(name).share(str(self.stick))

    def folder(self, name: str) -> Path:
        return self.root / name / "yard"

    def home(self, name: str) -> dict[str, str]:
        home = self.root / name
        return {
            "HOME": str(home),
            "XDG_CONFIG_HOME": str(home / "config"),
            "XDG_STATE_HOME": str(home / "state"),
            "GIT_CONFIG_GLOBAL": str(home / "gitconfig"),
        }

    def as_maker(self, name: str) -> Sync:
        os.environ.update(self.home(name))
        return Sync(self.folder(name), name)

    def entries(self, name: str) -> list[Path]:
        return sorted((self.folder(name) / "batches").glob("*.toml"))

    def step(self) -> None:
        name = self.random.choice(NAMES)
        does = self.random.choices(
            (self.log, self.set, self.add, self.rename, self.remove, self.hand_edit, self.sync,
             self.killed_sync),
            (10, 4, 2, 1, 1, 2, 5, 1),
        )[0]  # fmt: skip
        self.now += timedelta(seconds=self.random.choice((0, 1, 600)))
        os.environ.update(self.home(name))
        does(name)

    def log(self, name: str) -> None:
        if entries := self.entries(name):
            self.number += 1
            note = f"{name} {self.number}"
            address = f"batches/{self.random.choice(entries).stem}"
            append(str(self.folder(name)), address, self.now, {"note": note})
            self.observed.add(note)

    def set(self, name: str) -> None:
        if entries := self.entries(name):
            address = f"batches/{self.random.choice(entries).stem}"
            count = str(self.random.randrange(80, 120))
            Store(self.folder(name)).set_fields(address, {"count": count})

    def add(self, name: str) -> None:
        path = self.folder(name) / f"batches/{self.random.choice('defgh')}.toml"
        if not path.exists():
            path.write_text(HEAD, encoding="utf-8")

    def rename(self, name: str) -> None:
        if entries := self.entries(name):
            old = self.random.choice(entries)
            new = f"{old.stem}-{self.random.randrange(1000)}"
            try:
                Store(self.folder(name)).rename(f"batches/{old.stem}", new)
            except FieldbookError:
                return

    def remove(self, name: str) -> None:
        """Taken away by its maker: what stood in it then is let go on purpose."""
        if len(entries := self.entries(name)) > 2:
            gone = self.random.choice(entries)
            self.observed -= set(notes(gone))
            gone.unlink()

    def hand_edit(self, name: str) -> None:
        if entries := self.entries(name):
            path = self.random.choice(entries)
            text = path.read_text(encoding="utf-8")
            path.write_text(f"# seen {self.random.randrange(1000)}\n{text}", encoding="utf-8")

    def sync(self, name: str) -> None:
        if name == self.plain and self.is_careless:
            self.careless_sync(name)
        elif name == self.plain:
            self.plain_sync(name)
        else:
            self.as_maker(name).apply()

    def killed_sync(self, name: str) -> None:
        """A sync whose process dies at a random moment; what it left is there at the next."""
        code = "import sys; from pathlib import Path; from fieldbook.sync.syncing import Sync; "
        code += "Sync(Path(sys.argv[1]), sys.argv[2]).apply()"
        begun = subprocess.Popen(
            [sys.executable, "-c", code, self.folder(name), name],
            env={**os.environ, **self.home(name)},
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            start_new_session=True,
        )
        time.sleep(self.random.uniform(0.02, 0.5))
        os.killpg(begun.pid, signal.SIGKILL)
        begun.wait()
        self.minutes_pass()

    def minutes_pass(self) -> None:
        """Nobody syncs right behind one that was killed: what it left locked there grows old."""
        for lock in self.stick.rglob("*.lock"):
            os.utime(lock, (lock.stat().st_mtime - 120,) * 2)

    def plain_sync(self, name: str) -> None:
        self.as_maker(name)
        folder = self.folder(name)
        for words in (
            ["add", "-A"],
            ["commit", "-qm", "by hand"],
            ["pull", "-q", "--no-rebase", "--no-edit", "origin", "main"],
            ["push", "-q", "origin", "main"],
        ):
            subprocess.run(["git", *words], cwd=folder, capture_output=True, check=False)

    def careless_sync(self, name: str) -> None:
        """Plain git without the driver, one side kept whole or in what both changed."""
        self.as_maker(name)
        folder = self.folder(name)
        how = self.random.choice((("-s", "ours"), ("-X", "ours"), ("-X", "theirs")))
        (folder / ".git/info/attributes").unlink(missing_ok=True)
        for words in (
            ["add", "-A"],
            ["commit", "-qm", "by hand"],
            ["fetch", "-q", "origin"],
            ["-c", "branch.main.mergeoptions=", "merge", "-q", "--no-edit", *how, "origin/main"],
            ["push", "-q", "origin", "main"],
        ):
            subprocess.run(["git", *words], cwd=folder, capture_output=True, check=False)

    def finish(self) -> None:
        for _ in range(2):
            for name in NAMES:
                self.as_maker(name).apply()

    def faults(self) -> list[str]:
        """What does not hold; empty where all is well."""
        found = []
        states = [{path.name: path.read_bytes() for path in self.entries(name)} for name in NAMES]
        if any(state != states[0] for state in states):
            found.append("the makers do not have the same files")
        seen: Counter[str] = Counter()
        for path in self.entries(NAMES[0]):
            try:
                seen.update(notes(path))
            except tomllib.TOMLDecodeError as error:
                found.append(f"{path.name} does not parse: {error}")
        found += [f"lost: {note}" for note in sorted(self.observed - set(seen))]
        found += [f"doubled: {note}" for note, times in seen.items() if times > 1]
        return found


def notes(path: Path) -> list[str]:
    data = tomllib.loads(path.read_text(encoding="utf-8"))
    return [line["note"] for line in data.get("log", {}).values()]


def play(
    root: Path, seed: int, steps: int = 30, plain: str | None = None, *, careless: bool = False
) -> list[str]:
    history = History(root, seed, plain)
    history.is_careless = careless
    for _ in range(steps):
        history.step()
    history.finish()
    return history.faults()


def main() -> None:
    many = int(sys.argv[1]) if len(sys.argv) > 1 else 300
    first = int(sys.argv[sys.argv.index("from") + 1]) if "from" in sys.argv else 0
    careless = "careless" in sys.argv
    plain = NAMES[1] if "plain" in sys.argv or careless else None
    bad = 0
    for seed in range(first, many):
        with tempfile.TemporaryDirectory() as root:
            try:
                faults = play(Path(root), seed, plain=plain, careless=careless)
            except FieldbookError as error:
                faults = [f"stopped: {error}"]
        bad += bool(faults)
        if faults or seed % 20 == 19:
            print(f"seed {seed}: {faults[:4] or 'well so far'}", flush=True)
    print(f"{many - first - bad} of {many - first} histories held")


if __name__ == "__main__":
    main()
