"""git's merge driver for entries: plain `git merge` and `git pull` merge by meaning too.

Called as `python -m fieldbook.sync.driver BASE OURS THEIRS PATH`; the result replaces OURS.
"""

from __future__ import annotations

import sys
from pathlib import Path

from fieldbook.errors import FieldbookError
from fieldbook.sync.merge import merge
from fieldbook.text import clean_text


def main(words: list[str]) -> int:
    """Merge the three files; 1 leaves the entry unmerged, which `sync` can mend."""
    base, ours, theirs, shown = words
    was = Path(base).read_bytes()
    try:
        result = merge(was or None, Path(ours).read_bytes(), Path(theirs).read_bytes(), shown)
    except FieldbookError as error:
        print(f"fieldbook: {clean_text(str(error))}", file=sys.stderr)
        return 1
    Path(ours).write_bytes(result)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
