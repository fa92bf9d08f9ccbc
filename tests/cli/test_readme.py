"""The commands that README.md shows work on the sample notebook as they stand."""

import re
import shlex
import shutil
from pathlib import Path

import pytest

from fieldbook.cli.main import main

ROOT = Path(__file__).parents[2]
NOW = ("--now", "2026-09-12 14:30")
BLOCK = re.search(r"```text\n(.*?)```", (ROOT / "README.md").read_text(encoding="utf-8"), re.DOTALL)


def shown():
    """The commands of the block, without what stands beside them."""
    return [re.split(r"\s{2,}", line)[0] for line in BLOCK.group(1).splitlines() if line]


@pytest.fixture(scope="module")
def yard(tmp_path_factory):
    folder = tmp_path_factory.mktemp("readme") / "sample"
    shutil.copytree(ROOT / "sample_notebook", folder)
    return folder


@pytest.mark.parametrize("line", shown())
def test_each_command_of_the_readme_can_be_given(line, yard, tmp_path, monkeypatch, capsys):
    monkeypatch.setenv("XDG_STATE_HOME", str(yard.parent / "state"))
    monkeypatch.setenv("XDG_CACHE_HOME", str(yard.parent / "cache"))
    monkeypatch.chdir(tmp_path if " start " in line else yard)
    words = shlex.split(line)
    assert words[0] == "fieldbook"
    status = main([*words[1:], *NOW])
    out, err = capsys.readouterr()
    assert (status, err) == (0, "")
    assert bool(out) == (words[1] != "check"), "check says nothing where nothing is wrong"
