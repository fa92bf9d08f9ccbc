"""Fields and whole entries that a merge by hand dropped are back after the next sync."""

import tomllib

import pytest

from fieldbook.sync.dropped_fields import dropped
from tests.sync.conftest import ENTRY, git
from tests.sync.test_looking_over import without_driver

ORIGIN = "origin/main"
LATER = '"2026-09-06 18:00:00+00:00" = { covered = true, by = "tomas" }'


def said(maker, path="batches/a.toml") -> dict:
    return tomllib.loads(maker.read(path))


def changed(maker, old, new, path="batches/a.toml") -> None:
    maker.write(path, maker.read(path).replace(old, new))


def kept_by_hand(maker, *words: str) -> None:
    """Commit by plain git, and merge what the group has by plain git, one side preferred."""
    git(maker.folder, "add", "-A")
    git(maker.folder, "commit", "-qm", "by hand")
    git(maker.folder, "fetch", "-q", "origin")
    git(maker.folder, "-c", "branch.main.mergeoptions=", "merge", "-q", "--no-edit", *words, ORIGIN)


@pytest.fixture
def two(makers):
    """Ines set the number, Tomas the day; he merges by plain git and keeps his lines."""
    ines, tomas = makers
    changed(ines, "count = 100", "count = 96")
    ines.sync.apply()
    without_driver(tomas)
    changed(tomas, "2026-09-01", "2026-09-02")
    return ines, tomas


@pytest.mark.parametrize("words", [("-X", "ours"), ("-X", "theirs"), ("-s", "ours")])
def test_a_field_that_one_side_alone_set_is_back(two, words):
    ines, tomas = two
    kept_by_hand(tomas, *words)
    assert "96" not in tomas.read("batches/a.toml") or "09-02" not in tomas.read("batches/a.toml")
    report = tomas.sync.apply()
    assert any("brought back" in line and "batch a" in line for line in report.lines())
    ines.sync.apply()
    assert ines.files == tomas.files
    assert said(ines)["count"] == 96
    assert said(ines)["moulded"].day == 2
    assert "disputed" not in said(ines)
    assert ines.sync.apply().lines() == ["nothing was new on either side"]


def test_a_field_that_was_set_again_since_stays_as_it_was_set(two):
    ines, tomas = two
    kept_by_hand(tomas, "-s", "ours")
    tomas.sync.apply()
    changed(tomas, "count = 96", "count = 100")
    tomas.sync.apply()
    (tomas.folder / ".git/fieldbook-merges-looked-at").unlink()
    tomas.sync.apply()
    ines.sync.apply()
    assert said(tomas)["count"] == said(ines)["count"] == 100


def test_of_a_field_that_both_set_the_one_kept_by_hand_stands(makers):
    ines, tomas = makers
    changed(ines, "count = 100", "count = 96")
    ines.sync.apply()
    without_driver(tomas)
    changed(tomas, "count = 100", "count = 90")
    kept_by_hand(tomas, "-X", "theirs")
    tomas.sync.apply()
    assert said(tomas)["count"] == 96
    assert "disputed" not in said(tomas)


def test_what_the_other_kept_meanwhile_on_a_way_of_their_own_is_no_change_of_mind(two):
    ines, tomas = two
    kept_by_hand(tomas, "-s", "ours")
    ines.add("batches/a.toml", LATER)
    ines.sync.apply()
    tomas.sync.apply()
    assert said(tomas)["count"] == 96
    assert len(said(tomas)["log"]) == 1


def test_a_setting_of_the_notebook_is_back_as_well(makers):
    ines, tomas = makers
    ines.add("notebook.toml", 'title = "The river yard"')
    ines.sync.apply()
    without_driver(tomas)
    tomas.add("batches/a.toml", LATER)
    kept_by_hand(tomas, "-s", "ours")
    tomas.sync.apply()
    assert said(tomas, "notebook.toml")["title"] == "The river yard"


def test_an_entry_begun_on_one_side_is_back_unless_it_was_taken_away_since(makers):
    ines, tomas = makers
    ines.write("clays/reach.toml", 'place = "the reach"\n')
    ines.sync.apply()
    without_driver(tomas)
    tomas.add("batches/a.toml", LATER)
    kept_by_hand(tomas, "-s", "ours")
    assert not (tomas.folder / "clays/reach.toml").exists()
    tomas.sync.apply()
    assert said(tomas, "clays/reach.toml") == {"place": "the reach"}
    (tomas.folder / "clays/reach.toml").unlink()
    tomas.sync.apply()
    (tomas.folder / ".git/fieldbook-merges-looked-at").unlink()
    tomas.sync.apply()
    ines.sync.apply()
    assert ines.files == tomas.files
    assert "clays/reach.toml" not in tomas.files


def test_a_field_of_an_entry_that_was_renamed_here_is_back(makers):
    ines, tomas = makers
    ines.add("batches/a.toml", LATER)
    ines.sync.apply()
    tomas.sync.apply()
    changed(ines, "count = 100", "count = 96")
    ines.sync.apply()
    without_driver(tomas)
    (tomas.folder / "batches/a.toml").rename(tomas.folder / "batches/spring.toml")
    kept_by_hand(tomas, "-s", "ours")
    tomas.sync.apply()
    ines.sync.apply()
    assert ines.files == tomas.files
    assert said(tomas, "batches/spring.toml")["count"] == 96
    assert "batches/a.toml" not in tomas.files


def test_a_dispute_that_was_settled_is_not_open_again(makers):
    ines, tomas = makers
    for maker, count in ((ines, 96), (tomas, 90)):
        changed(maker, "count = 100", f"count = {count}")
        maker.sync.apply()
    ines.sync.apply()
    ines.write("batches/a.toml", ENTRY.replace("100", "96"))
    ines.sync.apply()
    without_driver(tomas)
    tomas.write("clays/reach.toml", 'place = "the reach"\n')
    kept_by_hand(tomas, "-s", "ours")
    assert said(tomas)["disputed"] == {"count": [90, 96]}
    tomas.sync.apply()
    assert said(tomas)["count"] == 96
    assert "disputed" not in said(tomas)


def test_rows_that_a_merge_dropped_are_back_though_the_other_went_on_meanwhile(makers):
    ines, tomas = makers
    ines.write("tests/t.toml", 'batch = "a"\n\n[specimens]\n"1" = { dry_mass = "2.51 kg" }\n')
    ines.sync.apply()
    without_driver(tomas)
    tomas.sync.apply()
    ines.add("tests/t.toml", '"2" = { dry_mass = "2.60 kg" }')
    ines.sync.apply()
    without_driver(tomas)
    tomas.add("batches/a.toml", LATER)
    kept_by_hand(tomas, "-s", "ours")
    ines.add("tests/t.toml", '"3" = { dry_mass = "2.70 kg" }')
    ines.sync.apply()
    tomas.sync.apply()
    assert sorted(said(tomas, "tests/t.toml")["specimens"]) == ["1", "2", "3"]


def entry(**fields) -> bytes:
    return "".join(f"{key} = {value}\n" for key, value in fields.items()).encode()


def test_what_a_merge_has_otherwise_than_both_is_a_decision():
    was, ours = entry(count=1), entry(count=2)
    assert dropped(was, ours, was, entry(count=3)) == {}
    assert dropped(was, ours, entry(count=4), was) == {}
    assert dropped(was, ours, ours, was) == {}
    assert dropped(was, ours, was, was) == {("count",): 2}


def test_of_what_cannot_be_read_nothing_is_said_to_be_missing():
    was, ours = entry(count=1), entry(count=2)
    for broken in (b"count = = 1\n", None):
        assert dropped(was, ours, was, broken) == {}
        assert dropped(broken, ours, was, was) == {}
