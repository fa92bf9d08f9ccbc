"""What a command does not need it does not load: the wait at the kiln is mostly loading."""

import subprocess
import sys

import pytest

HEAVY = {"numpy", "pint", "textual", "rich", "git", "tomlkit", "asyncio", "scipy", "uncertainties"}
PROBE = """
import sys
from fieldbook.cli.main import main
status = main(sys.argv[1:])
print("LOADED", *sorted(name for name in sys.modules))
sys.exit(status)
"""


def loaded(*words: str) -> set[str]:
    done = subprocess.run(
        [sys.executable, "-c", PROBE, *words], capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    return set(done.stdout.rpartition("LOADED")[2].split())


@pytest.mark.parametrize("words", [["--version"], ["log", "firings/f", "1040F", "top"]])
def test_version_and_log_load_nothing_heavy(notebook, words):
    modules = loaded(*words)
    assert not modules & (HEAVY | {"argparse", "dataclasses", "inspect", "fieldbook.records"})


@pytest.mark.parametrize("words", [["show", "a"], ["next"], ["show", "t"]])
def test_show_and_next_load_no_pint_and_no_scipy(notebook, words):
    assert not loaded(*words) & {"pint", "scipy", "textual", "git", "tomlkit", "asyncio"}


def test_the_probe_sees_what_is_loaded(notebook):
    assert {"fieldbook.cli.log", "tomllib"} <= loaded("log", "a", "turned")
