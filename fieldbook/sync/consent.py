"""In which folders the person has switched sharing on: kept outside the folders themselves."""

from __future__ import annotations

import json
import os
from pathlib import Path


def _file() -> Path:
    home = os.environ.get("XDG_CONFIG_HOME") or Path.home() / ".config"
    return Path(home) / "fieldbook" / "shared-folders.json"


def folders() -> list[str]:
    """The folders for which sharing is on."""
    try:
        listed = json.loads(_file().read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return []
    return [item for item in listed if isinstance(item, str)] if isinstance(listed, list) else []


def given(folder: Path) -> bool:
    """Whether sharing is on for a folder."""
    return str(folder.resolve()) in folders()


def give(folder: Path) -> None:
    """Switch sharing on for a folder."""
    path = _file()
    path.parent.mkdir(parents=True, exist_ok=True)
    listed = sorted({*folders(), str(folder.resolve())})
    beside = path.with_suffix(".new")
    beside.write_text(json.dumps(listed, indent=1), encoding="utf-8")
    beside.replace(path)
