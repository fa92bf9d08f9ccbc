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
from typing import TYPE_CHECKING, Any, NamedTuple

from fieldbook.store.recent import state_folder
from fieldbook.tui.gathering import Ask, Fields, Gathered

if TYPE_CHECKING:
    from fieldbook.tui.prompt import Target


class Draft(NamedTuple):
    """A line that was begun, and the entry it speaks of."""

    address: str
    text: str
    field: str = ""
    new: str = ""
    then: Fields = ()
    gathered: Gathered = Gathered()
    """Blanks answered already, of what is written all at once."""

    @classmethod
    def of(cls, target: Target, text: str) -> Draft:
        """A line, and what it is for."""
        return cls(target.address, text, target.field, target.new, target.then, target.gathered)

    @property
    def target(self) -> Target:
        """What the line is for."""
        from fieldbook.tui.prompt import Target

        return Target(
            self.address, self.field, new=self.new, then=self.then, gathered=self.gathered
        )

    @property
    def in_words(self) -> str:
        """What was typed."""
        return self.text or ", ".join(text for _, text in self.gathered.known)


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
            if draft.text or draft.gathered.known:
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
        gathered = _gathered(*data.get("gathered", ()))
        if not data["text"] and not gathered.known:
            return None
        more = (str(data.get("field", "")), str(data.get("new", "")), _pairs(data.get("then", ())))
        return Draft(str(data["address"]), str(data["text"]), *more, gathered)
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        return None


def _pairs(data: Any) -> Fields:
    return tuple((str(name), str(text)) for name, text in data)


def _gathered(known: Any = (), asks: Any = (), left_out: Any = (), added: Any = ()) -> Gathered:
    """What was gathered, from a file that another version may have written."""
    return Gathered(
        _pairs(known),
        tuple(Ask(str(p), str(t), str(s), bool(n), str(r)) for p, t, s, n, r in asks),
        tuple(str(name) for name in left_out),
        tuple((str(name), int(number)) for name, number in added),
    )


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
