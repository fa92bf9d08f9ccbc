"""A group's notebook is joined from an empty folder, or from a notebook of one's own."""

import tomllib

import pytest

from fieldbook.cli.main import main
from fieldbook.errors import FieldbookError
from fieldbook.store.folder import Store
from fieldbook.store.whose import own_maker
from fieldbook.sync.joining import join
from fieldbook.sync.syncing import Sync
from tests.sync.conftest import Maker, git


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


@pytest.fixture
def bea(shared, tmp_path, monkeypatch):
    """One who has begun a notebook of her own before she joins."""
    bea = Maker(tmp_path / "bea", "bea", monkeypatch)
    own = 'title = "Bea\'s bricks"\n\n[show]\ntemperature = "degF"\n'
    bea.add("notebook.toml", own + '\n[measures]\nbarrow = "60 l"\nbucket = "9 l"\n')
    bea.write("clays/bank.toml", 'place = "the bank"\n')
    return bea


def group_says(ines, text) -> None:
    ines.add("notebook.toml", text)
    ines.sync.apply()


def test_who_joins_with_a_notebook_disputes_neither_title_nor_name(shared, bea):
    ines, _, url = shared
    group_says(ines, 'title = "The river yard"')
    before = tomllib.loads(ines.read("notebook.toml"))
    report = bea.sync.share(url)
    ines.sync.apply()
    assert ines.files == bea.files
    says = tomllib.loads(bea.read("notebook.toml"))
    assert says == {**before, "measures": {"barrow": "60 l", "bucket": "9 l"}}
    assert own_maker(str(bea.folder)) == "bea"
    assert any("yours gave way: title, show.temperature" in line for line in report.lines())
    assert {"batches/a.toml", "clays/bank.toml"} < ines.files.keys()


def test_her_own_name_stays_where_git_knows_another(shared, bea):
    *_, url = shared
    (bea.home / "gitconfig").write_text("[user]\nname = Beatriz R.\nemail = b@example.org\n")
    report = bea.sync.share(url)
    assert own_maker(str(bea.folder)) == "bea"
    assert "what you write here goes by your own name: bea" in report.lines()
    assert tomllib.loads(bea.read("notebook.toml"))["maker"] == "ines"


def test_a_measure_that_holds_more_for_one_than_for_the_group_is_disputed(shared, bea):
    ines, _, url = shared
    group_says(ines, '\n[measures]\nbarrow = "75 l"')
    bea.sync.share(url)
    says = tomllib.loads(bea.read("notebook.toml"))
    assert says["disputed"] == {"measures.barrow": ["60 l", "75 l"]}
    assert says["measures"] == {"barrow": "60 l", "bucket": "9 l"}


def test_an_instrument_comes_whole_and_only_where_the_group_has_none_of_that_name(shared, bea):
    ines, _, url = shared
    group_says(ines, '\n[instruments.scale]\nstep = "10 g"\n')
    bea.add("notebook.toml", '\n[instruments.scale]\nstep = "1 g"\nerror = "0.1 %"\n')
    bea.add("notebook.toml", '\n[instruments.ruler]\nstep = "1 mm"\nerror = "0.2 %"\n')
    report = bea.sync.share(url)
    says = tomllib.loads(bea.read("notebook.toml"))
    assert says["instruments"] == {
        "scale": {"step": "10 g"},
        "ruler": {"step": "1 mm", "error": "0.2 %"},
    }
    gave_way = "instruments.scale.step, instruments.scale.error"
    assert any(gave_way in line for line in report.lines())


def test_settings_that_cannot_be_read_are_named_and_nothing_is_taken_in(shared, bea):
    *_, url = shared
    bea.add("notebook.toml", "x = = 1")
    with pytest.raises(FieldbookError, match=r"notebook\.toml"):
        bea.sync.share(url)
    assert "batches/a.toml" not in bea.files


def test_where_git_knows_no_name_the_one_taken_is_said(shared, tmp_path, monkeypatch):
    monkeypatch.setattr("getpass.getuser", lambda: "bea")
    report = join(tmp_path / "third", shared[2])
    assert "what you write here goes by: bea" in report.lines()[-1]


def test_joining_that_could_not_reach_the_group_is_joining_still_at_the_next_sync(
    shared, bea, stick
):
    ines, _, url = shared
    group_says(ines, 'title = "The river yard"')
    stick.rename(stick.with_name("away.git"))
    with pytest.raises(FieldbookError, match="could not be reached"):
        bea.sync.share(url)
    stick.with_name("away.git").rename(stick)
    bea.sync.apply()
    says = tomllib.loads(bea.read("notebook.toml"))
    assert says["title"] == "The river yard"
    assert "disputed" not in says
    assert not (bea.folder / ".git/fieldbook-joining").exists()


def test_who_shares_learns_what_their_lines_go_by_where_git_calls_them_otherwise(
    tmp_path, monkeypatch
):
    folder = tmp_path / "yard"
    Store.start(folder, {"timezone": "UTC", "title": "Yard", "maker": "orla"})
    git = tmp_path / "gitconfig"
    git.write_text("[user]\n\tname = Orla Quist\n\temail = o@example.org\n")
    monkeypatch.setenv("GIT_CONFIG_GLOBAL", str(git))
    report = Sync(folder, "orla").share(None)
    assert "goes by: Orla Quist" in report.note
