import pytest
from textual import events

from fieldbook.tui import keys
from fieldbook.tui.sheets import SHEETS
from tests.tui.every_sheet import every_sheet


def log_of(yard, address="firings/f"):
    return (yard / f"{address}.toml").read_text(encoding="utf-8").splitlines()


async def test_a_reading_typed_on_the_first_sheet_is_saved_with_one_enter(screen, driven, yard):
    async with driven(screen) as pilot:
        await pilot.press("f")
        await pilot.type("245C top, steam\r")
        assert 'temperature = "245 C", place = "top", steam = true, by = "ines"' in log_of(yard)[-1]
        assert pilot.words.startswith(" saved: ")
        assert pilot.app.prompt.text == ""


async def test_what_is_typed_is_said_back_in_words(screen, driven):
    async with driven(screen) as pilot:
        await pilot.press("f")
        await pilot.type("473F top")
        assert "top  473 °F (245 °C)" in pilot.words


async def test_what_could_be_meant_in_two_ways_is_asked_and_not_saved(screen, driven, yard):
    before = log_of(yard)
    async with driven(screen) as pilot:
        await pilot.press("f")
        await pilot.type("245 top")
        assert "? 245 of what?" in pilot.words
        await pilot.press("enter")
        assert pilot.app.prompt.text == "245 top"
        assert pilot.words.startswith(" not saved: 245 of what?")
        assert log_of(yard) == before


@pytest.mark.parametrize("letter", sorted(keys.BEGINS_A_LINE))
async def test_a_digit_or_a_sign_goes_to_the_prompt(screen, driven, letter):
    async with driven(screen) as pilot:
        await pilot.type(letter)
        assert pilot.app.prompt.text == letter
        assert pilot.app.focused is pilot.app.prompt.line


async def test_lines_that_come_in_one_go_are_not_taken_apart(screen, driven, yard):
    async with driven(screen) as pilot:
        await pilot.press("f")
        await pilot.type("12:05 240C top\r12:06 241C top\rsteam\r")
        times = [line.split('"')[1][11:16] for line in log_of(yard)[-3:]]
        assert times[:2] == ["12:05", "12:06"]
        assert "steam = true" in log_of(yard)[-1]


async def test_a_saved_line_is_taken_back_and_stands_in_the_prompt(screen, driven, yard):
    before = log_of(yard)
    async with driven(screen) as pilot:
        await pilot.press("f")
        await pilot.type("245C top\r")
        assert len(log_of(yard)) == len(before) + 1
        await pilot.press("ctrl+z")
        assert log_of(yard) == before
        assert pilot.app.prompt.text == "245C top"


async def test_a_line_that_cannot_be_saved_stands_in_the_prompt_again(screen, driven, yard):
    async with driven(screen) as pilot:
        await pilot.press("f")
        broken = "kiln = [\n"
        (yard / "firings/f.toml").write_text(broken, encoding="utf-8")
        await pilot.type("245C top\r")
        assert pilot.app.prompt.text == "245C top"
        assert pilot.words.startswith(" not saved: ")
        assert (yard / "firings/f.toml").read_text(encoding="utf-8") == broken


async def test_a_line_begun_stays_with_its_entry_when_another_is_chosen(screen, driven):
    async with driven(screen) as pilot:
        begun_for = pilot.app.prompt.target.address
        await pilot.type("1")
        while pilot.app.prompt.wanted.address == begun_for:
            await pilot.press("down")
        assert pilot.app.prompt.target.address == begun_for
        await pilot.press("backspace")
        assert pilot.app.prompt.target.address == pilot.app.prompt.wanted.address != begun_for


async def test_the_key_beside_an_action_starts_the_line_that_answers_it(screen, driven):
    async with driven(screen) as pilot:
        item = pilot.app.lines.item
        await pilot.press("a")
        assert pilot.app.prompt.text == item.answer.replace("…", "", 1)
        assert pilot.app.prompt.line.cursor_position == max(item.answer.find("…"), 0)


async def test_an_action_is_declined_with_a_reason(screen, driven, yard):
    async with driven(screen) as pilot:
        item = pilot.app.lines.item
        await pilot.press("w")
        await pilot.type("wood is wet\r")
        line = log_of(yard, item.address)[-1]
        assert f'declined = "{item.rule}", because = "wood is wet"' in line


async def test_a_field_is_changed_at_the_prompt_and_the_rest_of_the_file_stays(
    screen, driven, yard
):
    before = log_of(yard, "batches/a")
    async with driven(screen) as pilot:
        await pilot.press("right", "right", "right", "right", "right", "left")
        while "batches/a" not in pilot.body:
            await pilot.press("right")
        await pilot.press("enter")
        while pilot.app.lines.item.field != "count":
            await pilot.press("down")
        await pilot.press("c")
        assert pilot.app.prompt.text == "100"
        await pilot.press("backspace", "backspace", "backspace")
        await pilot.type("120\r")
        after = log_of(yard, "batches/a")
        assert after == [line.replace("count = 100", "count = 120") for line in before]


async def test_a_value_that_a_field_cannot_hold_is_refused_where_it_is_typed(screen, driven, yard):
    before = log_of(yard, "firings/f")
    async with driven(screen) as pilot:
        await pilot.press("f", "e")
        while pilot.app.lines.item.field != "plan.peak":
            await pilot.press("down")
        await pilot.press("c", "ctrl+u")
        await pilot.type("12 kg\r")
        assert pilot.words.startswith(" not saved: ")
        assert pilot.app.prompt.text == "12 kg"
        assert log_of(yard, "firings/f") == before


@pytest.mark.parametrize("sheet", [s for s in SHEETS if s.name != "no notebook"])
async def test_from_every_sheet_a_reading_is_saved_with_one_key_the_reading_and_enter(
    screen, driven, yard, look, sheet
):
    made = {type(one): one for one in every_sheet(look)}[sheet]
    async with driven(screen) as pilot:
        pilot.app.push(made)
        await pilot.settle()
        # All in one go, as fast as a terminal hands it over.
        await pilot.pilot.press("f", *"245C", "space", *"top", "enter")
        await pilot.settle()
        assert 'temperature = "245 C", place = "top"' in log_of(yard)[-1]


async def test_where_no_entry_is_in_view_the_line_is_for_the_fire(screen, driven, yard):
    async with driven(screen) as pilot:
        await pilot.press("g")
        await pilot.type("245C top\r")
        assert 'temperature = "245 C", place = "top"' in log_of(yard)[-1]


async def test_letters_taken_away_in_a_burst_are_those_that_were_typed_before(screen, driven):
    async with driven(screen) as pilot:
        await pilot.press("f")
        await pilot.type("245D\bC tp\b\bbottom")
        assert pilot.app.prompt.text == "245C bottom"


async def test_of_what_is_pasted_every_line_is_saved(screen, driven, yard):
    async with driven(screen) as pilot:
        await pilot.press("f")
        pilot.app.post_message(events.Paste("12:05 240C top\r\n12:06 241C top\n12:07 steam"))
        await pilot.settle()
        times = [line.split('"')[1][11:16] for line in log_of(yard)[-2:]]
        assert times == ["12:05", "12:06"]
        assert pilot.app.prompt.text == "12:07 steam"


async def test_a_letter_alone_is_no_note(screen, driven, yard):
    before = log_of(yard)
    async with driven(screen) as pilot:
        await pilot.press("f", "tab")
        await pilot.type("u\r")
        assert "u alone is no observation" in pilot.words
        assert log_of(yard) == before


async def test_what_cannot_be_read_says_what_to_do(screen, driven, yard):
    from fieldbook.tui.entry_sheet import EntrySheet

    (yard / "batches/a.toml").write_text("mix = [\n", encoding="utf-8")
    async with driven(screen) as pilot:
        pilot.app.push(EntrySheet("batches/a"))
        await pilot.settle()
        for key in ("c", "enter"):
            pilot.app.say("")
            await pilot.press(key)
            assert "E opens the file in your editor" in " ".join(pilot.words.split())
