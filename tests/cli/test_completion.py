"""Completion in the shells themselves, where they are there; bash always is on Debian."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

FIELDBOOK = Path(sys.executable).with_name("fieldbook")


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_each_shell_gets_a_script(fieldbook, shell):
    answer = fieldbook("completion", shell)
    assert answer.status == 0
    assert "fieldbook" in answer.out


def complete(program_path, line: str) -> list[str]:
    environment = dict(
        os.environ,
        _ARGCOMPLETE="1",
        _ARGCOMPLETE_IFS="\n",
        COMP_LINE=line,
        COMP_POINT=str(len(line)),
    )
    script = f'"{program_path}" 8>&1 9>/dev/null >/dev/null 2>/dev/null'
    bash = shutil.which("bash")
    assert bash
    done = subprocess.run(
        [bash, "-c", script], env=environment, capture_output=True, text=True, check=False
    )
    return done.stdout.split()


def test_commands_and_entries_are_completed(notebook):
    assert "show" in complete(FIELDBOOK, "fieldbook sh")
    assert "batches/a" in complete(FIELDBOOK, "fieldbook show batches/")
