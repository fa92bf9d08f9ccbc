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


def test_set_adds_to_a_list_and_leaves_what_is_there(fieldbook, notebook):
    fieldbook("add", "firing", "g", "kiln=small", 'load=[ { batch = "a", count = 20 } ]')
    before = read(notebook / "firings/f.toml")["load"]
    answer = fieldbook("set", "f", 'load+={ refired = "g", count = 6 }', "tags+=june")
    assert answer.status == 0, answer.err
    data = read(notebook / "firings/f.toml")
    assert data["load"] == [*before, {"refired": "g", "count": 6}]
    assert fieldbook("set", "f", "tags+=cold").status == 0
    assert read(notebook / "firings/f.toml")["tags"] == ["june", "cold"]


def test_set_changes_the_settings_as_notebook(fieldbook, notebook):
    answer = fieldbook("set", "notebook", "measures.wheelbarrow=60 kg", "practice.standard=bs 3921")
    assert answer.status == 0, answer.err
    data = read(notebook / "notebook.toml")
    assert data["measures"]["wheelbarrow"] == "60 kg" and data["measures"]["armload"] == "8 kg"
    saved = fieldbook("log", "f", "+3 wheelbarrows oak", "--now", "2026-09-12 14:10")
    assert "3 wheelbarrows put on" in saved.out
    assert fieldbook("set", "notebook", "maesures.x=1 kg").status == 2
    assert "chapman-1972" in fieldbook("set", "notebook", "practice.glow_list=shed door").out


def test_add_and_set_point_out_an_entry_that_is_not_there(fieldbook, notebook):
    answer = fieldbook("add", "batch", "b", "mix=nope", "moulded=2026-09-02", "count=20")
    assert answer.status == 0, answer.err
    assert 'mix = "nope" names an entry that is not in mixes' in answer.out
    assert "not in kilns" in fieldbook("set", "f", "kiln=smal").out


def test_a_day_alone_is_its_noon(fieldbook, notebook):
    fieldbook("log", "f", "1040F", "top", "--now", "2026-09-12")
    assert "2026-09-12 12:00:00+01:00" in read(notebook / "firings/f.toml")["log"]
    assert fieldbook("next", "--now", "2026-09-31").status == 2
    assert fieldbook("next", "--now", "2026-09").status == 2


def test_a_line_of_the_log_is_put_right_where_a_problem_names_it(fieldbook, notebook):
    file = notebook / "batches/a.toml"
    before = file.read_text(encoding="utf-8")
    fieldbook("log", "a", "#1 30.2kg !", "--now", "2026-09-03 09:00")
    problem = fieldbook("check", "--now", "2026-09-04").out.partition(": ")[0]
    answer = fieldbook("set", problem, "mass=2.95 kg", "note=")
    assert answer.status == 0, answer.err
    data = read(file)
    assert data["log"]["2026-09-03 09:00:00+01:00"] == {
        "brick": "1",
        "mass": "2.95 kg",
        "by": "ines",
    }
    assert file.read_text(encoding="utf-8").startswith(before)
    assert "brick 1" not in fieldbook("check", "--now", "2026-09-04").out
    assert "is heavier than any one brick" in fieldbook("set", problem, "mass=295 kg").out
    assert fieldbook("set", problem, "mass=three").status == 1
    assert fieldbook("set", problem, "temperature=30 C").status == 2
    assert fieldbook("set", "batches/a.toml:1", "mass=3 kg").status == 1


def test_a_line_of_the_log_is_taken_out_and_not_missed(fieldbook, notebook):
    before = (notebook / "batches/a.toml").read_bytes()
    fieldbook("log", "a", "#1 2.95kg", "--now", "2026-09-03 09:00")
    line = before.count(b"\n") + 1
    assert fieldbook("remove", f"batches/a.toml:{line}").status == 0
    assert (notebook / "batches/a.toml").read_bytes() == before
    assert "gone" not in fieldbook("check", "--now", "2026-09-04").out
    assert fieldbook("remove", "batches/a.toml:1").status == 1
    marked = next(n for n, row in enumerate(before.splitlines(), 1) if row.startswith(b'"1" = { m'))
    refused = fieldbook("remove", f"batches/a.toml:{marked}")
    assert refused.status == 1 and "fieldbook set batches/a marked.1=" in refused.err
    assert (notebook / "batches/a.toml").read_bytes() == before


def test_a_specimen_is_put_right_by_its_line(fieldbook, notebook):
    text = (notebook / "tests/t.toml").read_text(encoding="utf-8").splitlines()
    line = next(n for n, row in enumerate(text, 1) if row.startswith('"1"'))
    assert fieldbook("set", f"tests/t.toml:{line}", "soaked_mass=2240 g").status == 0
    assert read(notebook / "tests/t.toml")["specimens"]["1"]["soaked_mass"] == "2240 g"


def test_a_figure_that_cannot_be_is_put_right_by_the_words_of_its_remedy(fieldbook, notebook):
    fieldbook("log", "f", "5000 C flue !", "--now", "2026-09-12 14:10")
    out = fieldbook("check", "--now", "2026-09-12 15:00").out
    remedy = next(line for line in out.splitlines() if "fieldbook set" in line)
    words = remedy.partition("fieldbook ")[2].partition(";")[0].replace("…", "500 C")
    command, where, field = words.split(" ", 2)
    assert fieldbook(command, where, field).status == 0
    assert "5000 C" not in fieldbook("check", "--now", "2026-09-12 15:00").out
