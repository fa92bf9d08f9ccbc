"""Reading and writing a line imports nothing that takes time to start."""

import subprocess
import sys

ALLOWED_BESIDE_TOMLLIB = {"fieldbook", "__future__"}
SCRIPT = """
import sys, tomllib, datetime
before = set(sys.modules)
from datetime import datetime, timezone
from fieldbook.lines.reading import read_line
from fieldbook.lines.toml_text import key_for, line_for, read_key
seen = read_line("14:10 1040F top steam", "firing", datetime.now(timezone.utc))
line_for(key_for(seen.at, None, ()), seen.line("ines"))
read_key("2026-05-03 07:40", timezone.utc)
print(*sorted({name.split(".")[0] for name in set(sys.modules) - before}))
"""


def test_a_line_needs_no_module_beyond_those_of_tomllib():
    run = [sys.executable, "-c", SCRIPT]
    names = subprocess.run(run, capture_output=True, text=True, check=True).stdout.split()
    assert set(names) <= ALLOWED_BESIDE_TOMLLIB
