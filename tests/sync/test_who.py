"""Every observation made while sharing carries its maker, on each machine its own."""

import os
import subprocess
import tomllib

import pytest

from fieldbook.cli.main import main
from fieldbook.store.whose import SHARED, own_maker
from fieldbook.sync.consent import WORD
from tests.sync.conftest import git


def by(maker):
    log = tomllib.loads(maker.read("batches/a.toml"))["log"]
    return {line["by"] for line in log.values()}


def test_each_machine_writes_the_name_of_its_own_maker(makers, monkeypatch):
    ines, tomas = makers
    monkeypatch.delenv("FIELDBOOK_NOTEBOOK", raising=False)
    for maker in makers:
        maker.sync  # noqa: B018
        monkeypatch.chdir(maker.folder)
        assert main(["log", "a", "turned"]) == 0
        assert by(maker) == {maker.name}
    for maker in (ines, tomas, ines):
        maker.sync.apply()
    assert by(ines) == {"ines", "tomas"}
    assert tomllib.loads(tomas.read("notebook.toml"))["maker"] == "ines"


def test_the_name_someone_gives_goes_first(makers, monkeypatch):
    _, tomas = makers
    tomas.sync  # noqa: B018 - takes on the person's own folders
    monkeypatch.delenv("FIELDBOOK_NOTEBOOK", raising=False)
    monkeypatch.chdir(tomas.folder)
    assert main(["log", "a", "turned", "--by", "wren"]) == 0
    assert by(tomas) == {"wren"}


def test_readings_that_are_imported_carry_it_too(makers, monkeypatch):
    _, tomas = makers
    tomas.sync  # noqa: B018
    monkeypatch.delenv("FIELDBOOK_NOTEBOOK", raising=False)
    monkeypatch.chdir(tomas.folder)
    tomas.write("firings/f.toml", 'kiln = "k"\n\n[log]\n"2026-08-01 06:00" = { event = "lit" }\n')
    (tomas.home / "r.csv").write_text("time,temperature C\n2026-08-01 07:00,100\n")
    assert main(["import", "readings", str(tomas.home / "r.csv"), "f", "--write"]) == 0
    log = tomllib.loads(tomas.read("firings/f.toml"))["log"]
    assert [line.get("by") for line in log.values()] == [None, "tomas"]


def test_a_notebook_that_is_not_shared_goes_by_its_settings(tmp_path):
    (tmp_path / ".git").mkdir()
    (tmp_path / ".git/config").write_text("[user]\n\tname = somebody else\n", encoding="utf-8")
    assert own_maker(str(tmp_path)) is None


def test_the_mark_of_sharing_is_where_the_consent_puts_it():
    assert f".git{os.sep}{WORD}" == SHARED


@pytest.mark.parametrize(
    "text",
    [
        "[user]\n\tname = tomas\n",
        '[user]\n\tname = "tomás # the elder"\n\temail = t@x\n',
        "[User]\n\tNAME = tomas ; the younger\n",
        '[user "x"]\n\tname = wrong\n[user] name = tomas\n',
        "[core]\n\tname = wrong\n[user]\n\tname = first\n[user]\n\tname = tomas  nowak \n",
        '[user]\n\tname = to"mas no"wak\n',
        '[user]\n\tname = back\\\\slash \\"q\\"\n',
    ],
)
def test_a_name_is_read_as_git_reads_it(tmp_path, text, monkeypatch):
    (tmp_path / ".git").mkdir()
    (tmp_path / SHARED).write_text("word", encoding="utf-8")
    config = tmp_path / ".git/config"
    config.write_text(text, encoding="utf-8")
    said = git(tmp_path, "config", "--file", str(config), "user.name")
    assert own_maker(str(tmp_path)) == " ".join(said.split())


def test_without_a_name_of_its_own_the_folder_goes_by_the_persons(tmp_path, monkeypatch):
    (tmp_path / ".git").mkdir()
    (tmp_path / SHARED).write_text("word", encoding="utf-8")
    person = tmp_path / "person"
    person.write_text("[user]\n\tname = ines\n", encoding="utf-8")
    monkeypatch.setenv("GIT_CONFIG_GLOBAL", str(person))
    assert own_maker(str(tmp_path)) == "ines"
    person.unlink()
    assert own_maker(str(tmp_path)) is None
    done = subprocess.run(["git", "config", "--global", "user.name"], check=False)
    assert done.returncode != 0
