"""The screen in tmux: keys sent as a person sends them, the pane captured as a person sees it."""

import os
import shutil
import subprocess
import sys
import time
from pathlib import Path

PATIENCE = 60
"""Seconds to wait for something to show before a test gives up; far more than it takes."""
MOMENT = 0.6
"""Seconds for which nothing may have moved."""
ROOT = Path(__file__).parents[2]


class Pane:
    """One pane of a tmux server of its own, with the program in it and a clock to move."""

    def __init__(self, folder, notebook, now, columns=80, lines=24, **environment):
        self.clock = folder / "clock"
        self.move_clock(now)
        self.socket = str(folder / "tmux")
        settings = folder / "tmux.conf"
        settings.write_text("set -g status off\nset -g escape-time 0\n", encoding="utf-8")
        own = {
            "XDG_STATE_HOME": str(folder / "state"),
            "XDG_CACHE_HOME": str(folder / "cache"),
            "LANG": "C.UTF-8",
            "PYTHONUTF8": "1",
            **environment,
        }
        words = [f"{name}={value}" for name, value in own.items()]
        program = [sys.executable, "-m", "tests.with_tools.moved_clock", str(self.clock)]
        self._tmux(
            *("-f", str(settings), "new-session", "-d", "-x", str(columns), "-y", str(lines)),
            *("env", *words, *program, "--notebook", str(notebook)),
        )

    def _tmux(self, *words: str) -> str:
        free = {name: value for name, value in os.environ.items() if name not in ("TMUX", "TERM")}
        done = subprocess.run(
            [shutil.which("tmux") or "tmux", "-u", "-S", self.socket, *words],
            cwd=ROOT,
            env={**free, "TERM": "xterm-256color"},
            capture_output=True,
            text=True,
            encoding="utf-8",
            check=True,
        )
        return done.stdout

    def move_clock(self, now: str) -> None:
        beside = self.clock.with_suffix(".new")
        beside.write_text(now, encoding="utf-8")
        beside.replace(self.clock)

    def type(self, text: str) -> None:
        self._tmux("send-keys", "-l", text)

    def press(self, *keys: str) -> None:
        self._tmux("send-keys", *keys)

    @property
    def text(self) -> str:
        return self._tmux("capture-pane", "-p")

    def wait_for(self, *signs: str, settled: bool = True) -> str:
        """Wait until all of these stand there and, `settled`, nothing has moved for a while."""
        end, before = time.monotonic() + PATIENCE, ""
        while True:
            shown = self.text
            if all(sign in shown for sign in signs) and (shown == before or not settled):
                return shown.rstrip("\n")
            if time.monotonic() > end:
                raise AssertionError(f"{signs} did not show:\n{shown}")
            before = shown
            time.sleep(MOMENT if settled else 0.1)

    def close(self) -> None:
        subprocess.run(["tmux", "-S", self.socket, "kill-server"], capture_output=True, check=False)
