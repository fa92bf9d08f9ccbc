"""Going from sheet to sheet, and noticing what changes on the disk."""

from fieldbook.tui.entry_sheet import EntrySheet
from fieldbook.tui.file_sheet import FileSheet
from fieldbook.tui.firing_sheet import FiringSheet
from fieldbook.tui.help_sheet import HelpSheet
from fieldbook.tui.now_sheet import NowSheet
from fieldbook.tui.station_sheet import StationSheet
from fieldbook.tui.why_sheet import WhySheet


async def test_enter_shows_the_numbers_and_escape_goes_back(screen, driven):
    async with driven(screen) as pilot:
        await pilot.press("enter")
        assert isinstance(pilot.app.sheet, WhySheet)
        await pilot.press("escape")
        assert isinstance(pilot.app.sheet, NowSheet)


async def test_the_arrows_go_along_the_map_and_stop_at_its_ends(screen, driven):
    async with driven(screen) as pilot:
        seen = []
        for _ in range(11):
            await pilot.press("right")
            seen.append(pilot.app.sheet.station)
        assert seen[0] == "clays" and seen[-2:] == ["builds", "builds"]
        assert len(dict.fromkeys(seen)) == 10
        for _ in range(10):
            await pilot.press("left")
        assert isinstance(pilot.app.sheet, NowSheet)


async def test_f_shows_the_fire_e_all_of_it_t_its_text(screen, driven):
    async with driven(screen) as pilot:
        await pilot.press("f")
        assert isinstance(pilot.app.sheet, FiringSheet)
        await pilot.press("e")
        assert isinstance(pilot.app.sheet, EntrySheet)
        await pilot.press("t")
        assert isinstance(pilot.app.sheet, FileSheet)
        await pilot.press("n")
        assert isinstance(pilot.app.sheet, NowSheet)


async def test_help_is_of_the_sheet_it_was_asked_on(screen, driven):
    async with driven(screen) as pilot:
        await pilot.press("f", "question_mark")
        assert isinstance(pilot.app.sheet, HelpSheet)
        assert "Keys here (fire)" in pilot.body
        await pilot.press("question_mark", "escape")
        assert isinstance(pilot.app.sheet, FiringSheet)


async def test_two_marked_entries_are_laid_side_by_side(screen, driven, yard):
    text = (yard / "clays/reach.toml").read_text("utf-8")
    (yard / "clays/hill.toml").write_text(text.replace("the reach", "the hill"), "utf-8")
    async with driven(screen) as pilot:
        await pilot.press("right")
        assert isinstance(pilot.app.sheet, StationSheet)
        await pilot.press("s")
        assert "mark two or more" in pilot.words
        await pilot.press("m", "down", "m", "s")
        assert "the reach" in pilot.body and "the hill" in pilot.body


async def test_what_another_terminal_logs_shows_by_itself(screen, driven, desk):
    from fieldbook.tui.prompt import Target

    async with driven(screen) as pilot:
        await pilot.press("f", "t")
        desk.save(Target("firings/f"), "246C top")
        pilot.app.watch_files()
        await pilot.settle()
        assert '"246 C"' in pilot.body


async def test_a_dropped_line_is_offered_and_put_back(screen, driven, yard):
    path = yard / "firings/f.toml"
    before = path.read_text("utf-8")
    async with driven(screen) as pilot:
        await pilot.press("f")
        await pilot.type("247C top\r")
        path.write_text(before, "utf-8")
        pilot.app.watch_files()
        await pilot.settle()
        assert "dropped by another program" in pilot.words
        await pilot.press("escape", "l", "p")
        assert '"247 C"' in path.read_text("utf-8")


async def test_the_bell_rings_once_and_only_when_wanted(screen, driven, monkeypatch):
    rung = []
    monkeypatch.setattr(type(screen), "bell", lambda self: rung.append(1))
    from datetime import timedelta

    async with driven(screen) as pilot:
        screen.desk._ahead += timedelta(hours=3)
        screen.read_again()
        await pilot.settle()
        assert rung == []
        await pilot.press("b")
        for _ in range(2):
            screen.read_again()
            await pilot.settle()
        assert rung == [1]


async def test_a_fault_is_said_in_one_line_and_its_trace_kept(
    screen, driven, monkeypatch, tmp_path
):
    def broken(self, look, paper):
        raise ZeroDivisionError("a fault")

    async with driven(screen) as pilot:
        monkeypatch.setattr(FiringSheet, "page", broken)
        await pilot.press("f")
        assert "a fault of the program" in pilot.words
        traces = list((tmp_path / "state" / "fieldbook").glob("fault-*.txt"))
        assert "ZeroDivisionError: a fault" in traces[0].read_text("utf-8")
        await pilot.press("n")
        assert isinstance(pilot.app.sheet, NowSheet)


async def test_an_editor_is_opened_on_the_file(screen, driven, monkeypatch, yard):
    opened = []
    monkeypatch.setattr("fieldbook.tui.doings.edit", opened.append)
    async with driven(screen) as pilot:
        monkeypatch.setattr(type(screen), "suspend", lambda self: _nothing())
        await pilot.press("right", "enter", "E")
        assert opened == [yard / "clays/reach.toml"]


def _nothing():
    import contextlib

    return contextlib.nullcontext()
