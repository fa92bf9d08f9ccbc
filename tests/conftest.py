"""What every test stands on: nothing is kept in, or taken from, the cache of who runs them."""

import os
import tempfile

import pytest
from hypothesis import HealthCheck, settings

# A machine that is busy with other things fails no test, and every machine tries the same examples.
# Others are tried by hand: `python -m pytest --hypothesis-profile=explore`.
UNTIMED = {"deadline": None, "suppress_health_check": [HealthCheck.too_slow]}
settings.register_profile("explore", **UNTIMED)
settings.register_profile("same", derandomize=True, **UNTIMED)
settings.load_profile("same")


def pytest_configure(config: pytest.Config) -> None:
    folder = tempfile.TemporaryDirectory(prefix="fieldbook-cache-")
    config.add_cleanup(folder.cleanup)
    os.environ["XDG_CACHE_HOME"] = folder.name
