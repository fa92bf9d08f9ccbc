"""What every test stands on: nothing is kept in, or taken from, the cache of who runs them."""

import os
import tempfile

import pytest
from hypothesis import HealthCheck, settings

# A machine that is busy with other things fails no test.
settings.register_profile("untimed", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("untimed")


def pytest_configure(config: pytest.Config) -> None:
    folder = tempfile.TemporaryDirectory(prefix="fieldbook-cache-")
    config.add_cleanup(folder.cleanup)
    os.environ["XDG_CACHE_HOME"] = folder.name
