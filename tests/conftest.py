"""What every test stands on: nothing is kept in, or taken from, the cache of who runs them."""

import os
import tempfile

import pytest


def pytest_configure(config: pytest.Config) -> None:
    folder = tempfile.TemporaryDirectory(prefix="fieldbook-cache-")
    config.add_cleanup(folder.cleanup)
    os.environ["XDG_CACHE_HOME"] = folder.name
