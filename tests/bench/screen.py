"""What the screen costs at the kiln: `python -m tests.bench.screen`.

First useful paint, in a pseudo-terminal, as a ratio to an empty textual program in the same run;
bytes a keystroke in the prompt and a live look at a fire send; processor time while nothing
happens. On the sample yard and on a notebook of 10,000 entries.
"""

import compileall
import os
import shutil
import statistics
import sys
import tempfile
import time
from pathlib import Path

from tests.installed import FIELDBOOK
from tests.pseudo_terminal import PATIENCE, Terminal

ROOT = Path(__file__).parents[2]
NOW = "2026-09-12 14:30"
EMPTY = """
from textual.app import App
from textual.widgets import Static

class Empty(App):
    def compose(self):
        yield Static("here")

Empty(ansi_color=True).run(mouse=False)
"""
RUNS = 5
IDLE = 30.0
"""Seconds for which nothing happens while processor time is counted."""
LINE = "14:31 1040F top, white smoke, fan half"


def large(folder: Path) -> None:
    """The sample yard with 10,000 entries more: clays of a whole country, and 500 old batches."""
    shutil.copytree(ROOT / "sample_notebook", folder, dirs_exist_ok=True)
    for number in range(9_500):
        text = f'place = "pit {number}"\n'
        (folder / "clays" / f"pit-{number}.toml").write_text(text, encoding="utf-8")
    for number in range(500):
        day = f"{2016 + number % 10}-{1 + number % 12:02}-{1 + number % 28:02}"
        text = f'mix = "bank-3-1"\nmoulded = {day}\ncount = 100\n\n[log]\n"{day} 09:00:00" = {{ '
        text += "sold = 100 }\n"
        (folder / "batches" / f"old-{number}.toml").write_text(text, encoding="utf-8")


class Timed(Terminal):
    """A terminal that knows when something first came."""

    def until(self, sign: bytes) -> float:
        """Seconds from the start until these bytes have come."""
        while sign not in self.raw:
            if time.perf_counter() - self.begun > PATIENCE:
                raise SystemExit(f"{sign!r} did not come:\n{self.text}")
            if self.process.poll() is not None:
                raise SystemExit(f"it ended early:\n{self.text}")
            self.take(0.005)
        return time.perf_counter() - self.begun


def first_paint(command: list[str], sign: bytes) -> float:
    terminal = Timed(command)
    try:
        return terminal.until(sign)
    finally:
        terminal.close()


def opened(folder: Path) -> list[str]:
    return [str(FIELDBOOK), "--notebook", str(folder), "--now", NOW]


def paints(folders: dict[str, Path]) -> None:
    """First paint of each notebook: at the first start, and at one after a screen was left."""
    empty = [sys.executable, "-c", EMPTY]
    taken: dict[str, list[float]] = {"empty": []}
    for _ in range(RUNS):
        taken["empty"].append(first_paint(empty, b"here"))
        for name, folder in folders.items():
            shutil.rmtree(os.environ["XDG_STATE_HOME"], ignore_errors=True)
            first = first_paint(opened(folder), b"firings/")
            taken.setdefault(f"{name}, first start", []).append(first)
    for name, folder in folders.items():
        left = Timed(opened(folder))
        print(f"{name}: all was read after {look_taken(left):.1f} s")
        left.close()
        for _ in range(RUNS):
            taken["empty"].append(first_paint(empty, b"here"))
            again = first_paint(opened(folder), b"firings/2026-09-12")
            taken.setdefault(f"{name}, next start", []).append(again)
    base = statistics.median(taken.pop("empty"))
    print(f"first useful paint; an empty textual program {base * 1e3:.0f} ms")
    for name, times in taken.items():
        found = statistics.median(times)
        print(f"  {name:<20} {found * 1e3:6.0f} ms = {found / base:.2f} (bar 1.5)")


def look_taken(terminal: Timed) -> float:
    """Wait until all was read, not shown as it stood before; gives the seconds."""
    while not is_read(terminal.screen.display):
        if terminal.process.poll() is not None:
            raise SystemExit(f"it ended early:\n{terminal.text}")
        terminal.take(0.1)
    taken = time.perf_counter() - terminal.begun
    terminal.quiet(3.0)
    return taken


def is_read(rows: list[str]) -> bool:
    """Whether the map has its numbers, and the title says neither `as it stood` nor `read`."""
    counted = bool(rows[1].strip()) and "…" not in rows[1]
    return counted and "What to do now ─" in rows[2] and " read ─" not in rows[2]


def keystrokes(folder: Path) -> None:
    terminal = Timed(opened(folder))
    try:
        look_taken(terminal)
        sent = []
        for letter in LINE:
            before = len(terminal.raw)
            terminal.send(letter)
            terminal.quiet(0.3)
            sent.append(len(terminal.raw) - before)
    finally:
        terminal.close()
    print(f"bytes a keystroke: median {statistics.median(sent):.0f}, most {max(sent)} (bar 400)")


def keys_while_reading(folder: Path) -> None:
    """How long a letter takes to show while all of a large notebook is being read anew."""
    shutil.rmtree(os.environ["XDG_CACHE_HOME"], ignore_errors=True)
    terminal = Timed(opened(folder))
    try:
        terminal.until(b"firings/")
        terminal.quiet(0.5)
        taken = []
        for letter in LINE:
            before, begun = len(terminal.raw), time.perf_counter()
            terminal.send(letter)
            while len(terminal.raw) == before:
                terminal.take(0.002)
            taken.append(time.perf_counter() - begun)
            terminal.take(0.2)
        is_reading = "…" in terminal.screen.display[1]
    finally:
        terminal.close()
    found = f"median {statistics.median(taken) * 1e3:.0f} ms, most {max(taken) * 1e3:.0f} ms"
    print(f"a letter while 10,000 entries are read: {found}; still reading: {is_reading}")


def live(folder: Path) -> None:
    """What a fire in view sends when another terminal logs a reading."""
    terminal = Timed(opened(folder))
    try:
        look_taken(terminal)
        terminal.send("f")
        terminal.quiet(3.0)
        sent = []
        for minute in range(11, 21):
            before = len(terminal.raw)
            path = folder / "firings" / "2026-09-12.toml"
            with path.open("a", encoding="utf-8") as file:
                line = f'{{ temperature = "{600 + minute} degF", place = "top" }}'
                file.write(f'"2026-09-12 14:{minute}:30+01:00" = {line}\n')
            terminal.quiet(4.0)
            sent.append(len(terminal.raw) - before)
    finally:
        terminal.close()
    print(
        f"bytes a live update: median {statistics.median(sent):.0f}, most {max(sent)} (bar 2,000)"
    )


def idle(name: str, folder: Path, bar: int) -> None:
    terminal = Timed(opened(folder))
    try:
        taken = look_taken(terminal)
        terminal.quiet(10.0)
        before, sent = processor_time(terminal.process.pid), len(terminal.raw)
        terminal.take(IDLE)
        terminal.quiet(0.5)
        share = (processor_time(terminal.process.pid) - before) / IDLE
        more = len(terminal.raw) - sent
    finally:
        terminal.close()
    print(f"{name}: all was read again after {taken:.1f} s")
    print(f"idle, {name}: {share:.2%} of a processor (bar {bar} %), {more} bytes in {IDLE:.0f} s")


def processor_time(pid: int) -> float:
    """Seconds of processor time a process has used."""
    fields = Path(f"/proc/{pid}/stat").read_text(encoding="utf-8").rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def main() -> None:
    compileall.compile_dir(ROOT / "fieldbook", quiet=1)
    with tempfile.TemporaryDirectory() as scratch:
        os.environ["XDG_STATE_HOME"] = f"{scratch}/state"
        os.environ["XDG_CACHE_HOME"] = f"{scratch}/cache"
        sample, big = Path(scratch, "sample"), Path(scratch, "large")
        shutil.copytree(ROOT / "sample_notebook", sample)
        large(big)
        wanted = sys.argv[1:] or ["paints", "bytes", "keys", "idle"]
        if "paints" in wanted:
            paints({"sample": sample, "10,000 entries": big})
        if "first" in wanted:
            paints({"sample": sample})
        if "bytes" in wanted:
            keystrokes(sample)
            live(sample)
        if "keys" in wanted:
            keys_while_reading(big)
        if "idle" in wanted:
            idle("sample", sample, 1)
            idle("10,000 entries", big, 2)


if __name__ == "__main__":
    main()
