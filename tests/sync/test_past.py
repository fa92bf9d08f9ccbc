"""What the history tells of an entry: who, when, and how it was; on real repositories."""

from datetime import datetime

import pytest

from fieldbook.errors import FieldbookError, WrongUse
from fieldbook.sync import looked
from fieldbook.sync.past import Past, who_saw, who_set
from tests.sync.clock import Clock
from tests.sync.conftest import git

NOON = '"2026-08-06 12:00:00+00:00" = { turned = true }'
LATER = '"2026-08-07 18:00:00+00:00" = { covered = true }'


@pytest.fixture
def clock(monkeypatch):
    return Clock(monkeypatch)


def past_of(maker) -> Past:
    maker.sync  # noqa: B018 - takes on the person's own folders
    past = Past.of(maker.folder)
    assert past is not None
    return past


def keep(maker, path, text, clock, at):
    clock.set(at)
    maker.write(path, text)
    return maker.sync.apply()


def test_without_a_history_or_consent_there_is_no_past(tmp_path, makers, monkeypatch):
    ines, _ = makers
    assert Past.of(tmp_path) is None
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "somebody else"))
    assert Past.of(ines.folder) is None


def test_strange_settings_are_refused_before_the_past_is_read(makers):
    ines, _ = makers
    git(ines.folder, "config", "core.fsmonitor", "/bin/false")
    with pytest.raises(FieldbookError, match="fsmonitor"):
        past_of(ines)


def test_it_tells_who_kept_a_line_that_does_not_say(clock, makers):
    ines, tomas = makers
    clock.set("2026-08-06T13:00:00")
    ines.add("batches/a.toml", NOON)
    ines.sync.apply()
    clock.set("2026-08-07T19:00:00")
    tomas.add("batches/a.toml", LATER)
    tomas.sync.apply()
    ines.sync.apply()
    seen = who_saw(past_of(ines).of_entry("batches/a.toml"))
    assert {key[:10]: kept.maker for key, kept in seen.items()} == {
        "2026-08-06": "ines",
        "2026-08-07": "tomas",
    }
    assert seen["2026-08-07 18:00:00+00:00"].at == datetime.fromisoformat("2026-08-07T19:00+00:00")


def test_it_tells_who_set_each_of_two_disputed_values_and_when(clock, makers):
    ines, tomas = makers
    for maker, count, at in ((ines, 96, "2026-08-05T08:00:00"), (tomas, 90, "2026-08-06T09:00:00")):
        text = maker.read("batches/a.toml").replace("100", str(count))
        keep(maker, "batches/a.toml", text, clock, at)
    ines.sync.apply()
    for maker in (ines, tomas):
        changes = past_of(maker).of_entry("batches/a.toml")
        both = [who_set(changes, ("count",), value) for value in (90, 96)]
        assert [kept and kept.maker for kept in both] == ["tomas", "ines"]
        assert [kept and kept.at.day for kept in both] == [6, 5]


def test_a_field_inside_a_table_that_came_with_its_table_has_its_maker(clock, makers):
    ines, _ = makers
    keep(ines, "firings/f.toml", '[plan]\npeak = "950 C"\n', clock, "2026-08-05T08:00:00")
    kept = who_set(past_of(ines).of_entry("firings/f.toml"), ("plan", "peak"), "950 C")
    assert kept is not None
    assert kept.maker == "ines"
    assert who_set(past_of(ines).of_entry("firings/f.toml"), ("plan", "peak"), "960 C") is None


def test_an_entry_is_followed_to_its_former_name(clock, makers):
    ines, _ = makers
    clock.set("2026-08-06T13:00:00")
    ines.add("batches/a.toml", NOON)
    ines.sync.apply()
    clock.set("2026-08-08T13:00:00")
    (ines.folder / "batches/a.toml").rename(ines.folder / "batches/b.toml")
    ines.sync.apply()
    changes = past_of(ines).of_entry("batches/b.toml")
    assert [change.path for change in changes] == [
        "batches/b.toml",
        "batches/a.toml",
        "batches/a.toml",
    ]
    assert not changes[0].lines
    assert changes[1].lines == [NOON.partition('"')[2].partition('"')[0]]


def test_the_notebook_stands_again_as_it_was(clock, makers):
    ines, _ = makers
    first = keep(ines, "clays/reach.toml", 'place = "the reach"\n', clock, "2026-08-05T08:00:00")
    assert first.sent == ("clay reach begun",)
    keep(ines, "clays/reach.toml", 'place = "the bank"\n', clock, "2026-08-20T08:00:00")
    past = past_of(ines)
    then = past.standing(datetime.fromisoformat("2026-08-10T00:00+00:00"))
    assert then is not None
    with past.as_it_was(then) as folder:
        assert (folder / "clays/reach.toml").read_text(encoding="utf-8") == 'place = "the reach"\n'
        assert (folder / "notebook.toml").is_file()
    assert not folder.exists()
    assert past.moment(then.commit[:8]) == then
    before = past.standing(datetime.fromisoformat("2020-01-01T00:00+00:00"))
    assert before is None


def test_what_is_no_moment_is_refused(makers):
    past = past_of(makers[0])
    for text in ("HEAD", "--all", "main", "zzzz", "@{1}", "0123456789", "abc"):
        with pytest.raises(WrongUse, match="no moment"):
            past.moment(text)


def test_what_others_kept_is_new_until_one_has_looked_and_more_has_come(clock, makers):
    ines, tomas = makers
    past = past_of(ines)
    assert looked.look(ines.folder, past, clock.now) == (None, [])
    keep(tomas, "clays/bank.toml", 'place = "bank"\n', clock, "2026-08-05T08:00:00")
    keep(ines, "clays/reach.toml", 'place = "reach"\n', clock, "2026-08-06T08:00:00")
    ines.sync  # noqa: B018
    bank = looked.Came("clays/bank", "tomas", True, False, 0, ())
    assert looked.look(ines.folder, past, clock.now)[1] == [bank]
    assert looked.look(ines.folder, past, clock.now)[1] == [bank]
    keep(ines, "clays/slip.toml", 'place = "slip"\n', clock, "2026-08-07T08:00:00")
    assert looked.look(ines.folder, past, clock.now)[1] == [bank]
    clock.set("2026-08-08T08:00:00")
    tomas.sync.apply()
    tomas.add("batches/a.toml", NOON)
    tomas.write("clays/bank.toml", 'place = "the bank"\n')
    tomas.sync.apply()
    ines.sync.apply()
    came = looked.look(ines.folder, past, clock.now)[1]
    assert came == [
        looked.Came("batches/a", "tomas", False, False, 1, ()),
        looked.Came("clays/bank", "tomas", False, False, 0, ("place",)),
    ]


def test_a_mark_that_cannot_be_read_makes_all_of_it_new(clock, makers, tmp_path):
    ines, tomas = makers
    keep(tomas, "clays/bank.toml", 'place = "bank"\n', clock, "2026-08-05T08:00:00")
    ines.sync.apply()
    past = past_of(ines)
    looked.look(ines.folder, past, clock.now)
    mark = ines.home / "state/fieldbook/looked.json"
    mark.write_text('{"', encoding="utf-8")
    assert looked.looked(ines.folder) is None
    assert [came.address for came in looked.look(ines.folder, past, clock.now)[1]] == ["clays/bank"]


def test_who_began_an_entry_is_read_from_the_history(clock, makers):
    ines, tomas = makers
    keep(tomas, "clays/bank.toml", 'place = "bank"\n', clock, "2026-08-05T08:00:00")
    ines.sync.apply()
    begun = past_of(ines).begun()
    assert begun["clays/bank.toml"].maker == "tomas"
    assert begun["batches/a.toml"].maker == "ines"


def test_names_that_makers_gave_themselves_are_data(clock, makers):
    ines, tomas = makers
    tomas.sync  # noqa: B018
    git(tomas.folder, "config", "user.name", "to\x1bmas\x1f--all\x02")
    keep(tomas, "clays/bank.toml", 'place = "bank"\n', clock, "2026-08-05T08:00:00")
    ines.sync.apply()
    assert "to\x1bmas" in past_of(ines).begun()["clays/bank.toml"].maker


def test_an_entry_that_got_another_name_is_no_new_one_and_its_lines_are_not_new_again(
    clock, makers
):
    ines, tomas = makers
    clock.set("2026-08-06T13:00:00")
    ines.add("batches/a.toml", NOON)
    ines.sync.apply()
    past = past_of(ines)
    looked.look(ines.folder, past, clock.now)
    tomas.sync.apply()
    tomas.add("batches/a.toml", LATER)
    tomas.sync.apply()
    (tomas.folder / "batches/a.toml").rename(tomas.folder / "batches/spring.toml")
    report = tomas.sync.apply()
    assert report.sent == ("batch a is now spring",)
    assert ines.sync.apply().taken == ("batch a is now spring", "1 observation on batch spring")
    assert looked.look(ines.folder, past, clock.now)[1] == [
        looked.Came("batches/spring", "tomas", False, False, 1, ("name",)),
    ]
