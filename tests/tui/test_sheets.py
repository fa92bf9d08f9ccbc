"""What each sheet shows, and that nothing on it is wider than the paper."""

from pathlib import Path

import pytest

from fieldbook.text import columns
from fieldbook.tui.beside_sheet import BesideSheet
from fieldbook.tui.desk import Desk
from fieldbook.tui.entry_sheet import EntrySheet, sheet_for
from fieldbook.tui.file_sheet import FileSheet
from fieldbook.tui.firing_sheet import FiringSheet
from fieldbook.tui.help_sheet import HelpSheet
from fieldbook.tui.history_sheet import HistorySheet
from fieldbook.tui.lost_sheet import LostSheet
from fieldbook.tui.now_sheet import NowSheet
from fieldbook.tui.sheet import Paper
from fieldbook.tui.why_sheet import WhySheet
from tests.tui.every_sheet import every_sheet

WIDE, NARROW = Paper(80, 17), Paper(60, 13)


def text_of(page):
    return "\n".join(row.text for row in page.rows)


@pytest.mark.parametrize("paper", [WIDE, NARROW, Paper(120, 33), Paper(60, 13, ascii_only=True)])
def test_no_row_is_wider_than_the_paper(look, paper):
    for sheet in every_sheet(look):
        for row in sheet.page(look, paper).rows:
            assert columns(row.text) <= paper.width, (sheet.key, row.text)


def test_every_item_of_a_sheet_stands_in_its_rows(look):
    for sheet in every_sheet(look):
        page = sheet.page(look, WIDE)
        if any(row.item >= 0 for row in page.rows):
            assert {row.item for row in page.rows if row.item >= 0} == set(range(len(page.items)))


def test_an_action_tells_when_on_what_what_and_why(look):
    page = NowSheet().page(look, WIDE)
    action = look.advice.actions[0]
    shown = " ".join(text_of(page).split())
    assert action.entry in shown
    assert action.do in shown
    assert f"why: {action.why}"[:60] in shown


def test_the_numbers_behind_an_action_name_file_and_line(look):
    fire = next(a for a in look.advice.actions if a.entry == "firings/f" and a.rests_on)
    shown = text_of(WhySheet(fire).page(look, WIDE))
    assert "rule: " in shown
    assert "firings/f.toml:14" in shown


def test_a_fire_shows_its_plot_and_what_matters(look):
    shown = text_of(FiringSheet("firings/f").page(look, WIDE))
    for word in ("reading next at", "brick", "climb", "in core", "stages"):
        assert word in shown
    assert "09:00" in shown


def test_an_overdue_reading_is_said_and_then_less_is_said(yard):
    late = list(Desk(yard, "2026-09-12 15:00").looks())[-1]
    shown = text_of(FiringSheet("firings/f").page(late, WIDE))
    assert "OVERDUE since" in shown
    assert "as of 12:00" in shown
    assert "\n climb " not in shown


def test_a_problem_stands_under_the_field_it_is_about(yard):
    path = yard / "firings/f.toml"
    path.write_text(path.read_text("utf-8").replace('"950 C"', '"950 kg"'), "utf-8")
    look = list(Desk(yard, "2026-09-12 12:10").looks())[-1]
    rows = [row.text for row in EntrySheet("firings/f").page(look, WIDE).rows]
    at = next(n for n, row in enumerate(rows) if row.startswith("  plan peak"))
    assert rows[at + 1].startswith("    ! ")


def test_an_entry_that_cannot_be_read_shows_why_and_its_text(yard):
    (yard / "clays/reach.toml").write_text('place = "the reach\n', "utf-8")
    look = list(Desk(yard, "2026-09-12 12:10").looks())[-1]
    shown = text_of(EntrySheet("clays/reach").page(look, WIDE))
    assert "cannot be read" in shown
    assert '1  place = "the reach' in shown


def test_fields_that_could_be_written_stand_below_with_their_help(look):
    shown = text_of(EntrySheet("clays/reach").page(look, WIDE))
    assert (
        "  liquid limit           (water at the liquid limit" in shown.partition("not written")[2]
    )


def test_a_file_is_shown_as_it_stands(look, yard):
    page = FileSheet("clays/reach").page(look, WIDE)
    lines = (yard / "clays/reach.toml").read_text("utf-8").splitlines()
    assert [row.text[3:] for row in page.rows] == lines


def test_a_history_is_in_order(sample):
    look = list(Desk(sample, "2026-09-12 14:30").looks())[-1]
    shown = text_of(HistorySheet("kilns/slip-kiln").page(look, WIDE))
    found = [shown.index(f"firings/{name}") for name in ("2026-05-09", "2026-06-06", "2026-09-12")]
    assert found == sorted(found)


def test_side_by_side_shows_differences_first(sample):
    look = list(Desk(sample, "2026-09-12 14:30").looks())[-1]
    sheet = BesideSheet(["firings/2026-05-09", "firings/2026-06-06"])
    shown = text_of(sheet.page(look, WIDE))
    assert shown.index("done differently") < shown.index("came out differently")
    assert "2026-05-09" in shown and "2026-06-06" in shown


def test_help_explains_the_words_of_the_trade_used_on_the_sheet(look):
    page = FiringSheet("firings/f").page(look, WIDE)
    shown = text_of(HelpSheet(FiringSheet("firings/f"), page).page(look, WIDE))
    assert "core: the middle of a brick" in " ".join(shown.split())
    assert "efflorescence:" not in shown


def test_a_line_another_program_dropped_is_offered_back(yard):
    before = (yard / "firings/f.toml").read_text("utf-8")
    desk = Desk(yard, "2026-09-12 12:10")
    from fieldbook.tui.prompt import Target

    desk.save(Target("firings/f"), "245C top")
    (yard / "firings/f.toml").write_text(before, "utf-8")
    look = list(desk.looks())[-1]
    assert '"245 C"' in text_of(LostSheet().page(look, WIDE))


def test_the_sample_yard_fits_every_sheet(sample):
    look = list(Desk(sample, "2026-09-12 14:30").looks())[-1]
    for address in look.context.notebook.addresses:
        for paper in (WIDE, NARROW):
            for row in sheet_for(address).page(look, paper).rows:
                assert columns(row.text) <= paper.width, (address, row.text)


def test_the_sample_came_with_the_program():
    assert (Path(__file__).parents[2] / "sample_notebook" / "notebook.toml").is_file()
