"""What was seen on an entry and changed in it, with who, on a real repository."""

import json

import pytest

from fieldbook.cli.main import main
from tests.sync.clock import Clock
from tests.sync.conftest import Maker, git

ENTRY = 'mix = "reach-3-1"\nmoulded = 2026-08-01\ncount = 100\n\n[log]\n'


@pytest.fixture(scope="module")
def ines(tmp_path_factory):
    """Ines, who has pulled what Tomas changed and has renamed the entry; only read from then on."""
    with pytest.MonkeyPatch.context() as monkeypatch:
        yield made(tmp_path_factory.mktemp("history"), monkeypatch)


def made(tmp_path, monkeypatch):
    stick = tmp_path / "stick.git"
    git(tmp_path, "init", "--quiet", "--bare", "--initial-branch=main", str(stick))
    clock = Clock(monkeypatch)
    monkeypatch.delenv("FIELDBOOK_NOTEBOOK", raising=False)
    ines = Maker(tmp_path / "ines", "ines", monkeypatch)
    ines.write("batches/a.toml", ENTRY)
    clock.set("2026-08-01T18:00:00")
    ines.sync.share(str(stick))
    tomas = Maker(tmp_path / "tomas", "tomas", monkeypatch)
    (tomas.folder / "notebook.toml").unlink()
    tomas.sync.share(str(stick))
    clock.set("2026-08-03T18:00:00")
    tomas.write("batches/a.toml", ENTRY.replace("100", "96"))
    tomas.add("batches/a.toml", '"2026-08-02 09:00:00+00:00" = { turned = true }')
    tomas.add("batches/a.toml", '"2026-08-02 10:00:00+00:00" = { cracked = 4, by = "wren" }')
    tomas.sync.apply()
    clock.set("2026-08-05T18:00:00")
    ines.sync.apply()
    (ines.folder / "batches/a.toml").rename(ines.folder / "batches/b.toml")
    ines.sync.apply()
    monkeypatch.chdir(ines.folder)
    return ines


def test_the_past_of_an_entry_stands_beside_its_observations(ines, capsys):
    assert main(["history", "b", "--now", "2026-08-10 12:00"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines == [
        "2026-08-01 18:00  begun: mix reach-3-1; moulded 2026-08-01; count 100  (ines)",
        "2026-08-02 09:00  turned yes  (tomas)",
        "2026-08-02 10:00  cracked 4  (wren)",
        "2026-08-03 18:00  changed: count 100 to 96  (tomas)",
    ]


def test_what_came_later_than_now_is_not_there_yet(ines, capsys):
    assert main(["history", "b", "--now", "2026-08-02 09:30"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert [line[:16] for line in lines] == ["2026-08-01 18:00", "2026-08-02 09:00"]


def test_an_entry_then_and_now_differs_by_what_was_changed_and_seen_since(ines, capsys):
    added = ("log", "--diff-filter=A", "--format=%H", "--", "batches/a.toml")
    first = git(ines.folder, *added).split()[-1]
    for since in ("2026-08-02 09:30", "2026-08-03", first[:9]):
        assert main(["compare", "b", "--since", since, "--json", "--now", "2026-08-10 12:00"]) == 0
        answer = json.loads(capsys.readouterr().out)
        assert answer["entries"] == [since, "now"]
        done = {row["name"]: row["said"] for row in answer["done_differently"]}
        assert done == {"count": ["100 bricks", "96 bricks"]}, since
        assert "note" not in answer
    assert (
        main(["compare", "b", "--since", "2026-08-04", "--json", "--now", "2026-08-10 12:00"]) == 0
    )
    assert json.loads(capsys.readouterr().out)["done_differently"] == []
    assert main(["compare", "b", "--since", "2026-07-01", "--now", "2026-08-10 12:00"]) == 1
    assert "was not there yet" in capsys.readouterr().err
