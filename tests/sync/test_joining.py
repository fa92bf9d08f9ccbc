"""A group's notebook is joined from an empty folder."""

import pytest

from fieldbook.cli.main import main
from fieldbook.errors import FieldbookError
from fieldbook.sync.joining import join
from tests.sync.conftest import git


@pytest.fixture
def shared(makers, stick):
    ines, tomas = makers
    return ines, tomas, str(stick)


def test_who_joins_from_an_empty_folder_has_all_and_changes_nothing(shared, tmp_path):
    ines, tomas, url = shared
    assert tomas.sync
    before = ines.read("notebook.toml")
    report = join(tmp_path / "third", url)
    assert (tmp_path / "third" / "notebook.toml").read_text() == before
    assert (tmp_path / "third" / "batches" / "a.toml").exists()
    assert not report.sent
    ines.sync.apply()
    assert ines.read("notebook.toml") == before


def test_a_folder_that_holds_other_things_is_left_alone(shared, tmp_path):
    folder = tmp_path / "photographs"
    folder.mkdir()
    (folder / "kiln.jpg").write_bytes(b"x")
    with pytest.raises(FieldbookError, match="holds other things"):
        join(folder, shared[2])
    assert [each.name for each in folder.iterdir()] == ["kiln.jpg"]


def test_where_there_is_no_notebook_yet_the_folder_stays_empty(tmp_path, makers):
    git(tmp_path, "init", "--quiet", "--bare", "--initial-branch=main", "empty.git")
    with pytest.raises(FieldbookError, match="no notebook at"):
        join(tmp_path / "third", str(tmp_path / "empty.git"))
    assert not list((tmp_path / "third").iterdir())


def test_an_address_that_does_not_answer_leaves_the_folder_empty(tmp_path, makers):
    with pytest.raises(FieldbookError):
        join(tmp_path / "third", str(tmp_path / "nowhere.git"))
    assert not list((tmp_path / "third").iterdir())


def test_the_command_joins_where_there_is_no_notebook(shared, tmp_path, monkeypatch, capsys):
    (tmp_path / "third").mkdir()
    monkeypatch.chdir(tmp_path / "third")
    monkeypatch.delenv("FIELDBOOK_NOTEBOOK", raising=False)
    assert main(["share", shared[2]]) == 0
    assert (tmp_path / "third" / "notebook.toml").exists()
