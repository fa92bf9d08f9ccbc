"""Real folders, real git, a real bare repository: what two makers write comes together."""

import tomllib

import pytest

from fieldbook.errors import FieldbookError, WrongUse
from fieldbook.store.lock import Lock
from fieldbook.sync import syncing
from fieldbook.sync.sharing import checked_url
from fieldbook.sync.syncing import Sync
from tests.sync.conftest import git

NOON = '"2026-09-06 12:00:00+00:00" = { turned = true, by = "ines" }'
LATER = '"2026-09-06 18:00:00+00:00" = { covered = true, by = "tomas" }'


def test_a_maker_who_joins_has_the_whole_notebook(makers):
    ines, tomas = makers
    assert tomas.files == ines.files


def test_lines_of_both_come_together_and_both_have_the_same(makers):
    ines, tomas = makers
    ines.add("batches/a.toml", NOON)
    tomas.add("batches/a.toml", LATER)
    ines.sync.apply()
    report = tomas.sync.apply()
    ines.sync.apply()
    assert ines.files == tomas.files
    assert len(tomllib.loads(ines.read("batches/a.toml"))["log"]) == 2
    assert report.taken == ("1 observation on batch a",)
    assert report.sent == ("1 observation on batch a",)


def test_the_plan_says_what_would_be_done_and_changes_nothing(makers):
    ines, tomas = makers
    tomas.add("batches/a.toml", LATER)
    tomas.sync.apply()
    ines.write("clays/reach.toml", 'place = "the reach"\n')
    before = ines.files
    plan = ines.sync.plan()
    assert plan.to_send == ("clay reach begun",)
    assert plan.to_take == ("1 observation on batch a",)
    assert ines.files == before


def test_a_field_set_by_both_is_disputed_and_nothing_is_lost(makers):
    ines, tomas = makers
    for maker, count in ((ines, 96), (tomas, 90)):
        maker.write("batches/a.toml", maker.read("batches/a.toml").replace("100", str(count)))
        maker.sync.apply()
    ines.sync.apply()
    assert ines.files == tomas.files
    data = tomllib.loads(ines.read("batches/a.toml"))
    assert data["disputed"]["count"] == [90, 96]
    assert data["count"] == 90


def test_a_removal_against_a_change_keeps_the_change(makers):
    ines, tomas = makers
    (ines.folder / "batches/a.toml").unlink()
    ines.sync.apply()
    tomas.add("batches/a.toml", LATER)
    tomas.sync.apply()
    ines.sync.apply()
    assert ines.files == tomas.files
    assert LATER in ines.read("batches/a.toml")


def test_an_entry_renamed_here_and_logged_to_there_is_followed(makers):
    ines, tomas = makers
    (ines.folder / "batches/a.toml").rename(ines.folder / "batches/b.toml")
    ines.sync.apply()
    tomas.add("batches/a.toml", LATER)
    tomas.sync.apply()
    ines.sync.apply()
    assert ines.files == tomas.files
    assert LATER in ines.read("batches/b.toml")


def test_plain_git_pull_merges_by_meaning_too(makers):
    ines, tomas = makers
    ines.add("batches/a.toml", NOON)
    ines.sync.apply()
    tomas.add("batches/a.toml", LATER)
    tomas.sync  # noqa: B018 - takes on the person's own folders
    git(tomas.folder, "commit", "-qam", "by hand")
    git(tomas.folder, "pull", "-q", "--no-rebase", "--no-edit", "origin", "main")
    git(tomas.folder, "push", "-q", "origin", "main")
    ines.sync.apply()
    assert ines.files == tomas.files
    assert len(tomllib.loads(tomas.read("batches/a.toml"))["log"]) == 2


def test_a_merge_left_half_done_is_finished(makers):
    ines, tomas = makers
    for maker, count in ((ines, 96), (tomas, 90)):
        maker.write("batches/a.toml", maker.read("batches/a.toml").replace("100", str(count)))
    ines.sync.apply()
    tomas.sync  # noqa: B018
    git(tomas.folder, "config", "--remove-section", "merge.fieldbook")
    git(tomas.folder, "commit", "-qam", "by hand")
    git(tomas.folder, "fetch", "-q", "origin")
    with pytest.raises(AssertionError):
        git(tomas.folder, "merge", "-q", "origin/main")
    tomas.sync.apply()
    assert tomllib.loads(tomas.read("batches/a.toml"))["disputed"]["count"] == [90, 96]


def test_without_an_address_the_history_is_kept_here(tmp_path, monkeypatch):
    from tests.sync.conftest import Maker

    alone = Maker(tmp_path / "alone", "alone", monkeypatch)
    alone.sync.share(None)
    alone.write("clays/reach.toml", 'place = "the reach"\n')
    alone.sync.apply()
    assert "clay reach begun" in git(alone.folder, "log", "--format=%s")


def test_a_folder_that_arrived_runs_no_git_before_consent(tmp_path, monkeypatch):
    from tests.sync.conftest import Maker

    guest = Maker(tmp_path / "guest", "guest", monkeypatch)
    git(guest.folder, "init", "-q")
    trap = tmp_path / "ran"
    git(guest.folder, "config", "core.fsmonitor", f"touch {trap}")
    with pytest.raises(FieldbookError, match="not switched on"):
        guest.sync.apply()
    with pytest.raises(FieldbookError, match="fsmonitor"):
        guest.sync.share(None)
    assert not trap.exists()


@pytest.mark.parametrize(
    ("make", "says"),
    [
        (lambda f: (f / "clays").mkdir() or (f / "clays/x.toml").symlink_to("/etc/passwd"), "link"),
        (
            lambda f: [
                (f / "tags").mkdir(),
                (f / "tags/One.md").write_text("1"),
                (f / "tags/one.md").write_text("2"),
            ],
            "one file on some disks",
        ),
        (lambda f: (f / "fieldbook.py").write_text("print(1)"), "fieldbook.py could be run"),
        (lambda f: (f / "clays/Look.BAT").parent.mkdir() or (f / "clays/Look.BAT").touch(), "run"),
    ],
)
def test_what_is_no_plain_entry_is_refused_and_the_notebook_is_as_it_was(
    makers, stick, tmp_path, make, says
):
    ines, _ = makers
    other = tmp_path / "other"
    git(tmp_path, "clone", "-q", str(stick), str(other))
    make(other)
    git(other, "add", "-A")
    git(other, "-c", "user.name=x", "-c", "user.email=x@example.org", "commit", "-qm", "x")
    git(other, "push", "-q", "origin", "main")
    before = ines.files
    with pytest.raises(FieldbookError, match=says):
        ines.sync.apply()
    assert ines.files == before


def test_a_readme_and_a_picture_beside_the_entries_may_come(makers, stick, tmp_path):
    ines, _ = makers
    other = tmp_path / "other"
    git(tmp_path, "clone", "-q", str(stick), str(other))
    for name in ("README.md", "kiln.jpg"):
        (other / name).write_text("x")
    git(other, "add", "-A")
    git(other, "-c", "user.name=x", "-c", "user.email=x@example.org", "commit", "-qm", "x")
    git(other, "push", "-q", "origin", "main")
    ines.sync.apply()
    assert (ines.folder / "README.md").exists() and (ines.folder / "kiln.jpg").exists()


def test_an_address_away_keeps_everything_here(makers, stick):
    ines, _ = makers
    stick.rename(stick.with_name("gone"))
    ines.add("batches/a.toml", NOON)
    with pytest.raises(FieldbookError, match="could not be reached"):
        ines.sync.apply()
    assert NOON in ines.read("batches/a.toml")
    stick.with_name("gone").rename(stick)
    assert ines.sync.apply().sent == ("1 observation on batch a",)


def test_no_git_is_said(makers, monkeypatch):
    ines, _ = makers
    sync = ines.sync
    sync.git.program = None
    with pytest.raises(FieldbookError, match="git is not installed"):
        sync.apply()


@pytest.mark.parametrize(
    "text", ["--upload-pack=touch x", "ext::sh -c x", "http://host/x", "git://host/x", "host x"]
)
def test_an_address_that_could_run_or_leak_is_refused(text):
    with pytest.raises(WrongUse):
        checked_url(text)


def test_the_commands_share_and_sync(tmp_path, monkeypatch, stick, capsys):
    from fieldbook.cli.main import main
    from tests.sync.conftest import Maker

    ines = Maker(tmp_path / "one", "ines", monkeypatch)
    ines.sync  # noqa: B018
    at = ["--notebook", str(ines.folder)]
    assert main(["sync", *at]) == 1
    assert "not switched on" in capsys.readouterr().err
    assert main(["share", str(stick), *at]) == 0
    ines.write("clays/reach.toml", 'place = "the reach"\n')
    assert main(["sync", "--dry-run", *at]) == 0
    assert "to send: clay reach begun" in capsys.readouterr().out
    assert main(["sync", *at]) == 0
    assert "sent: clay reach begun" in capsys.readouterr().out


def test_a_hook_in_a_folder_shared_through_does_not_run(makers, stick, tmp_path):
    ines, _ = makers
    hook, trap = stick / "hooks/pre-receive", tmp_path / "ran"
    hook.parent.mkdir(exist_ok=True)
    hook.write_text(f"#!/bin/sh\ntouch {trap}\n", encoding="utf-8")
    hook.chmod(0o755)
    ines.add("batches/a.toml", NOON)
    assert ines.sync.apply().sent == ("1 observation on batch a",)
    assert not trap.exists()


def test_a_line_logged_while_the_other_side_is_slow_is_saved_and_sent(makers, monkeypatch):
    ines, tomas = makers
    fetch = Sync._fetch

    def slow(sync, objects):
        with Lock(str(ines.folder), patience=0.1):
            ines.add("batches/a.toml", NOON)
        monkeypatch.setattr(Sync, "_fetch", fetch)
        return fetch(sync, objects)

    monkeypatch.setattr(Sync, "_fetch", slow)
    assert ines.sync.apply().sent == ("1 observation on batch a",)
    tomas.sync.apply()
    assert NOON in tomas.read("batches/a.toml")


def test_a_line_logged_while_two_states_are_merged_stays_and_is_sent_next(makers, monkeypatch):
    ines, tomas = makers
    tomas.add("batches/a.toml", LATER)
    tomas.sync.apply()
    ines.write("clays/reach.toml", 'place = "the reach"\n')
    merge = syncing.merged

    def slow(*words):
        with Lock(str(ines.folder), patience=0.1):
            ines.add("batches/a.toml", NOON)
        return merge(*words)

    monkeypatch.setattr(syncing, "merged", slow)
    ines.sync.apply()
    assert len(tomllib.loads(ines.read("batches/a.toml"))["log"]) == 2
    monkeypatch.setattr(syncing, "merged", merge)
    assert ines.sync.apply().sent == ("1 observation on batch a",)
    tomas.sync.apply()
    assert tomas.files == ines.files
