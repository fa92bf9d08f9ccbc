"""A neighbour pulls after a month: what one screen says, on two clones of a real repository."""

import pytest

from fieldbook.sync.looked import look
from fieldbook.sync.past import Past
from fieldbook.text import columns
from fieldbook.tui.beside_sheet import BesideSheet
from fieldbook.tui.desk import Desk
from fieldbook.tui.screen import Screen
from tests.sync.month import a_month, two_makers

NOW = "2026-09-01 12:00"


@pytest.fixture
def neighbours(tmp_path, monkeypatch):
    """Ines and Tomas with a clone each, and the clock that both keep by."""
    return two_makers(tmp_path, monkeypatch)


def screen_of(maker):
    maker.sync  # noqa: B018 - takes on the person's own folders
    return Screen(Desk(maker.folder, NOW))


async def test_a_month_of_a_neighbour_on_one_screen(neighbours, driven):
    ines, tomas, clock = neighbours
    clock.set("2026-08-02T18:00:00")
    ines.sync  # noqa: B018
    assert look(ines.folder, Past.of(ines.folder), clock.now)[1] == []
    a_month(tomas, clock)
    clock.set("2026-09-01T12:00:00")
    async with driven(screen_of(ines), size=(80, 24)) as pilot:
        await pilot.press("g")
        assert "others have kept nothing here yet" in pilot.body
        await pilot.press("x")
        shown = " ".join(pilot.body.split())
        assert "new since Sun 02 Aug 18:00" in shown
        # Clays, firings and results, in words.
        assert "clays bank: clay loam, shrinks 7.5" in shown
        assert "bank-4-1: 80 % bank, 20 % sand" in shown
        assert "2026-08-12: 172 of 180 sound, peak 960" in shown
        assert "results tomas-a: absorbs 10.0" in shown
        # Which firing did better, in what, and what was done differently: this one alone.
        better = shown.partition("did better than yours")[2]
        assert "2026-08-12 (tomas) beside your 2026-07-25" in better
        assert "2026-08-27" not in better
        assert "sound bricks 96 % (91 % to 98 %), yours 62 % (55 % to 69 %)" in better
        assert "absorption 10.0" in better
        assert "wood per brick 1.16" in better
        did = better.partition("done differently:")[2]
        for words in (
            "water when set 2 % (yours 6 %)",
            "climb 39.2 °C/h (yours 87 °C/h)",
            "peak 960 °C (yours 890 °C)",
            "hold 4.0 h (yours 0.5 h)",
            "gap 20 mm (yours 10 mm)",
        ):
            assert words in did, words
        # All of it in view at once, below the map and above the prompt.
        assert len(pilot.app.lines.page.rows) <= pilot.app.lines.size.height
        assert max(columns(row.text) for row in pilot.app.lines.page.rows) <= 79
        await pilot.press("end", "enter")
        assert isinstance(pilot.app.sheet, BesideSheet)
        assert pilot.app.sheet.addresses == ("firings/2026-08-12", "firings/2026-07-25")

        # Looked at again it is the same, until more has come.
        await pilot.press("escape", "escape", "g")
        assert " ".join(pilot.body.split()).startswith("new since Sun 02 Aug 18:00")
        assert "did better than yours" in pilot.body
        tomas.add("firings/2026-08-27.toml", '"2026-08-31 09:00:00+00:00" = { note = "wet wood" }')
        tomas.sync.apply()
        ines.sync  # noqa: B018
        await pilot.press("x")
        shown = " ".join(pilot.body.split())
        assert "new since 12:0" in shown
        assert "2026-08-27: 90 of 180 sound" in shown
        assert "new: 1 observation" in shown
        assert "none of their firings did better than yours" in shown

        # A group that is away keeps nobody waiting.
        ines.write("clays/slip.toml", 'place = "the slip"\n')
        ines.sync.git("remote", "set-url", "origin", "/nowhere/at/all.git")
        await pilot.press("escape", "g")
        assert "to send: clay slip begun" in pilot.body
        assert "could not be reached" not in pilot.body


async def test_without_sharing_the_sheet_says_how_to_switch_it_on(screen, driven):
    async with driven(screen) as pilot:
        await pilot.press("g")
        assert "fieldbook share" in pilot.body


async def test_a_disputed_setting_is_shown_and_set_on_the_sheet(neighbours, driven):
    ines, tomas, _ = neighbours
    for maker, title in ((ines, "The yard"), (tomas, "The river yard")):
        maker.add("notebook.toml", f'title = "{title}"')
        maker.sync.apply()
    ines.sync.apply()
    async with driven(screen_of(ines), size=(80, 24)) as pilot:
        await pilot.press("g")
        shown = " ".join(pilot.body.split())
        assert shown.startswith("needs a decision notebook.toml: title is The river yard (tomas,")
        assert "choose it, c, type the value" in shown
        await pilot.type("5 bricks")
        assert "is not an entry" in pilot.words
        await pilot.press("ctrl+u", "escape", "c")
        assert pilot.app.prompt.text == "The river yard"
        await pilot.press("ctrl+u")
        await pilot.type("The yard")
        await pilot.press("enter")
        assert "needs a decision" not in pilot.body
    assert 'title = "The yard"' in ines.read("notebook.toml")
    assert "disputed" not in ines.read("notebook.toml")


async def test_the_question_of_a_great_loss_is_answered_on_the_sheet(neighbours, driven):
    ines, tomas, _ = neighbours
    names = [f"batches/n{number}.toml" for number in range(8)]
    for number, path in enumerate(names):
        ines.write(path, f"count = {100 + number}\n")
    ines.sync.apply()
    tomas.sync.apply()
    for path in names:
        (tomas.folder / path).unlink()
    async with driven(screen_of(tomas), size=(80, 24)) as pilot:
        await pilot.press("g", "L")
        assert "no exchange asks about a loss" in pilot.words
        await pilot.press("x")
        assert "asks something first" in pilot.words
        shown = " ".join(pilot.body.split())
        assert "8 of 14 entries are gone from this folder" in shown
        assert "L, then Y lets them go for the whole group" in shown
        assert "fieldbook sync --bring-back" in shown
        # The second key alone answers nothing, and a new exchange asks anew.
        await pilot.press("Y")
        assert "Y answers what L asks" in pilot.words
        await pilot.press("L", "x")
        await pilot.press("Y")
        assert "Y answers what L asks" in pilot.words
        ines.sync.apply()
        assert set(names) < ines.files.keys()
        tomas.sync  # noqa: B018 - takes on the person's own folders
        await pilot.press("L")
        assert "Y lets them go" in pilot.words
        await pilot.press("Y")
        assert "exchanged with the group" in pilot.words
        assert "are gone from this folder" not in pilot.body
    ines.sync.apply(let_go=True)
    assert not set(names) & ines.files.keys()
