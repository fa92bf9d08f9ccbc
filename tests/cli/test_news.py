"""`news`: what others did since one last looked, on two clones of a real repository."""

import json

import pytest

from fieldbook.cli.main import main
from tests.sync.month import a_month, two_makers

NOW = ("--now", "2026-09-01 12:00")


@pytest.fixture
def ines(tmp_path, monkeypatch):
    """Ines, who has pulled a month of what Tomas did."""
    ines, tomas, clock = two_makers(tmp_path, monkeypatch)
    a_month(tomas, clock)
    clock.set("2026-09-01T12:00:00")
    ines.sync.apply()
    monkeypatch.chdir(ines.folder)
    return ines


def test_news_tells_by_maker_and_kind_and_who_did_better(ines, capsys):
    assert main(["news", "--json", *NOW]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert answer["since"] is None
    begun = {row["entry"]: row for row in answer["new"]}
    assert begun["clays/bank"]["maker"] == "tomas"
    assert begun["clays/bank"]["words"].startswith("clay loam, shrinks")
    assert begun["firings/2026-08-12"]["observations"] > 20
    (better,) = answer["better"]
    assert (better["theirs"], better["yours"]) == ("firings/2026-08-12", "firings/2026-07-25")
    assert [held["name"] for held in better["better"]] == [
        "sound bricks",
        "absorption",
        "wood per brick",
    ]
    assert better["worse"] == []
    done = {row["name"]: row["said"] for row in better["done_differently"]}
    assert done["moisture when set"] == ["2 ± 1 %", "6 ± 1 %"]
    assert "mix" not in done

    # What was kept later than --now is not there yet.
    assert main(["news", "--now", "2026-08-21 12:00"]) == 0
    early = capsys.readouterr().out
    assert "2026-08-12: 172 of 180 sound" in early
    assert "2026-08-27" not in early

    # JSON is no look of a person, so all is still new; a day narrows it.
    assert main(["news", *NOW]) == 0
    out = capsys.readouterr().out
    assert out.startswith("all that others have kept here\n tomas\n")
    assert "did better than yours" in out
    assert main(["news", "--since", "2026-08-25", *NOW]) == 0
    late = capsys.readouterr().out
    assert "new since Tue 25 Aug 00:00" in late
    assert "2026-08-27: 90 of 180 sound" in late
    assert "bank" not in late
    assert "none of their firings did better than yours, beyond the bounds" in late

    # Entries of two makers say whose they are.
    assert main(["compare", "2026-08-12", "2026-07-25", *NOW]) == 0
    head = capsys.readouterr().out.splitlines()[1]
    assert head.split("  ")[-2:] == ["firings/2026-08-12 (tomas)", "firings/2026-07-25 (ines)"]

    # Whose an entry is follows git where its file does not say.
    assert main(["find", "firings", "maker=Tomas", *NOW]) == 0
    assert capsys.readouterr().out.split() == ["firings/2026-08-12", "firings/2026-08-27"]

    # One entry then and now, by a day of its history.
    assert main(["compare", "tomas-b", "--since", "2026-08-22", "--json", *NOW]) == 0
    names = json.loads(capsys.readouterr().out)["entries"]
    assert names == ["2026-08-22", "now"]
    assert main(["compare", "tomas-b", "--since", "2026-08-01", *NOW]) == 1
    assert "was not there yet" in capsys.readouterr().err


def test_news_without_sharing_says_how_to_switch_it_on(fieldbook):
    answer = fieldbook("news")
    assert answer.status == 1
    assert "fieldbook share" in answer.err
