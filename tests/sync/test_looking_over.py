"""Merges made without the driver, or badly by hand, are put right by the next sync."""

import tomllib

import pytest

from fieldbook.errors import FieldbookError
from tests.sync.conftest import ENTRY, NOON, git

LATER = '"2026-09-06 18:00:00+00:00" = { covered = true, by = "tomas" }'
EVENING = '"2026-09-06 21:00:00+00:00" = { note = "rain", by = "tomas" }'


def without_driver(maker) -> None:
    """Leave git as it is where no driver was ever set up: its own merge, with marks."""
    maker.sync  # noqa: B018 - takes on the person's own folders
    git(maker.folder, "config", "--remove-section", "merge.fieldbook")
    (maker.folder / ".git/info/attributes").unlink()


def parted(makers) -> None:
    """Both log into one entry; the lines of Ines are there, those of Tomas kept by hand."""
    ines, tomas = makers
    ines.add("batches/a.toml", NOON)
    ines.sync.apply()
    without_driver(tomas)
    tomas.add("batches/a.toml", LATER)
    tomas.add("batches/a.toml", EVENING)
    git(tomas.folder, "commit", "-qam", "by hand")
    git(tomas.folder, "fetch", "-q", "origin")


def merged_keeping(maker, side: str) -> None:
    with pytest.raises(AssertionError):
        git(maker.folder, "merge", "-q", "origin/main")
    git(maker.folder, "checkout", "-q", f"--{side}", "batches/a.toml")
    git(maker.folder, "add", "-A")
    git(maker.folder, "commit", "-qm", "one side kept")


def log_of(maker, path="batches/a.toml") -> dict:
    return tomllib.loads(maker.read(path)).get("log", {})


@pytest.mark.parametrize("side", ["ours", "theirs"])
def test_lines_of_the_side_that_was_dropped_are_brought_back(makers, side):
    ines, tomas = makers
    parted(makers)
    merged_keeping(tomas, side)
    assert len(log_of(tomas)) == (2 if side == "ours" else 1)
    tomas.sync.apply()
    ines.sync.apply()
    assert len(log_of(tomas)) == 3
    assert ines.files == tomas.files
    before = ines.files
    ines.sync.apply()
    assert ines.files == before


def test_a_loss_that_was_sent_by_plain_git_is_found_by_whoever_syncs(makers):
    ines, tomas = makers
    parted(makers)
    merged_keeping(tomas, "ours")
    git(tomas.folder, "push", "-q", "origin", "main")
    ines.sync.apply()
    assert len(log_of(ines)) == 3


def test_a_line_taken_away_on_purpose_stays_away(makers):
    ines, tomas = makers
    parted(makers)
    merged_keeping(tomas, "ours")
    tomas.sync.apply()
    tomas.write("batches/a.toml", tomas.read("batches/a.toml").replace(NOON + "\n", ""))
    tomas.sync.apply()
    (tomas.folder / ".git/fieldbook-merges-looked-at").unlink()
    tomas.sync.apply()
    ines.sync.apply()
    assert NOON not in tomas.read("batches/a.toml")
    assert ines.files == tomas.files


def test_a_line_that_one_side_took_away_before_the_merge_is_not_missing(makers):
    ines, tomas = makers
    ines.add("batches/a.toml", NOON)
    ines.sync.apply()
    tomas.sync.apply()
    ines.write("batches/a.toml", ENTRY)
    ines.sync.apply()
    without_driver(tomas)
    tomas.write("clays/reach.toml", 'place = "the reach"\n')
    git(tomas.folder, "add", "-A")
    git(tomas.folder, "commit", "-qm", "by hand")
    git(tomas.folder, "pull", "-q", "--no-rebase", "--no-edit", "origin", "main")
    tomas.sync.apply()
    assert log_of(tomas) == {}


def test_marks_that_were_committed_give_way_to_both_sides(makers):
    _, tomas = makers
    parted(makers)
    with pytest.raises(AssertionError):
        git(tomas.folder, "merge", "-q", "origin/main")
    git(tomas.folder, "commit", "-qam", "marks and all")
    assert "<<<<<<<" in tomas.read("batches/a.toml")
    tomas.sync.apply()
    assert len(log_of(tomas)) == 3


def test_a_whole_entry_that_a_merge_dropped_is_back(makers):
    _, tomas = makers
    parted(makers)
    with pytest.raises(AssertionError):
        git(tomas.folder, "merge", "-q", "origin/main")
    git(tomas.folder, "rm", "-q", "-f", "batches/a.toml")
    git(tomas.folder, "commit", "-qm", "none kept")
    tomas.sync.apply()
    assert len(log_of(tomas)) == 3


def test_an_entry_left_under_both_names_is_made_one(renamed):
    ines, tomas = renamed
    tomas.add("batches/a.toml", LATER)
    git(tomas.folder, "commit", "-qam", "by hand")
    with pytest.raises(AssertionError):
        git(tomas.folder, "pull", "-q", "--no-rebase", "--no-edit", "origin", "main")
    git(tomas.folder, "add", "-A")
    git(tomas.folder, "commit", "-qm", "both kept")
    tomas.sync.apply()
    ines.sync.apply()
    assert ines.files == tomas.files
    assert sorted(path for path in tomas.files if "batches" in path) == ["batches/spring.toml"]
    assert len(log_of(tomas, "batches/spring.toml")) == 2


def test_while_an_entry_stands_unmerged_check_says_so_and_sync_merges_it(makers, capsys):
    from fieldbook.cli.main import main

    _, tomas = makers
    parted(makers)
    with pytest.raises(AssertionError):
        git(tomas.folder, "merge", "-q", "origin/main")
    assert main(["check", "--notebook", str(tomas.folder)]) == 1
    assert "batches/a.toml: stands unmerged" in capsys.readouterr().out
    plan = tomas.sync.plan()
    assert any("stands unmerged" in line for line in plan.lines())
    assert main(["sync", "--notebook", str(tomas.folder)]) == 0
    assert "merged: batches/a.toml" in capsys.readouterr().out
    assert len(log_of(tomas)) == 3
    assert "unmerged" not in git(tomas.folder, "status")


def test_an_entry_unmerged_without_a_merge_is_merged_from_its_three_versions(makers):
    _, tomas = makers
    tomas.add("batches/a.toml", NOON)
    git(tomas.folder, "stash", "-q")
    tomas.add("batches/a.toml", LATER)
    without_driver(tomas)
    git(tomas.folder, "commit", "-qam", "by hand")
    with pytest.raises(AssertionError):
        git(tomas.folder, "stash", "pop", "-q")
    tomas.sync.apply()
    assert len(log_of(tomas)) == 2


def test_an_unreadable_entry_stops_the_merge_by_name_and_leaves_all_as_it_was(makers):
    ines, tomas = makers
    for maker, text in ((ines, "count = = 1\n"), (tomas, ENTRY + LATER + "\n")):
        maker.write("batches/a.toml", text)
    ines.write("batches/b.toml", ENTRY)
    ines.sync.apply()
    before = tomas.files
    with pytest.raises(FieldbookError, match=r"batches/a\.toml") as error:
        tomas.sync.apply()
    assert tomas.files == before
    assert [problem.path for problem in error.value.problems] == ["batches/a.toml"]


TEST = 'batch = "a"\n\n[specimens]\n"1" = { dry_mass = "2.51 kg" }\n'


def specimens(maker) -> list[str]:
    return sorted(tomllib.loads(maker.read("tests/t.toml"))["specimens"])


def test_specimens_that_a_merge_dropped_are_brought_back_and_those_taken_away_are_not(makers):
    ines, tomas = makers
    ines.write("tests/t.toml", TEST)
    ines.sync.apply()
    tomas.sync.apply()
    ines.add("tests/t.toml", '"2" = { dry_mass = "2.60 kg" }')
    ines.sync.apply()
    without_driver(tomas)
    tomas.add("tests/t.toml", '"3" = { dry_mass = "2.70 kg" }')
    git(tomas.folder, "commit", "-qam", "by hand")
    git(tomas.folder, "fetch", "-q", "origin")
    with pytest.raises(AssertionError):
        git(tomas.folder, "merge", "-q", "origin/main")
    git(tomas.folder, "checkout", "-q", "--ours", "tests/t.toml")
    git(tomas.folder, "commit", "-qam", "one side kept")
    tomas.sync.apply()
    assert specimens(tomas) == ["1", "2", "3"]
    text = tomas.read("tests/t.toml")
    tomas.write("tests/t.toml", text.replace('"2" = { dry_mass = "2.60 kg" }\n', ""))
    tomas.sync.apply()
    (tomas.folder / ".git/fieldbook-merges-looked-at").unlink()
    tomas.sync.apply()
    ines.sync.apply()
    assert specimens(tomas) == specimens(ines) == ["1", "3"]


def test_a_merge_of_what_cannot_be_read_stops_no_later_sync(makers):
    ines, tomas = makers
    ines.write("batches/a.toml", "count = = 1\n")
    ines.sync.apply()
    without_driver(tomas)
    tomas.add("batches/a.toml", LATER)
    git(tomas.folder, "commit", "-qam", "by hand")
    git(tomas.folder, "fetch", "-q", "origin")
    with pytest.raises(AssertionError):
        git(tomas.folder, "merge", "-q", "origin/main")
    git(tomas.folder, "checkout", "-q", "--theirs", "batches/a.toml")
    git(tomas.folder, "commit", "-qam", "the broken one kept")
    tomas.write("batches/b.toml", ENTRY)
    assert "batch b begun" in tomas.sync.apply().sent


def test_a_line_logged_while_a_renamed_entry_stands_unmerged_follows_the_new_name(makers):
    ines, tomas = makers
    ines.add("batches/a.toml", NOON)
    ines.sync.apply()
    tomas.sync.apply()
    ines.add("batches/a.toml", LATER)
    ines.sync.apply()
    tomas.sync  # noqa: B018 - takes on the person's own folders
    (tomas.folder / "batches/a.toml").rename(tomas.folder / "batches/spring.toml")
    git(tomas.folder, "add", "-A")
    git(tomas.folder, "commit", "-qm", "by hand")
    with pytest.raises(AssertionError):
        git(tomas.folder, "pull", "-q", "--no-rebase", "--no-edit", "origin", "main")
    tomas.add("batches/a.toml", EVENING)
    tomas.sync.apply()
    ines.sync.apply()
    assert ines.files == tomas.files
    assert not (tomas.folder / "batches/a.toml").exists()
    assert len(log_of(tomas, "batches/spring.toml")) == 3
