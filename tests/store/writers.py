"""Processes that write and are killed while they do; run by the tests of durability.

writers.py kill FOLDER TIMES SEED   kill a writer at random moments, TIMES times; print the
                                    numbers of the lines that were acknowledged
writers.py lines FOLDER NAME TIMES  add TIMES lines by NAME, all within one second
writers.py limit FOLDER BYTES       try to add a line where no file may grow over BYTES
writers.py line FOLDER              try to add a line, and to change a field, and to add an entry
writers.py stranger FOLDER          the same as a user who owns nothing
"""

from __future__ import annotations

import os
import random
import signal
import sys
import time
from datetime import UTC, datetime, timedelta

from fieldbook.errors import FieldbookError
from fieldbook.store import Store, create, rows, splice  # noqa: F401 - read before the user changes
from fieldbook.store.append import append

START = datetime(2026, 5, 3, 7, 40, tzinfo=UTC)
FIRING = "firings/2026-05-03"


def kill(folder: str, times: int, seed: int) -> None:
    rng = random.Random(seed)
    number = 0
    for _ in range(times):
        read, write = os.pipe()
        child = os.fork()
        if child == 0:
            write_until_killed(folder, number, write)
        os.close(write)
        time.sleep(rng.uniform(0.0, 0.03))
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        with os.fdopen(read, "rb") as pipe:
            said = [int(line) for line in pipe.read().decode().split("\n")[:-1]]
        for each in said:
            print(each)
        number += 1000


def write_until_killed(folder: str, number: int, pipe: int) -> None:
    while True:
        at = START + timedelta(seconds=number // 3)
        append(folder, FIRING, at, {"note": f"line {number} ends"})
        os.write(pipe, b"%d\n" % number)
        number += 1


def lines(folder: str, name: str, times: int) -> None:
    for number in range(times):
        append(folder, FIRING, START, {"by": name, "note": f"{name} {number}"})


def limit(folder: str, size: int) -> None:
    import resource

    resource.setrlimit(resource.RLIMIT_FSIZE, (size, size))
    line(folder)


def stranger(folder: str) -> None:
    Store(folder).check()  # loads what the other user may not be allowed to
    if os.geteuid() == 0:  # to the superuser no folder is read-only
        os.setuid(65534)
    line(folder)


def line(folder: str) -> None:
    store = Store(folder)
    for act in (
        lambda: append(folder, FIRING, START, {"note": "x" * 3000}),
        lambda: store.set_fields(FIRING, {"note": "y" * 3000}),
        lambda: store.create("clay", "new", {"note": "z" * 3000}),
    ):
        try:
            act()
            print("saved")
        except FieldbookError as error:
            print(str(error).replace("\n", " "))


if __name__ == "__main__":
    task, *words = sys.argv[1:]
    match task:
        case "kill":
            kill(words[0], int(words[1]), int(words[2]))
        case "lines":
            lines(words[0], words[1], int(words[2]))
        case "limit":
            limit(words[0], int(words[1]))
        case "line":
            line(words[0])
        case "stranger":
            stranger(words[0])
