"""Blanks of lists and tables are asked one at a time; the file is written once all is known."""

import json
import tomllib

import pytest

from fieldbook.records import KINDS
from fieldbook.store.values import Setting
from fieldbook.tui.draft import Draft, DraftFile
from fieldbook.tui.gathering import Ask, answered, gather, is_structured, put_together
from fieldbook.tui.takes import takes
from tests.tui.test_answering import begun

MIX = 'fieldbook add mix … parts=\'[{ clay = "reach", volume = "…" }]\''
BUILD = "fieldbook add build … form=… length=… mix=reach-3-1"


@pytest.fixture
def setting(desk):
    return Setting(desk.zone, desk.store.settings.measures)


def read(path):
    return tomllib.loads(path.read_text("utf-8"))


async def test_a_mix_is_asked_part_by_part_and_written_in_one(screen, driven, yard):
    made = yard / "mixes/reach-4-1.toml"
    async with driven(screen) as pilot:
        prompt = await begun(pilot, MIX)
        await pilot.type("reach-4-1\r")
        assert (prompt.target.name, prompt.text) == ("parts: clay reach, volume", "")
        assert "such as 3 bucket; needed; then 2 more" in pilot.words
        await pilot.type("4 bucket\r")
        assert prompt.target.name == "temper (sand, grog)"
        assert "Enter alone leaves it out" in pilot.words
        await pilot.type("sand\r")
        assert prompt.target.name == "its volume" and not made.exists()
        await pilot.type("1 bucket\r")
        assert pilot.app.sheet.address == "mixes/reach-4-1"
    clay, sand = read(made)["parts"]
    assert clay == {"clay": "reach", "volume": "4 bucket"}
    assert sand == {"temper": "sand", "volume": "1 bucket"}


async def test_no_temper_leaves_its_amount_unasked(screen, driven, yard):
    async with driven(screen) as pilot:
        await begun(pilot, MIX)
        await pilot.type("plain\r")
        await pilot.type("4 bucket\r")
        await pilot.type("\r")
        assert "made: mixes/plain.toml; left out: temper" in pilot.words
    assert read(yard / "mixes/plain.toml")["parts"] == [{"clay": "reach", "volume": "4 bucket"}]


async def test_a_blank_that_is_needed_is_asked_again(screen, driven, yard):
    async with driven(screen) as pilot:
        prompt = await begun(pilot, MIX)
        await pilot.type("plain\r")
        await pilot.type("\r")
        assert "is needed" in pilot.words
        await pilot.type("4\r")
        assert "4 has no unit" in pilot.words.replace('"', "") and prompt.text == "4"
    assert not (yard / "mixes/plain.toml").exists()


@pytest.mark.parametrize("log", [MIX, BUILD, "fieldbook add batch … mix=reach-3-1"])
async def test_esc_halfway_leaves_no_file_and_says_so(screen, driven, yard, log):
    before = sorted(yard.rglob("*.toml"))
    async with driven(screen) as pilot:
        prompt = await begun(pilot, log)
        await pilot.type("half\r")
        assert prompt.target.ask is not None
        await pilot.press("escape")
        assert "half was not made" in pilot.words and prompt.text == ""
    assert sorted(yard.rglob("*.toml")) == before


async def test_what_was_answered_halfway_is_back_at_the_next_start(screen, driven, desk):
    async with driven(screen) as pilot:
        prompt = await begun(pilot, MIX)
        await pilot.type("later\r")
        await pilot.type("4 bucket\r")
        kept = json.loads(pilot.app.draft.path.read_text("utf-8"))
        assert kept["address"] == "mixes/later"
        draft = DraftFile(desk.folder).take_over()
        assert draft == Draft.of(prompt.target, "")
        assert draft.in_words == "reach, 4 bucket"


async def test_the_blanks_of_a_table_are_asked_and_what_was_written_stays(screen, driven, yard):
    async with driven(screen) as pilot:
        hint = 'fieldbook set batches/a marked.2=\'{ marks = "150 mm", mass = "… kg" }\''
        prompt = await begun(pilot, hint)
        assert (prompt.target.name, prompt.text) == ("marked 2 mass", " kg")
        await pilot.type("\r")
        assert "is needed" in pilot.words
        await pilot.type("3.31\r")
    marked = read(yard / "batches/a.toml")["marked"]
    assert marked["2"] == {"marks": "150 mm", "mass": "3.31 kg"}
    assert marked["1"]["mass"] == "3.25 kg"


async def test_a_new_entry_is_taken_back_whole(screen, driven, yard):
    async with driven(screen) as pilot:
        await begun(pilot, "fieldbook add batch … mix=reach-3-1 moulded=… count=60")
        await pilot.type("b\r")
        await pilot.type("2026-09-03\r")
        assert (yard / "batches/b.toml").exists()
        await pilot.press("escape", "u")
        assert not (yard / "batches/b.toml").exists()
        assert pilot.app.prompt.text == "2026-09-03"


def test_a_row_is_added_to_those_that_are_there(setting):
    firing = KINDS["firing"]
    have = {"load": [{"batch": "a", "count": 100}]}
    fields = (("load+", '{ refired = "f", count = … }'),)
    assert is_structured(firing, fields)
    found = answered(gather(firing, fields, have=have), "12")
    assert put_together(firing, found, setting) == {"load.2": {"refired": "f", "count": 12}}


def test_a_place_left_empty_is_left_out_of_the_load(setting):
    firing = KINDS["firing"]
    rows = '[{ batch = "a", count = …, place = "top" }, { batch = "a", count = …, place = "foot" }]'
    found = gather(firing, (("kiln", "small"), ("load", rows)), "firing")
    first = found.asks[0]
    assert first == Ask("load.1.count", "…", "load: batch a, place top, count", is_needed=True)
    found = answered(answered(found, "50"), "")
    assert found.left_out == ("load: batch a, place foot, count",)
    assert put_together(firing, found, setting) == {
        "kiln": "small",
        "load": [{"batch": "a", "count": 50, "place": "top"}],
    }


def test_all_that_must_be_is_asked_where_nothing_is_proposed():
    asked = {kind: [a.path for a in gather(KINDS[kind], (), kind).asks] for kind in KINDS}
    assert asked["batch"] == ["mix", "moulded", "count"]
    assert asked["test"] == ["batch"]
    assert asked["firing"] == ["kiln", "load.1.batch", "load.1.count", "load.1.place"]
    assert asked["clay"] == []


def test_a_row_that_was_left_out_is_not_told_as_saved(desk, yard):
    [mix] = [address for address in desk.store.addresses if address.startswith("mixes/")]
    rows = '[{ clay = "hill", volume = "…" }, { clay = "reach", volume = "…" }]'
    target = desk.go_on(desk.gathering(mix, (("parts+", rows),)), "3 l")
    _, words = desk.save(target, "")
    assert "hill" in words and "3 l" in words
    assert "reach" not in words
    assert desk.go_on(target, "").missing


def test_a_local_measure_is_proposed_for_what_it_may_measure_alone(desk):
    told = takes("clays/reach", "bars.9.wet_mass", desk.store.settings.measures, ())
    assert "bucket" not in told and "armload" not in told
