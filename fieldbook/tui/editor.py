"""The person's own editor, while the screen steps aside."""

from __future__ import annotations

import os
import shlex
import subprocess
from pathlib import Path

from fieldbook.errors import FieldbookError


def edit(path: Path) -> None:
    """Open a file in `$VISUAL` or `$EDITOR` and wait for it."""
    editor = os.environ.get("VISUAL") or os.environ.get("EDITOR")
    if not editor:
        raise FieldbookError(f"$EDITOR is not set\n    Set it, or open {path} yourself")
    try:
        subprocess.run([*shlex.split(editor), str(path)], check=True)
    except (OSError, ValueError, subprocess.CalledProcessError) as error:
        raise FieldbookError(f"{editor} did not end well: {error}") from error
