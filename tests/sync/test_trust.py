"""A folder that came from elsewhere runs nothing, and consent is for one history alone."""

import shutil

import pytest

from fieldbook.errors import FieldbookError
from fieldbook.sync import consent
from fieldbook.sync.git import DRIVER, Git
from tests.sync.conftest import git


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("branch.main.mergeOptions", "--no-verify -s ours"),
        ("branch.main.mergeOptions", "-s recursive -X no-renames --ff-only"),
        ("merge.fieldbook.driver", "touch /tmp/ran; true"),
        ("merge.fieldbook.driver", f"touch x; {DRIVER}"),
        ("filter.fieldbook.clean", "touch x"),
        ("filter.other.clean", "cat"),
        ("remote.origin.url", "ext::sh -c date"),
        ("remote.origin.url", "--upload-pack=x"),
        ("remote.origin.fetch", "+refs/heads/*:refs/heads/*"),
        ("remote.origin.uploadpack", "touch x"),
        ("core.fsmonitor", "touch x"),
        ("core.bare", "true"),
        ("core.sshCommand", "touch x"),
        ("include.path", "other"),
        ("init.templateDir", "/tmp/x"),
        ("core.worktree", "/"),
    ],
)
def test_a_setting_that_is_not_known_to_be_harmless_is_refused_by_name(makers, key, value):
    ines, _ = makers
    git(ines.folder, "config", "--local", "--replace-all", key, value)
    with pytest.raises(FieldbookError, match=key.lower().replace(".", r"\.")):
        ines.sync.apply()


@pytest.mark.parametrize(
    ("key", "value"),
    [("pull.rebase", "false"), ("pull.ff", "only"), ("user.name", "Ines of the reach"),
     ("branch.main.remote", "origin"), ("branch.main.merge", "refs/heads/main")],
)  # fmt: skip
def test_what_git_and_people_set_by_habit_is_taken(makers, key, value):
    ines, _ = makers
    git(ines.folder, "config", "--local", key, value)
    ines.sync.apply()


def test_a_driver_of_another_installation_is_set_anew(makers):
    ines, _ = makers
    elsewhere = "/opt/old/bin/python -P -m fieldbook.sync.driver %O %A %B %P"
    git(ines.folder, "config", "--local", "merge.fieldbook.driver", elsewhere)
    ines.sync.apply()
    assert git(ines.folder, "config", "--local", "merge.fieldbook.driver").strip() == DRIVER


def test_another_history_in_the_same_place_is_asked_about_again(makers, stick, tmp_path):
    ines, _ = makers
    sync = ines.sync
    assert consent.given(ines.folder)
    shutil.move(ines.folder / ".git", tmp_path / "kept.git")
    git(ines.folder, "init", "-q")
    git(ines.folder, "remote", "add", "origin", str(stick))
    assert not consent.given(ines.folder)
    with pytest.raises(FieldbookError, match="not switched on"):
        sync.apply()
    shutil.rmtree(ines.folder / ".git")
    shutil.move(tmp_path / "kept.git", ines.folder / ".git")
    sync.apply()


def test_consent_does_not_travel_with_a_copy(makers, tmp_path):
    ines, _ = makers
    sync = ines.sync
    shutil.copytree(ines.folder, tmp_path / "copy")
    assert consent.given(sync.folder)
    assert not consent.given(tmp_path / "copy")


def test_a_folder_without_its_whole_history_is_refused(makers, stick, tmp_path):
    ines, _ = makers
    ines.write("clays/reach.toml", 'place = "the reach"\n')
    sync = ines.sync
    sync.apply()
    git(tmp_path, "clone", "-q", "--depth", "1", f"file://{stick}", "shallow")
    consent.give(tmp_path / "shallow")
    from fieldbook.sync.syncing import Sync

    with pytest.raises(FieldbookError, match="git fetch --unshallow"):
        Sync(tmp_path / "shallow", "ines").apply()


def test_a_branch_is_read_without_asking_git(makers):
    ines, _ = makers
    assert Git(ines.folder).branch == "main"
    (ines.folder / ".git/HEAD").write_text("0" * 40 + "\n", encoding="utf-8")
    assert Git(ines.folder).branch == ""


def test_a_folder_for_settings_that_is_not_absolute_is_left_out_of_account(
    makers, tmp_path, monkeypatch
):
    ines, _ = makers
    ines.sync  # noqa: B018 - takes on the person's own folders
    monkeypatch.setenv("XDG_CONFIG_HOME", "config")
    monkeypatch.chdir(ines.home)  # where a consent of the folder would be found
    assert not consent.given(ines.folder)
    monkeypatch.chdir(tmp_path)
    consent.give(ines.folder)
    assert not (tmp_path / "config").exists()
    assert list((ines.home / ".config/fieldbook/shared").iterdir())
