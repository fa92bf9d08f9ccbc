"""The loss of most of a notebook is never carried over unasked, in either direction."""

import io
import shutil

import pytest

from fieldbook.cli.main import main
from fieldbook.errors import FieldbookError
from fieldbook.sync.bringing_back import Back, bring_back
from fieldbook.sync.loss import Loss, great
from tests.sync.conftest import ENTRY

NAMES = [f"batches/n{number}.toml" for number in range(8)]


@pytest.fixture
def eight(makers):
    """A notebook of nine entries, each with text of its own, on both sides."""
    ines, tomas = makers
    for number, path in enumerate(NAMES):
        ines.write(path, f"# {number}\n" + ENTRY)
    ines.sync.apply()
    tomas.sync.apply()
    return ines, tomas


def gone(maker, how=lambda path: path.unlink()) -> None:
    for path in NAMES:
        how(maker.folder / path)


@pytest.mark.parametrize(
    "how", [lambda path: path.unlink(), lambda path: path.write_bytes(b"")], ids=["gone", "empty"]
)
def test_what_is_gone_here_is_not_sent_unasked(eight, how):
    ines, tomas = eight
    gone(ines, how)
    assert any("8 of 9 entries are gone" in line for line in ines.sync.plan().lines())
    with pytest.raises(Loss, match="8 of 9 entries are gone from this folder"):
        ines.sync.apply()
    tomas.sync.apply()
    assert set(NAMES) < tomas.files.keys()
    ines.sync  # noqa: B018 - takes on the person's own folders
    assert main(["sync", "--bring-back", "--notebook", str(ines.folder)]) == 0
    ines.sync.apply()
    assert ines.files == tomas.files


def test_what_is_gone_here_is_sent_when_that_is_meant(eight):
    ines, tomas = eight
    gone(ines)
    ines.sync  # noqa: B018 - takes on the person's own folders
    assert main(["sync", "--let-go", "--notebook", str(ines.folder)]) == 0
    with pytest.raises(Loss, match="the group took away 8 of 9 entries"):
        tomas.sync.apply()
    assert set(NAMES) < tomas.files.keys()
    tomas.sync.apply(let_go=True)
    assert ines.files == tomas.files
    assert not set(NAMES) & tomas.files.keys()


def test_what_is_brought_back_is_what_is_gone_and_nothing_else(eight, capsys):
    ines, _ = eight
    line = '"2026-09-06 18:00:00+00:00" = { covered = true, by = "ines" }'
    before = ines.files
    gone(ines)
    ines.add("batches/a.toml", line)
    ines.write("batches/new.toml", ENTRY)
    (ines.folder / "notebook.toml").write_bytes(before["notebook.toml"] + b"# not done yet\n")
    with pytest.raises(Loss, match="sync --bring-back"):
        ines.sync.apply()
    now = ines.files
    assert main(["sync", "--bring-back", "--notebook", str(ines.folder)]) == 0
    assert "brought back: batches/n0\n" in capsys.readouterr().out
    assert ines.files == {**now, **{path: before[path] for path in NAMES}}
    assert main(["sync", "--bring-back", "--notebook", str(ines.folder)]) == 0
    assert "no entry that was kept is gone" in capsys.readouterr().out


def test_an_entry_that_has_another_name_is_not_brought_back(eight):
    ines, _ = eight
    (ines.folder / NAMES[0]).rename(ines.folder / "batches/m0.toml")
    before = ines.files
    ines.sync  # noqa: B018 - takes on the person's own folders
    assert main(["sync", "--bring-back", "--notebook", str(ines.folder)]) == 0
    assert ines.files == before


def test_the_command_without_an_answer_ends_in_a_plain_sentence(eight, capsys):
    ines, _ = eight
    gone(ines)
    ines.sync  # noqa: B018 - takes on the person's own folders
    assert main(["sync", "--notebook", str(ines.folder)]) == 1
    assert "--let-go" in capsys.readouterr().err


def test_many_new_names_are_no_loss(eight):
    ines, tomas = eight
    for path in NAMES:
        (ines.folder / path).rename(ines.folder / path.replace("/n", "/m"))
    ines.sync.apply()
    tomas.sync.apply()
    assert ines.files == tomas.files


def test_a_few_of_few_are_not_asked_about():
    assert great(["batches/a.toml"] * 4, {"batches": 4}) is None
    assert great(["batches/a.toml"] * 5, {"batches": 6, "clays": 4}) is None
    assert great(["batches/a.toml"] * 5, {"batches": 6, "clays": 3}).words == "5 of 9 entries"


def test_all_of_one_kind_are_asked_about_though_most_is_there(eight):
    ines, tomas = eight
    for number in range(20):
        ines.write(f"clays/c{number}.toml", f'place = "pit {number}"\n')
    ines.sync.apply()
    tomas.sync.apply()
    (ines.folder / "batches/a.toml").unlink()
    gone(ines)
    with pytest.raises(Loss, match="all 9 batches are gone from this folder"):
        ines.sync.apply()
    ines.sync.apply(let_go=True)
    with pytest.raises(Loss, match="the group took away all 9 batches"):
        tomas.sync.apply()


class Typed(io.StringIO):
    """A terminal at which something is typed."""

    def isatty(self) -> bool:
        return True


@pytest.mark.parametrize(("typed", "status"), [("yes\n", 0), ("y\n", 1), ("", 1)])
def test_at_a_terminal_a_person_is_asked(eight, monkeypatch, typed, status):
    ines, _ = eight
    gone(ines)
    ines.sync  # noqa: B018 - takes on the person's own folders
    monkeypatch.setattr("sys.stdin", Typed(typed))
    monkeypatch.setattr("sys.stderr", told := Typed())
    assert main(["sync", "--notebook", str(ines.folder)]) == status
    assert told.getvalue().count("8 of 9 entries") == 1
    assert ("they stay" in told.getvalue()) == bool(status)


def test_many_that_are_brought_back_are_counted_by_kind():
    many = [f"firings/f{number}.toml" for number in range(20)]
    assert Back(("clays/a.toml", "clays/b.toml", *many)).lines() == [
        "brought back: 2 clays",
        "brought back: 20 firings",
    ]


def test_nothing_is_brought_back_through_a_folder_that_is_a_link(makers, tmp_path):
    ines, _ = makers
    away = tmp_path / "away"
    away.mkdir()
    shutil.rmtree(ines.folder / "batches")
    (ines.folder / "batches").symlink_to(away)
    with pytest.raises(FieldbookError):
        bring_back(ines.sync)
    assert list(away.iterdir()) == []
