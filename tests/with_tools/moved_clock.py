"""The program with a clock that a test moves: `python -m tests.with_tools.moved_clock FILE WORDS…`.

The file holds the time of day, with its offset. Nothing else of the program is other than it is.
"""

import sys
from datetime import datetime
from pathlib import Path

from fieldbook.cli.main import main
from fieldbook.tui import keeping_up, screen
from fieldbook.tui.desk import Desk


def run(clock: Path, words: list[str]) -> int:
    def now() -> datetime:
        return datetime.fromisoformat(clock.read_text(encoding="utf-8"))

    Desk.clock = lambda desk: now().astimezone(desk.zone)
    screen.monotonic = keeping_up.monotonic = lambda: now().timestamp()
    return main(words)


if __name__ == "__main__":
    sys.exit(run(Path(sys.argv[1]), sys.argv[2:]))
