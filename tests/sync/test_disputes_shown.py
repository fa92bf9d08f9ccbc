"""A field that two makers set differently is shown with who set what and when, read from git."""

import json

import pytest

from fieldbook.cli.main import main
from fieldbook.report.disputes import Claim, Dispute
from fieldbook.tui.group_sheet import GroupSheet
from fieldbook.tui.history_sheet import HistorySheet
from fieldbook.tui.sheet import Paper
from tests.sync.clock import Clock

NOW = ("--now", "2026-08-10 12:00")
SAID = "batches/a: count is 90 (tomas, Thu 06 Aug 09:00) or 96 (ines, Wed 05 Aug 08:00); 90 holds"


@pytest.fixture
def ines(makers, monkeypatch):
    """Ines, when she and Tomas have each counted the same batch."""
    clock = Clock(monkeypatch)
    monkeypatch.delenv("FIELDBOOK_NOTEBOOK", raising=False)
    ines, tomas = makers
    for maker, count, at in ((ines, 96, "2026-08-05T08:00:00"), (tomas, 90, "2026-08-06T09:00:00")):
        clock.set(at)
        maker.write("batches/a.toml", maker.read("batches/a.toml").replace("100", str(count)))
        maker.sync.apply()
    clock.set("2026-08-07T12:00:00")
    ines.sync.apply()
    monkeypatch.chdir(ines.folder)
    return ines


def test_both_values_are_told_with_who_and_when_until_someone_settles_it(ines, makers, capsys):
    assert main(["history", "a", *NOW]) == 0
    assert f"disputed: {SAID}" in capsys.readouterr().out
    assert main(["show", "a", *NOW]) == 0
    assert f"disputed: {SAID}" in capsys.readouterr().out
    assert main(["news", *NOW]) == 0
    out = capsys.readouterr().out
    assert "needs a decision" in out
    assert SAID in out
    assert "fieldbook set ENTRY FIELD=VALUE" in out
    assert main(["news", "--json", *NOW]) == 0
    (asked,) = json.loads(capsys.readouterr().out)["disputed"]
    assert asked["claims"][1] == {"value": "96", "by": "ines", "at": "2026-08-05T08:00:00+00:00"}

    # The screen tells them too.
    from fieldbook.tui.desk import Desk

    look = list(Desk(ines.folder, "2026-08-10 12:00").looks())[-1]
    for sheet in (GroupSheet(), HistorySheet("batches/a")):
        rows = sheet.page(look, Paper(80, 17)).rows
        assert SAID in " ".join(" ".join(row.text for row in rows).split())

    # Whoever sets the field settles it, for all.
    assert main(["set", "a", "count=96", *NOW]) == 0
    assert "disputed" not in ines.read("batches/a.toml")
    capsys.readouterr()
    assert main(["news", "--json", *NOW]) == 0
    assert json.loads(capsys.readouterr().out)["disputed"] == []
    ines.sync.apply()
    tomas = makers[1]
    tomas.sync.apply()
    assert tomas.files == ines.files
    assert "count = 96" in tomas.read("batches/a.toml")


def test_what_no_history_tells_is_told_without_a_maker():
    dispute = Dispute("kilns/a", "fan.flow", (Claim("1 m3/h"), Claim("2 m3/h")), "1 m3/h")
    assert dispute.text(None) == "kilns/a: fan.flow is 1 m3/h or 2 m3/h; 1 m3/h holds"


def test_a_setting_that_two_set_differently_is_shown_and_settled_too(ines, makers, capsys):
    tomas = makers[1]
    for maker, title in ((ines, "The yard"), (tomas, "The river yard")):
        maker.add("notebook.toml", f'title = "{title}"')
        maker.sync.apply()
    ines.sync.apply()
    said = "notebook.toml: title is The river yard (tomas, 12:00) or The yard (ines, 12:00)"
    assert main(["news", "--now", "2026-08-07 12:30"]) == 0
    out = " ".join(capsys.readouterr().out.split())
    assert f"{said}; The river yard holds" in out
    assert "fieldbook set ENTRY FIELD=VALUE" in out
    assert main(["set", "notebook.toml", "title=The yard"]) == 0
    capsys.readouterr()
    assert main(["news", "--json", *NOW]) == 0
    asked = json.loads(capsys.readouterr().out)["disputed"]
    assert [each["entry"] for each in asked] == ["batches/a"]
    ines.sync.apply()
    tomas.sync.apply()
    assert tomas.files == ines.files
