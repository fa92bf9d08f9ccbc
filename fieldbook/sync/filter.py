"""git's filter for entries with private fields: a plain `git add` leaves them out too.

Called as `python -m fieldbook.sync.filter clean|smudge PATH` in the notebook's folder. What `clean`
takes out is kept in the history's own folder, which is not shared, and `smudge` puts it back.
"""

from __future__ import annotations

import sys
from pathlib import Path

from fieldbook.errors import FieldbookError
from fieldbook.store.durable import replace_file
from fieldbook.sync.private import shared_part, with_private
from fieldbook.text import clean_text

KEPT = Path(".git") / "fieldbook-private"


def main(words: list[str]) -> int:
    """Filter standard input to standard output; 1 refuses, and git then adds nothing."""
    way, path = words
    data = sys.stdin.buffer.read()
    kept = KEPT / path.replace("/", "+")
    try:
        if way == "clean":
            KEPT.mkdir(exist_ok=True, mode=0o700)
            replace_file(str(kept), data, str(kept))
            result = shared_part(path, data)
        else:
            result = with_private(path, data, kept.read_bytes() if kept.is_file() else None)
    except FieldbookError as error:
        print(f"fieldbook: {clean_text(str(error))}", file=sys.stderr)
        return 1
    sys.stdout.buffer.write(result)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
