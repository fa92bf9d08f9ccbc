"""The program as it is installed beside the interpreter that runs the tests."""

import sys
from pathlib import Path

FIELDBOOK = Path(sys.executable).with_name("fieldbook")
