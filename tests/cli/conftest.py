import subprocess
from typing import NamedTuple

import pytest

from fieldbook.cli.main import main
from tests.installed import FIELDBOOK
from tests.small_yard import FILES, own_folders, write_yard


class Answer(NamedTuple):
    status: int
    out: str
    err: str


@pytest.fixture
def notebook(tmp_path, monkeypatch):
    """A small notebook on the disk, and the person's own folders beside it."""
    own_folders(tmp_path, monkeypatch)
    folder = write_yard(tmp_path / "yard", FILES)
    monkeypatch.chdir(folder)
    return folder


@pytest.fixture
def fieldbook(notebook, capsys):
    """Run a command in this process; gives status, output and complaints."""

    def run(*words: str) -> Answer:
        capsys.readouterr()
        status = main(list(words))
        out, err = capsys.readouterr()
        return Answer(status, out, err)

    return run


@pytest.fixture
def program(notebook):
    """Run the installed program as its own process."""

    def run(*words: str, **more) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            [FIELDBOOK, *words], capture_output=True, text=True, timeout=60, check=False, **more
        )

    return run
