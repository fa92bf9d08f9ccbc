"""New notebooks and new entries, and fields as typed."""

from __future__ import annotations

import re
import tomllib
from datetime import date

import pytest

from fieldbook.errors import FieldbookError, WrongUse
from fieldbook.records import KINDS
from fieldbook.store import Store


def test_a_new_notebook_has_its_folders_and_no_problems(tmp_path):
    store = Store.start(tmp_path / "new", {"timezone": "America/Chicago", "title": "The reach"})
    assert store.check() == []
    assert (store.settings.title, str(store.zone)) == ("The reach", "America/Chicago")
    assert (tmp_path / "new/batches").is_dir()
    assert (tmp_path / "new/.gitignore").read_text() == "/.fieldbook/\n.*.tmp\n"
    with pytest.raises(FieldbookError, match="already there"):
        Store.start(tmp_path / "new", {"timezone": "UTC"})
    with pytest.raises(WrongUse, match="no time zone"):
        Store.start(tmp_path / "other", {"timezone": "Mars/Base"})
    assert not (tmp_path / "other").exists()


def test_an_entry_is_made_with_what_was_given(store, folder):
    address = store.create(
        "batch",
        "b",
        {
            "mix": "mixes/reach-3-1",
            "moulded": "2026-05-02",
            "count": "180",
            "green.length": "9 1/2 in",
            "marked.1.marks": "150 mm",
            "tags": "spring, first",
            "private": "true",
            "oven_dry": '{ wet_mass = "936 g" }',
        },
    )
    assert address == "batches/b"
    assert tomllib.loads((folder / "batches/b.toml").read_text()) == {
        "mix": "reach-3-1",
        "moulded": date(2026, 5, 2),
        "count": 180,
        "green": {"length": "9 1/2 in"},
        "marked": {"1": {"marks": "150 mm"}},
        "tags": ["spring", "first"],
        "private": True,
        "oven_dry": {"wet_mass": "936 g"},
    }
    assert store.read(address).problems == ()


@pytest.mark.parametrize("kind", KINDS)
def test_every_line_of_a_template_can_be_taken_into_use(store, folder, kind):
    """With the # taken away each line is TOML with a key known here, its value yet to be filled."""
    address = store.create(kind, "new", {})
    path = folder / f"{address}.toml"
    text = path.read_text()
    path.write_text(re.sub(r"^# (?=\[|\"?\w+\"? = )", "", text, flags=re.MULTILINE))
    read = store.read(address)
    assert read.record is not None, read.problems
    assert len(read.data) >= 5
    for problem in read.problems:
        assert "not a key known" not in problem.what and "is missing" not in problem.what


def test_a_template_says_nothing_that_was_not_given(store):
    for kind in KINDS:
        assert store.read(store.create(kind, "new", {})).data == {}


def test_an_entry_is_never_overwritten(store, folder):
    before = (folder / "clays/reach.toml").read_bytes()
    with pytest.raises(FieldbookError, match="already there"):
        store.create("clay", "reach", {})
    assert (folder / "clays/reach.toml").read_bytes() == before
    assert [path.name for path in (folder / "clays").iterdir()] == ["reach.toml"]


def test_names_and_kinds_that_are_none_are_refused(store):
    with pytest.raises(WrongUse, match="nearest that is one: big-one"):
        store.create("clay", "Big One", {})
    with pytest.raises(WrongUse, match="no kind pot"):
        store.create("pot", "a", {})


@pytest.mark.parametrize(
    ("field", "text", "value"),
    [
        ("count", "200", 200),
        ("title", "spring bricks", "spring bricks"),
        ("title", "180", "180"),
        ("title", '"in quotes"', "in quotes"),
        ("moulded", "2026-05-02", date(2026, 5, 2)),
        ("moulded", "2026-05-02 09:00", "2026-05-02 09:00"),
        ("target_moisture", "2 %", "2 %"),
        ("green.length", "246mm", "246mm"),
        ("marked.1.where", "top", "top"),
        ("oven_dry.at", "2026-05-02", date(2026, 5, 2)),
        ("private", "note, tags", ["note", "tags"]),
        ("tags", "[]", []),
        ("count", "", None),
        ("green", '{ length = "9 in" }', {"length": "9 in"}),
    ],
)
def test_a_field_is_read_by_its_kind(store, field, text, value):
    store.set_fields("batches/2026-04-a", {field: text})
    data = store.read("batches/2026-04-a").data
    for part in field.split("."):
        data = data.get(part) if data else None
    assert data == value and type(data) is type(value)


@pytest.mark.parametrize(
    ("field", "text", "word"),
    [
        ("coun", "3", "nearest is count"),
        ("green.lenght", "3 mm", "nearest is length"),
        ("count", "3 kg", "whole number"),
        ("count.x", "3", "no fields of its own"),
        ("green", "3 mm", "several fields"),
        ("green.length", "3 kg", "a length"),
        ("green.length", "3", "no unit"),
        ("moulded", "2026-02-30", "no day"),
        ("mix", "Reach 3", "cannot be the name"),
        ("log", "x", "fieldbook log"),
        ("tags", "[1]", "list of texts"),
        ("title", '"open', "not TOML"),
        ("title", '"a"\nb = 1', "more than one value"),
        ("", "x", "not written as a field"),
        ("a..b", "x", "not written as a field"),
        ("green", '{ lenght = "9 in" }', "not a key known"),
    ],
)
def test_a_field_that_cannot_hold_it_is_refused_and_nothing_changes(
    store, folder, field, text, word
):
    before = (folder / "batches/2026-04-a.toml").read_bytes()
    with pytest.raises(FieldbookError, match=word):
        store.set_fields("batches/2026-04-a", {"title": "x", field: text})
    assert (folder / "batches/2026-04-a.toml").read_bytes() == before


def test_items_of_a_list_are_set_by_their_number(store):
    store.set_fields("firings/2026-05-03", {"load.1.count": "171", "load.2.batch": "2026-04-a"})
    assert store.read("firings/2026-05-03").data["load"] == [
        {"batch": "2026-04-a", "count": 171, "place": "top"},
        {"batch": "2026-04-a"},
    ]
    with pytest.raises(WrongUse, match=r"load\.1 for its first item"):
        store.set_fields("firings/2026-05-03", {"load.count": "3"})


def test_settings_are_set_in_place(store, folder):
    store.set_fields("notebook.toml", {"measures.basket": "25 kg", "practice.open_below": "100 C"})
    assert store.settings.measures["basket"].value == pytest.approx(25.0)
    assert store.settings.practice.open_below.text == "100 C"
    assert (folder / "notebook.toml").read_text().startswith('format = 1\ntimezone = "America')
    store.set_fields("firings/2026-05-03", {"fuel": '[{ name = "oak", bulk_density = "1 kg/l" }]'})


def test_a_word_is_taken_in_any_case_and_must_be_one_of_the_choice(store):
    store.set_fields("builds/oven", {"form": "Dome"})
    assert store.read("builds/oven").data["form"] == "dome"
    with pytest.raises(FieldbookError, match="is not known here"):
        store.set_fields("builds/oven", {"form": "igloo"})
