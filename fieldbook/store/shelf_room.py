"""How much is kept at most: what was not asked for the longest goes first.

Each write to a shelf is a turn; an answer is marked with the turn in which it was put or last
asked for. All of it happens within the transaction of that write, so that two programs at one shelf
agree.
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterable, Mapping
from contextlib import suppress
from pathlib import Path

MOST = 256 * 2**20
"""[bytes] Of one notebook's answers: a few hundred firings, each looked at; ours."""
AFTER_TRIMMING = 0.75
"""of `MOST`: so that not every write trims again; ours."""
WORTH_MARKING = 0.5
"""of `MOST`: from here on a run that only asked is worth a write, for what it asked for; ours."""
NOTEBOOKS = 24
"""Shelves of other notebooks that stay for certain; ours."""
TABLE = (
    "CREATE TABLE IF NOT EXISTS uses "
    "(name TEXT PRIMARY KEY, turn INTEGER, bytes INTEGER) WITHOUT ROWID"
)


def is_filling(held: sqlite3.Connection) -> bool:
    """Whether so much is kept that something may have to go soon."""
    return _total(held) > WORTH_MARKING * MOST


def mark(held: sqlite3.Connection, put: Mapping[str, bytes], asked: Iterable[str]) -> None:
    """Mark what was put and what was asked for with a new turn; then let go what is too much."""
    turn = held.execute("SELECT coalesce(max(turn), 0) + 1 FROM uses").fetchone()[0]
    rows = [(name, turn, len(answer)) for name, answer in put.items()]
    held.executemany("INSERT OR REPLACE INTO uses VALUES (?, ?, ?)", rows)
    marks = [(turn, name) for name in asked if name not in put]
    held.executemany("UPDATE uses SET turn = ? WHERE name = ?", marks)
    _trim(held)


def _total(held: sqlite3.Connection) -> int:
    return int(held.execute("SELECT coalesce(sum(bytes), 0) FROM uses").fetchone()[0])


def _trim(held: sqlite3.Connection) -> None:
    total = _total(held)
    if total <= MOST:
        return
    rows = held.execute("SELECT name, bytes FROM uses ORDER BY turn, name").fetchall()
    gone = []
    for name, size in rows:
        if total <= AFTER_TRIMMING * MOST:
            break
        gone.append((name,))
        total -= size
    for table in ("answers", "uses"):
        held.executemany(f"DELETE FROM {table} WHERE name = ?", gone)


def trim_folder(folder: str) -> None:
    """Let go the shelves of notebooks that were not worked on for the longest."""
    with suppress(OSError):
        dated = [(path.stat().st_mtime, str(path)) for path in Path(folder).glob("*.kept")]
        for _, path in sorted(dated)[: -NOTEBOOKS - 1]:
            os.unlink(path)
