"""What is typed and not saved, kept in the person's state folder as it is typed.

Each running screen has its own file, named after the notebook and the process, so that two screens
on one notebook do not overwrite each other's. At a start the newest draft of a screen that no
longer runs is taken over.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
from pathlib import Path
from typing import NamedTuple

from fieldbook.store.recent import state_folder


class Draft(NamedTuple):
    """A line that was begun, and the entry it speaks of."""

    address: str
    text: str
    field: str = ""
    new: str = ""


class DraftFile:
    """The draft of this process on one notebook."""

    def __init__(self, notebook: str) -> None:
        mark = hashlib.sha256(os.path.realpath(notebook).encode()).hexdigest()[:12]
        self._stem = f"draft-{mark}-"
        self.path = Path(state_folder()) / f"{self._stem}{os.getpid()}.json"
        self.kept = Draft("", "")

    def keep(self, draft: Draft) -> str:
        """Write the draft, or take the file away where there is none; gives what went wrong."""
        if draft == self.kept:
            return ""
        try:
            if draft.text:
                self.path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
                beside = self.path.with_suffix(".new")
                beside.write_text(json.dumps(draft._asdict()), encoding="utf-8")
                beside.replace(self.path)
            else:
                self.path.unlink(missing_ok=True)
        except OSError as error:
            return f"what you type cannot be kept: {error.strerror}"
        self.kept = draft
        return ""

    def take_over(self) -> Draft | None:
        """The newest draft that a screen which has ended left behind."""
        left = [path for path in self._others() if not _runs(path)]
        for path in sorted(left, key=_age):
            draft = _read(path)
            with contextlib.suppress(OSError):
                if draft is None:
                    path.unlink()
                    continue
                self.keep(draft)
                path.unlink()
            if draft is not None:
                return draft
        return None

    def _others(self) -> list[Path]:
        with contextlib.suppress(OSError):
            return list(self.path.parent.glob(f"{self._stem}*.json"))
        return []


def _age(path: Path) -> float:
    try:
        return -path.stat().st_mtime
    except OSError:
        return 0.0


def _read(path: Path) -> Draft | None:
    try:
        data = json.loads(path.read_text(encoding="utf-8"))
        more = (str(data.get("field", "")), str(data.get("new", "")))
        return Draft(str(data["address"]), str(data["text"]), *more) if data["text"] else None
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        return None


def _runs(path: Path) -> bool:
    """Whether the process that owns a draft still runs."""
    owner = path.stem.rpartition("-")[2]
    if not owner.isdigit() or int(owner) == os.getpid():
        return False
    try:
        os.kill(int(owner), 0)
    except ProcessLookupError:
        return False
    except OSError:
        return True
    return True
