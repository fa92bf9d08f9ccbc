"""Work that takes long is done by another process, says for how long, and can be stopped."""

import sys

from fieldbook.tui import errand


async def test_long_work_says_for_how_long_and_is_stopped(screen, driven, monkeypatch):
    slow = (sys.executable, "-c", "import time; time.sleep(600)")
    monkeypatch.setattr(errand, "PROGRAM", slow)
    async with driven(screen) as pilot:
        await pilot.pilot.press("g", "x")
        assert pilot.words == " exchanging with the group, 0 s; . stops it"
        pilot.app.errand.begun -= 83
        pilot.app.watch_files()
        assert pilot.words == " exchanging with the group, 83 s; . stops it"
        await pilot.press("full_stop")
        assert pilot.words.startswith(" stopped; what was done until then stands")
        assert pilot.app.errand is None


async def test_the_screen_takes_readings_while_it_goes_on(screen, driven, monkeypatch, yard):
    slow = (sys.executable, "-c", "import time; time.sleep(600)")
    monkeypatch.setattr(errand, "PROGRAM", slow)
    async with driven(screen) as pilot:
        await pilot.pilot.press("g", "x", "f", *"245C", "space", *"top", "enter")
        while '"245 C"' not in (yard / "firings/f.toml").read_text("utf-8"):
            await pilot.pilot.pause(0.05)
        await pilot.press("escape", "full_stop")


async def test_what_goes_wrong_is_said(screen, driven, monkeypatch):
    wrong = "import sys; sys.exit('fieldbook: the group could not be reached')"
    monkeypatch.setattr(errand, "PROGRAM", (sys.executable, "-c", wrong))
    async with driven(screen) as pilot:
        await pilot.press("g", "x")
        assert pilot.words == " the group could not be reached"


async def test_with_nothing_under_way_there_is_nothing_to_stop(screen, driven):
    async with driven(screen) as pilot:
        await pilot.press("full_stop")
        assert pilot.words == " nothing is under way"


def test_a_file_in_the_folder_one_stands_in_is_not_run(tmp_path, monkeypatch):
    (tmp_path / "fieldbook.py").write_text("print('another program')", encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    (said,) = errand.Errand("telling the version", ["--version"]).lines()
    assert said.startswith("fieldbook ")


async def test_leaving_stops_it(screen, driven, monkeypatch):
    slow = (sys.executable, "-c", "import time; time.sleep(600)")
    monkeypatch.setattr(errand, "PROGRAM", slow)
    async with driven(screen) as pilot:
        await pilot.pilot.press("g", "x")
        under_way = pilot.app.errand
        pilot.app.leave()
    assert under_way._process.wait(60) != 0
    assert under_way.is_stopped
