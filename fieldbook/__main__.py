"""The command `fieldbook`."""

import sys

from fieldbook.cli.main import main

if __name__ == "__main__":
    sys.exit(main())
