"""The key beside an action begins what settles it: a line, a field, a new entry, a look."""

import pytest

from fieldbook.tui.answering import asked
from fieldbook.tui.beside_sheet import BesideSheet
from fieldbook.tui.entry_sheet import EntrySheet
from fieldbook.tui.firing_sheet import FiringSheet
from fieldbook.tui.prompt import Target


@pytest.mark.parametrize(
    "log, how, words",
    [
        ("560 C …", "line", "560 C …"),
        ("fieldbook log batches/a '#1 … kg'", "line", "#1 … kg"),
        (
            'fieldbook set firings/f plan.peak="… C" plan.hold="1 h"',
            "fields",
            "plan peak, plan hold",
        ),
        ("fieldbook add batch … mix=reach-3-1 moulded=…", "new", "begin a batch"),
        ("fieldbook show firings/f", "look", "look at firings/f"),
        ("fieldbook compare firings/f firings/g", "beside", "firings/g"),
    ],
)
def test_what_settles_an_action_is_read_from_its_hint(log, how, words):
    found = asked(log, "firings/f")
    assert found.how == how
    assert words in found.words
    assert "fieldbook" not in found.words


def test_a_hint_that_cannot_be_read_begins_an_empty_line():
    assert asked("fieldbook set firings/f 'plan", "firings/f").how == "line"


async def begun(pilot, log):
    from fieldbook.tui.answering import answer

    answer(pilot.app, "firings/f", "some_rule", log)
    await pilot.settle()
    return pilot.app.prompt


async def test_fields_are_asked_for_one_after_the_other(screen, driven, yard):
    async with driven(screen) as pilot:
        prompt = await begun(pilot, 'fieldbook set firings/f plan.peak="… C" plan.hold="… h"')
        assert isinstance(pilot.app.sheet, EntrySheet)
        assert (prompt.target.field, prompt.text) == ("plan.peak", " C")
        assert prompt.line.cursor_position == 0
        await pilot.type("960\r")
        assert (prompt.target.field, prompt.text) == ("plan.hold", " h")
        await pilot.type("1\r")
        assert not prompt.target.is_field
    text = (yard / "firings/f.toml").read_text("utf-8")
    assert 'peak = "960 C"' in text and 'hold = "1 h"' in text


async def test_a_new_entry_is_named_made_and_then_filled_in(screen, driven, yard):
    async with driven(screen) as pilot:
        prompt = await begun(pilot, 'fieldbook add batch … mix="reach-3-1" moulded=… count=60')
        assert prompt.target.name == "name of the new batch"
        await pilot.type("2026-10-a")
        assert "makes batches/2026-10-a.toml" in pilot.words
        await pilot.press("enter")
        assert prompt.target.field == "moulded"
        assert "moulded: when they were moulded" in pilot.words
        assert not (yard / "batches/2026-10-a.toml").exists()
        await pilot.type("2026-10-02\r")
        assert pilot.app.sheet.address == "batches/2026-10-a"
        text = (yard / "batches/2026-10-a.toml").read_text("utf-8")
        assert 'mix = "reach-3-1"' in text and "count = 60" in text
        assert "moulded = 2026-10-02" in text


async def test_a_name_that_is_taken_or_none_is_refused_and_stays(screen, driven, yard):
    async with driven(screen) as pilot:
        prompt = await begun(pilot, "fieldbook add batch …")
        await pilot.type("a\r")
        assert "is there already" in pilot.words and prompt.text == "a"
        await pilot.press("ctrl+u")
        await pilot.type("My Batch\r")
        assert "write my-batch" in pilot.words and prompt.text == "My Batch"
        assert prompt.target.new == "batch"


async def test_a_new_entry_is_taken_back(screen, driven, yard):
    async with driven(screen) as pilot:
        await begun(pilot, "fieldbook add clay …")
        await pilot.type("hill\r")
        assert (yard / "clays/hill.toml").exists()
        await pilot.press("escape", "u")
        assert not (yard / "clays/hill.toml").exists()


async def test_enter_goes_on_to_the_next_blank_before_it_saves(screen, driven, yard):
    async with driven(screen) as pilot:
        prompt = await begun(pilot, "fieldbook log batches/a '#1 … kg marks … mm'")
        await pilot.type("2.51\r")
        assert prompt.text == "#1 2.51 kg marks  mm"
        assert prompt.line.cursor_position == len("#1 2.51 kg marks ")
        await pilot.type("141\r")
        last = (yard / "batches/a.toml").read_text("utf-8").splitlines()[-1]
        assert 'mass = "2.51 kg", marks = "141 mm"' in last


async def test_a_blank_left_empty_takes_its_part_of_a_round_with_it(screen, driven, yard):
    batch = yard / "batches/a.toml"
    marks = "".join(f'"{n}" = {{ marks = "150.0 mm", mass = "3.25 kg" }}\n' for n in (2, 3))
    batch.write_text(batch.read_text("utf-8").replace("\n[log]", f"{marks}\n[log]"), "utf-8")
    async with driven(screen) as pilot:
        prompt = await begun(pilot, "fieldbook log batches/a '#1 … kg, #2 … kg, #3 … kg'")
        await pilot.type("2.51\r")
        await pilot.type("\r")
        assert prompt.text == "#1 2.51 kg, #3  kg"
        assert "left out: #2" in pilot.words
        await pilot.type("2.49\r")
        assert pilot.words.startswith(" saved: ") and "left out: #2" in pilot.words
        *_, first, second = (yard / "batches/a.toml").read_text("utf-8").splitlines()
        assert 'brick = "1", mass = "2.51 kg"' in first
        assert 'brick = "3", mass = "2.49 kg"' in second


async def test_an_empty_blank_is_not_saved_as_a_note(screen, driven, yard):
    async with driven(screen) as pilot:
        before = (yard / "batches/a.toml").read_text("utf-8")
        prompt = await begun(pilot, "fieldbook log batches/a '#1 … kg marks … mm'")
        await pilot.type("\r")
        assert "the blank is empty" in pilot.words
        await pilot.type("2.51\r\r")
        assert prompt.text == "#1 2.51 kg marks  mm"
        assert (yard / "batches/a.toml").read_text("utf-8") == before


async def test_what_is_only_to_be_looked_at_is_opened(screen, driven):
    async with driven(screen) as pilot:
        await begun(pilot, "fieldbook show firings/f")
        assert isinstance(pilot.app.sheet, FiringSheet)
        await begun(pilot, "fieldbook compare firings/f firings/f")
        assert isinstance(pilot.app.sheet, BesideSheet)


async def test_an_entry_the_hint_leaves_open_is_asked_for(screen, driven):
    async with driven(screen) as pilot:
        await begun(pilot, "fieldbook set tests/… specimens.1.lime_pops=…")
        assert "choose which of the tests" in pilot.words


async def test_a_begins_an_entry_at_its_station(screen, driven, yard):
    async with driven(screen) as pilot:
        await pilot.press("right", "A")
        assert pilot.app.prompt.target == Target(new="clay")
        await pilot.type("hill\r")
        assert pilot.app.sheet.address == "clays/hill"


async def test_a_proposal_in_which_nothing_was_typed_is_gone_after_esc(screen, driven):
    async with driven(screen) as pilot:
        prompt = await begun(pilot, "fieldbook log batches/a '#1 … kg, #2 … kg'")
        assert "fill the blank" in pilot.words
        await pilot.press("escape")
        assert prompt.text == ""
        await begun(pilot, "fieldbook log batches/a '#1 … kg, #2 … kg'")
        await pilot.type("2.51")
        assert "brick 1, 2.51 kg" in pilot.words and "#2" not in pilot.words
        await pilot.press("escape")
        assert prompt.text == "#1 2.51 kg, #2 … kg"


async def test_tab_goes_to_the_next_blank_and_from_the_last_to_the_first(screen, driven):
    async with driven(screen) as pilot:
        prompt = await begun(pilot, "fieldbook log batches/a '#1 … kg, #2 … kg, #3 … kg'")
        await pilot.press("tab")
        assert prompt.text == "#1 … kg, #2  kg, #3 … kg"
        await pilot.type("2.51")
        await pilot.press("tab")
        assert prompt.text == "#1 … kg, #2 2.51 kg, #3  kg"
        await pilot.press("tab")
        assert prompt.text == "#1  kg, #2 2.51 kg, #3 … kg"
        assert pilot.app.is_typing


async def test_the_order_and_the_help_of_the_field_stand_while_it_is_answered(screen, driven):
    async with driven(screen) as pilot:
        from fieldbook.tui.answering import answer

        log = "fieldbook set clays/reach fizz=…"
        answer(pilot.app, "clays/reach", "some_rule", log, "Drip vinegar on it; write the fizz.")
        await pilot.settle()
        assert pilot.body.startswith(" Drip vinegar on it; write the fizz.")
        assert "fizz" in pilot.words and "none, " in pilot.words
