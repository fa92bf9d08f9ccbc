"""`start`, `add`, `set`, `rename`, `remove`: what changes and what stays."""

import tomllib

import pytest


def read(path):
    return tomllib.loads(path.read_text(encoding="utf-8"))


def test_start_makes_a_notebook_that_opens(fieldbook, tmp_path):
    folder = tmp_path / "new"
    answer = fieldbook("start", str(folder), "--timezone", "Europe/Lisbon", "--maker", "tomas")
    assert answer.status == 0, answer.err
    assert read(folder / "notebook.toml")["timezone"] == "Europe/Lisbon"
    assert fieldbook("--notebook", str(folder), "check").status == 0


def test_start_never_overwrites_a_notebook(fieldbook, notebook):
    before = (notebook / "notebook.toml").read_bytes()
    assert fieldbook("start", str(notebook)).status == 1
    assert (notebook / "notebook.toml").read_bytes() == before


@pytest.mark.parametrize(
    ("kind", "fields", "folder"),
    [
        ("clay", ["place=the far bank"], "clays"),
        ("mixes", ['parts=[ { clay = "reach", volume = "2 bucket" } ]'], "mixes"),
        ("kiln", ["form=clamp"], "kilns"),
        ("batch", ["mix=reach-3-1", "moulded=2026-09-02", "count=20"], "batches"),
        ("firing", ["kiln=small", 'load=[ { batch = "a", count = 20 } ]'], "firings"),
        ("tests", ["batch=a"], "tests"),
        ("build", ["form=wall"], "builds"),
    ],
)
def test_add_makes_each_kind_of_entry(fieldbook, notebook, kind, fields, folder):
    answer = fieldbook("add", kind, "fresh-1", *fields)
    assert answer.status == 0, answer.err
    name = fields[0].partition("=")[0]
    data = read(notebook / folder / "fresh-1.toml")
    assert name in data
    assert fieldbook("show", f"{folder}/fresh-1").status == 0


def test_add_refuses_a_name_that_is_taken_or_no_name(fieldbook, notebook):
    before = (notebook / "batches/a.toml").read_bytes()
    assert fieldbook("add", "batch", "a", "mix=reach-3-1").status == 1
    assert fieldbook("add", "batch", "../b", "mix=reach-3-1").status in (1, 2)
    assert fieldbook("add", "pot", "b").status == 2
    assert (notebook / "batches/a.toml").read_bytes() == before


def test_set_changes_the_field_and_nothing_else(fieldbook, notebook):
    before = (notebook / "batches/a.toml").read_text(encoding="utf-8")
    answer = fieldbook("set", "a", "count=96", "green.height=74 mm")
    assert answer.status == 0, answer.err
    after = (notebook / "batches/a.toml").read_text(encoding="utf-8")
    assert after == before.replace("count = 100", "count = 96").replace('"75 mm"', '"74 mm"')


def test_set_refuses_a_field_it_does_not_know(fieldbook, notebook):
    before = (notebook / "batches/a.toml").read_bytes()
    answer = fieldbook("set", "a", "cuont=96")
    assert answer.status in (1, 2)
    assert "count" in answer.err
    assert (notebook / "batches/a.toml").read_bytes() == before


def test_rename_takes_every_reference_with_it(fieldbook, notebook):
    answer = fieldbook("rename", "mixes/reach-3-1", "reach-lean")
    assert answer.status == 0, answer.err
    assert read(notebook / "batches/a.toml")["mix"] == "reach-lean"
    assert "# the usual" in (notebook / "batches/a.toml").read_text(encoding="utf-8")
    assert not (notebook / "mixes/reach-3-1.toml").exists()


def test_remove_is_refused_while_something_refers_to_it(fieldbook, notebook):
    assert fieldbook("remove", "kilns/small").status == 1
    assert (notebook / "kilns/small.toml").exists()
    assert fieldbook("remove", "tests/t").status == 0
    assert not (notebook / "tests/t.toml").exists()
