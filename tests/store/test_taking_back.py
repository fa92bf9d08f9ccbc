"""The observation saved last is taken back: as a whole, durably, or not at all."""

from __future__ import annotations

from datetime import datetime, timedelta, timezone

import pytest

from fieldbook.errors import FieldbookError
from fieldbook.lines.reading import read_line
from fieldbook.store.append import append
from fieldbook.store.bearings import bearings
from fieldbook.store.taking_back import take_back_last

AT = datetime(2026, 5, 3, 8, 10, tzinfo=timezone(timedelta(hours=-5)))
FIRING, TEST, BATCH = "firings/2026-05-03", "tests/2026-05-a", "batches/2026-04-a"


def save(store, folder, address, typed):
    known = bearings(str(folder), address)
    line = read_line(typed, known.kind, AT, bricks=known.bricks, measures=known.measures)
    return store.append(address, line, by="ines")


@pytest.mark.parametrize(
    ("address", "typed", "words"),
    [
        (FIRING, "steam", "steam"),
        (BATCH, "#1 3.02kg", "brick 1, 3.02 kg"),
        (TEST, "#3 dry 2.51kg", "specimen 3, dry 2.51 kg"),
        (TEST, "#1 soaked 2.82kg, it hissed", "note: specimen 1: it hissed"),
        (FIRING, "sound 150 cracked 14", "150 bricks sound, 14 bricks cracked"),
    ],
)
def test_what_was_saved_last_is_taken_back_in_full(store, folder, address, typed, words):
    before = (folder / f"{address}.toml").read_bytes()
    data = store.read(address).data
    save(store, folder, address, typed)
    assert store.read(address).data != data
    taken = take_back_last(str(folder))
    assert taken.address == address and words in taken.words
    assert {k: v for k, v in store.read(address).data.items() if v != {}} == data
    assert store.lost_lines() == []
    if address == BATCH:
        assert (folder / f"{address}.toml").read_bytes() == before


def test_one_observation_at_a_time_the_newest_first(store, folder):
    data = {address: store.read(address).data for address in (FIRING, TEST, BATCH)}
    for address, typed in (
        (BATCH, "#1 3.02kg"),
        (TEST, "#1 soaked 2.82kg"),
        (FIRING, "steam"),
        (TEST, "#1 soaked 2.83kg"),
    ):
        save(store, folder, address, typed)
    taken = [take_back_last(str(folder)).address for _ in range(4)]
    assert taken == [TEST, FIRING, TEST, BATCH]
    assert {address: store.read(address).data for address in data} == data
    with pytest.raises(FieldbookError, match="Nothing that was saved lately"):
        take_back_last(str(folder))


def test_the_last_one_of_an_entry_may_be_asked_for(store, folder):
    save(store, folder, BATCH, "#1 3.02kg")
    save(store, folder, FIRING, "steam")
    assert take_back_last(str(folder), BATCH).address == BATCH
    with pytest.raises(FieldbookError, match=f"on {BATCH}"):
        take_back_last(str(folder), BATCH)
    assert take_back_last(str(folder)).address == FIRING


def test_what_was_changed_since_is_left_alone(store, folder):
    save(store, folder, TEST, "#1 soaked 2.82kg")
    store.set_fields(TEST, {"specimens.1.soaked_mass": "2.9 kg"})
    before = (folder / f"{TEST}.toml").read_bytes()
    with pytest.raises(FieldbookError, match=r"soaked_mass.*nothing was taken back"):
        take_back_last(str(folder))
    assert (folder / f"{TEST}.toml").read_bytes() == before


def test_a_line_that_another_program_changed_is_left_alone(store, folder):
    saved = append(str(folder), FIRING, AT, {"note": "top hot"})
    path = folder / f"{FIRING}.toml"
    path.write_text(path.read_text().replace("top hot", "top cold"))
    before = path.read_bytes()
    with pytest.raises(FieldbookError, match="nothing was taken back"):
        take_back_last(str(folder))
    assert path.read_bytes() == before and saved.key in path.read_text()


def test_what_the_screen_took_back_is_not_taken_back_again(store, folder):
    save(store, folder, FIRING, "steam")
    for each in reversed(save(store, folder, TEST, "#3 dry 2.51kg, chipped")):
        store.undo_last(each)
    assert take_back_last(str(folder)).address == FIRING


def test_it_follows_a_renamed_entry(store, folder):
    save(store, folder, BATCH, "#1 3.02kg")
    new, _ = store.rename(BATCH, "april")
    data = store.read(new).data
    assert take_back_last(str(folder)).address == new
    assert len(store.read(new).data["log"]) == len(data["log"]) - 1
