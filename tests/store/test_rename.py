"""A new name with every reference, and removal."""

from __future__ import annotations

import os
import time

import pytest

from fieldbook.errors import FieldbookError, WrongUse
from fieldbook.store import recent
from fieldbook.store.append import append


def test_every_reference_follows_and_nothing_else_changes(store, folder, put):
    put(
        "builds/wall.toml",
        'form = "wall"  # the garden\n[log]\n'
        '"2026-05-09 08:00" = {  laid = 9, of = "2026-04-a" }  # odd spacing\n'
        '"2026-05-10 08:00" = { note = "of = \\"2026-04-a\\"" }\n',
    )
    put("firings/again.toml", 'kiln = "cross-1"\nload = [\n  { refired = "2026-05-03" },\n]\n')
    before = {p: p.read_text() for p in folder.rglob("*.toml")}
    new, changed = store.rename("batches/2026-04-a", "spring")
    assert new == "batches/spring"
    assert changed == ("firings/2026-05-03", "tests/2026-05-a", "builds/wall")
    for path, text in before.items():
        address = f"{path.parent.name}/{path.stem}"
        if address == "batches/2026-04-a":
            assert not path.exists()
            assert (folder / "batches/spring.toml").read_text() == text
        elif address in changed:
            count = 2 if address == "builds/wall" else 1
            assert path.read_text() == text.replace('"2026-04-a"', '"spring"', count - count // 2)
        else:
            assert path.read_text() == text
    assert store.check() == [] or all("later" in p.what for p in store.check())


def test_an_entry_that_names_itself_is_renamed_in_both_places(store, folder, put):
    put("firings/f.toml", 'kiln = "cross-1"\nload = [{ refired = "f" }]\n')
    assert store.rename("firings/f", "g") == ("firings/g", ())
    assert (
        folder / "firings/g.toml"
    ).read_text() == 'kiln = "cross-1"\nload = [{ refired = "g" }]\n'


def test_an_entry_of_another_kind_with_the_same_name_is_left_alone(store, folder, put):
    put("firings/2026-04-a.toml", 'kiln = "cross-1"\nload = [{ refired = "2026-05-03" }]\n')
    put("tests/t.toml", 'batch = "2026-04-a"\nfiring = "2026-04-a"\n')
    store.rename("batches/2026-04-a", "spring")
    assert (folder / "tests/t.toml").read_text() == 'batch = "spring"\nfiring = "2026-04-a"\n'


def test_a_name_that_is_taken_or_none_is_refused(store, folder, put):
    put("batches/b.toml", "")
    before = {p: p.read_bytes() for p in folder.rglob("*.toml")}
    with pytest.raises(FieldbookError, match="already there"):
        store.rename("batches/2026-04-a", "b")
    with pytest.raises(WrongUse, match="cannot be the name"):
        store.rename("batches/2026-04-a", "../b")
    with pytest.raises(FieldbookError, match="is not there"):
        store.rename("batches/none", "c")
    assert {p: p.read_bytes() for p in folder.rglob("*.toml")} == before


def test_an_unreadable_file_that_may_name_it_stops_both(store, folder, put):
    put("batches/lone.toml", 'mix = "reach-3-1"\nmoulded = 2026-04-02\ncount = 1\n')
    put("tests/broken.toml", 'batch = "lone"\nstandard = \n')
    for act in (
        lambda: store.rename("batches/lone", "spring"),
        lambda: store.remove("batches/lone"),
    ):
        with pytest.raises(FieldbookError, match=r"tests/broken\.toml cannot be read and may name"):
            act()
    assert (folder / "batches/lone.toml").exists()
    assert not (folder / "batches/spring.toml").exists()


def test_removal_is_refused_while_something_refers_to_it(store, folder):
    with pytest.raises(FieldbookError, match="named by firings/2026-05-03, tests/2026-05-a"):
        store.remove("batches/2026-04-a")
    store.remove("builds/oven")
    assert not (folder / "builds/oven.toml").exists()
    with pytest.raises(FieldbookError, match="is not there"):
        store.remove("builds/oven")


def test_recent_lines_follow_the_new_name_and_end_with_the_entry(store, folder):
    from datetime import UTC, datetime

    at = datetime(2026, 5, 9, tzinfo=UTC)
    append(str(folder), "builds/oven", at, {"note": "x"})
    store.rename("builds/oven", "bread")
    assert [line.address for line in recent.kept(str(folder))] == ["builds/bread"]
    assert store.lost_lines() == []
    store.remove("builds/bread")
    assert recent.kept(str(folder)) == []


def test_names_among_disputed_values_follow(store, folder, put):
    path = put(
        "batches/both.toml",
        'mix = "lean"\nmoulded = 2026-04-02\ncount = 1\n\n'
        '[disputed]\nmix = ["lean", "reach-3-1"]  # which?\nnote = ["reach-3-1", "x"]\n',
    )
    mix = put(
        "mixes/two.toml",
        "parts = []\n\n[disputed]\n"
        'parts = [[{ clay = "reach", volume = "1 l" }], [{ clay = "hill", volume = "1 l" }]]\n',
    )
    assert "batches/both" in store.rename("mixes/reach-3-1", "three-one")[1]
    assert 'mix = ["lean", "three-one"]  # which?' in path.read_text()
    assert 'note = ["reach-3-1", "x"]' in path.read_text()
    store.rename("clays/reach", "bend")
    assert '[[{ clay = "bend", volume = "1 l" }], [{ clay = "hill"' in mix.read_text()


def test_files_of_writers_killed_long_ago_go_and_young_or_strange_ones_stay(store, folder):
    old = time.time() - 2 * 24 * 3600
    names = (".2026-04-a.toml.4711.tmp", ".young.toml.12.tmp", ".seen.tmp", "notes.txt")
    for name in names:
        path = folder / "batches" / name
        path.write_text("half")
        if "young" not in name:
            os.utime(path, (old, old))
    store.rename("batches/2026-04-a", "spring")
    left = {path.name for path in (folder / "batches").iterdir()}
    assert left == {"spring.toml", *names[1:]}
