"""Whole-file edits: what is meant is written, and every other byte stays."""

from __future__ import annotations

import random
import tomllib

import pytest

from fieldbook.errors import FieldbookError
from fieldbook.store import splice
from fieldbook.store.change import Change, finer, meant, same, undoing
from fieldbook.store.edit import edit, edited_bytes
from fieldbook.store.rows import set_row, set_unloaded
from fieldbook.store.splice import changed_text

TEXT = """\
# title
mix = "reach-3-1"   # the mix
count = 180
oven_dry = { wet_mass = "936 g", dry_mass = '745 g' }
load = [
  { batch = "x", count = 3 }, # hi
  # between
  { batch = "y", count = 4 } # yo
]
setting.gap = "3 cm"

# about green
[green]
  length = "246 mm"
  width = '118 mm'

[[f]]
a = 1
[[f]]
a = 2

[specimens]
"1" = { dry_mass = "2 kg", lever = { load = "41 kg" } }
[specimens.2]
dry_mass = "3 kg"

# the log
[log]
"2026-05-03 07:40" = { note = "x" }
"""

CASES = [
    # path, value, lines taken out, lines put in
    (("count",), 190, ["count = 180"], ["count = 190"]),
    (("mix",), "r", ['mix = "reach-3-1"   # the mix'], ['mix = "r"   # the mix']),
    (("mix",), None, ['mix = "reach-3-1"   # the mix'], []),
    (("nothing",), None, [], []),
    (("note",), 'say "x"\u202e', [], ['note = "say \\"x\\"\\u202e"']),
    (("tags",), ["a", "b"], [], ['tags = ["a", "b"]']),
    (("green", "height"), "75 mm", [], ['  height = "75 mm"']),
    (("green", "width"), "4 in", ["  width = '118 mm'"], ['  width = "4 in"']),
    (("green", "width"), None, ["  width = '118 mm'"], []),
    (("mould", "length"), "1 ft", [], ["[mould]", 'length = "1 ft"', ""]),
    (("setting", "bench"), "3 in", [], ['setting.bench = "3 in"']),
    (
        ("oven_dry", "at"),
        "2026-04-02",
        ["oven_dry = { wet_mass = \"936 g\", dry_mass = '745 g' }"],
        ['oven_dry = { wet_mass = "936 g", dry_mass = \'745 g\', at = "2026-04-02" }'],
    ),
    (
        ("oven_dry", "wet_mass"),
        None,
        ["oven_dry = { wet_mass = \"936 g\", dry_mass = '745 g' }"],
        ["oven_dry = { dry_mass = '745 g' }"],
    ),
    (
        ("load", 1, "count"),
        9,
        ['  { batch = "x", count = 3 }, # hi'],
        ['  { batch = "x", count = 9 }, # hi'],
    ),
    (
        ("load", 3),
        {"batch": "z", "count": 1},
        ['  { batch = "y", count = 4 } # yo'],
        ['  { batch = "y", count = 4 }, # yo', '  { batch = "z", count = 1 }'],
    ),
    (("unloaded", 1, "sound"), 3, [], ["unloaded = [{ sound = 3 }]"]),
    (("f", 3, "a"), 3, [], ["", "[[f]]", "a = 3"]),
    (("f", 1, "b"), 3, [], ["b = 3"]),
    (("specimens", "3", "dry_mass"), "3 kg", [], ['"3" = { dry_mass = "3 kg" }']),
    (("specimens", "2", "width"), "4 in", [], ['width = "4 in"']),
    (
        ("specimens", "1", "lever", "for"),
        "bending",
        ['"1" = { dry_mass = "2 kg", lever = { load = "41 kg" } }'],
        ['"1" = { dry_mass = "2 kg", lever = { load = "41 kg", for = "bending" } }'],
    ),
    (
        ("log", "2026-05-03 07:40", "note"),
        "y",
        ['"2026-05-03 07:40" = { note = "x" }'],
        ['"2026-05-03 07:40" = { note = "y" }'],
    ),
]


def lines_that_differ(before, after):
    """Take the lines common to both ends away; what is left was changed."""
    while before and after and before[0] == after[0]:
        before, after = before[1:], after[1:]
    while before and after and before[-1] == after[-1]:
        before, after = before[:-1], after[:-1]
    return before, after


@pytest.mark.parametrize("newline", ["\n", "\r\n"])
@pytest.mark.parametrize(("path", "value", "out", "put_in"), CASES)
def test_only_the_lines_concerned_change(path, value, out, put_in, newline):
    text = TEXT.replace("\n", newline)
    after = changed_text(text, [Change(path, value)])
    gone, new = lines_that_differ(text.split(newline), after.split(newline))
    if sorted(gone) != sorted(out) or sorted(new) != sorted(put_in):
        # a line put between two alike may be told apart from either end
        assert after.count(newline) - text.count(newline) == len(put_in) - len(out)
        assert set(put_in) <= set(after.split(newline))
    assert "\n" not in after.replace(newline, "")
    assert same(tomllib.loads(after), meant(tomllib.loads(text), [Change(path, value)]))


def test_a_table_beside_one_that_has_a_header_of_its_own_is_added():
    text = 'format = 1\n\n[instruments.scale]\nstep = "10 g"\n\n[show]\nmass = "kg"\n'
    changes = [
        Change(("instruments", "ruler", "step"), "1 mm"),
        Change(("instruments", "ruler", "error"), "1 %"),
    ]
    after = edited_bytes(text.encode(), "notebook.toml", lambda _: changes).bytes.decode()
    assert after.startswith(text)
    ruler = {"step": "1 mm", "error": "1 %"}
    assert tomllib.loads(after)["instruments"] == {"scale": {"step": "10 g"}, "ruler": ruler}


def all_paths(data, above=()):
    items = data.items() if isinstance(data, dict) else enumerate(data, 1)
    for key, value in items:
        yield (*above, key)
        if isinstance(value, dict | list):
            yield from all_paths(value, (*above, key))


def random_change(rng, data):
    path = rng.choice(list(all_paths(data)))
    while rng.random() < 0.4 and isinstance(path[-1], str):
        path = (*path[:-1], rng.choice(["new", "3", "a b", "note"]))
    value = rng.choice([None, None, "x", 'q"\\', 7, 1.5, True, ["a"], {"k": "v"}, [{"k": 1}, {}]])
    return Change(path, value)


@pytest.mark.parametrize("seed", range(300))
def test_random_edits_say_what_is_meant_and_can_be_undone(seed):
    """tomllib reads from the new text what the same change makes of the old data."""
    rng = random.Random(seed)
    text = TEXT.replace("\n", rng.choice(["\n", "\r\n"]))
    for _ in range(4):
        data = tomllib.loads(text)
        change = random_change(rng, data)
        parts = finer(data, change)
        after = changed_text(text, parts)
        goal = meant(data, [change])
        assert same(tomllib.loads(after), goal), change
        back = list(undoing(data, parts))
        assert same(tomllib.loads(changed_text(after, back)), data), change
        text = after


def test_reading_and_writing_unchanged_gives_the_same_bytes():
    for text in (TEXT, TEXT.replace("\n", "\r\n"), "\ufeff" + TEXT, TEXT.rstrip(), "", "a = 1"):
        data = text.encode()
        assert edited_bytes(data, "x.toml", lambda _: []).bytes == data
        same_again = [Change(("count",), 180)] if "count" in text else []
        assert edited_bytes(data, "x.toml", lambda _, c=same_again: c).bytes == data


def test_what_stands_after_the_log_header_is_copied_byte_for_byte(folder, put):
    log = '[log] # odd  \n"a b"={  note="x"  }\n\n\n   # end'
    path = put("batches/b.toml", f"count = 1\n{log}")
    edit(str(folder), "batches/b", lambda _: [Change(("count",), 2)])
    assert path.read_text() == f"count = 2\n{log}"


def test_a_byte_order_mark_and_the_mode_are_kept(folder, put):
    path = put("batches/b.toml", "\ufeffcount = 1\r\n")
    path.chmod(0o640)
    edit(str(folder), "batches/b", lambda _: [Change(("title",), "x")])
    assert path.read_bytes() == b'\xef\xbb\xbfcount = 1\r\ntitle = "x"\r\n'
    assert path.stat().st_mode & 0o777 == 0o640
    assert sorted(p.name for p in path.parent.iterdir()) == ["2026-04-a.toml", "b.toml"]


def test_an_unfinished_end_is_kept_as_a_remark(folder, put):
    path = put("batches/b.toml", 'count = 1\n[log]\n"2026-05-03 07:40" = { no')
    edit(str(folder), "batches/b", lambda _: [Change(("count",), 2)])
    assert path.read_text() == 'count = 2\n[log]\n# unfinished: "2026-05-03 07:40" = { no\n'


def test_a_file_changed_meanwhile_is_read_again_and_the_change_made_anew(folder, put, monkeypatch):
    path = put("batches/b.toml", "count = 1\n")
    decided = []

    def decide(data):
        if not decided:
            path.write_text('count = 1\ntitle = "by another"\n')
        decided.append(data)
        return [Change(("count",), 2)]

    edit(str(folder), "batches/b", decide)
    assert path.read_text() == 'count = 2\ntitle = "by another"\n'
    assert len(decided) == 2


def test_a_field_changed_since_it_was_seen_is_refused_and_both_are_kept(store, put):
    path = put("batches/b.toml", 'mix = "reach-3-1"\nmoulded = 2026-04-02\ncount = 1\n')
    seen = store.read("batches/b").data
    path.write_text(path.read_text().replace("count = 1", "count = 7"))
    before = path.read_bytes()
    with pytest.raises(FieldbookError, match="count was changed meanwhile: the file now says 7"):
        store.set_fields("batches/b", {"count": "2", "title": "x"}, seen=seen)
    assert path.read_bytes() == before
    store.set_fields("batches/b", {"title": "x"}, seen=seen)
    assert store.read("batches/b").data["title"] == "x"


def test_a_text_that_does_not_say_what_is_meant_is_not_written(folder, put, monkeypatch):
    path = put("batches/b.toml", "count = 1\n")
    monkeypatch.setattr(splice, "changed_text", lambda text, _: text.replace("1", "3"))
    with pytest.raises(FieldbookError, match="cannot be changed safely"):
        edit(str(folder), "batches/b", lambda _: [Change(("count",), 2)])
    assert path.read_text() == "count = 1\n"


def test_an_unreadable_file_is_never_overwritten(folder, put):
    path = put("batches/b.toml", "count = \n")
    with pytest.raises(FieldbookError, match=r"batches/b\.toml:1"):
        edit(str(folder), "batches/b", lambda _: [Change(("count",), 2)])
    assert path.read_text() == "count = \n"


def test_a_notebook_of_a_newer_format_is_not_written(folder, store, put):
    put("notebook.toml", 'format = 2\ntimezone = "UTC"\n')
    for act in (
        lambda: store.set_fields("batches/2026-04-a", {"count": "2"}),
        lambda: store.create("clay", "new", {}),
        lambda: store.rename("batches/2026-04-a", "b"),
        lambda: store.remove("builds/oven"),
    ):
        with pytest.raises(FieldbookError, match="format 2"):
            act()
    assert [p.what for p in store.problems] == ["format = 2, and this program knows format 1"]


def test_specimens_are_set_row_by_row(folder):
    path = folder / "tests/2026-05-a.toml"
    saved = set_row(str(folder), "tests/2026-05-a", "specimens", "3", {"dry_mass": "2.51kg"})
    set_row(str(folder), "tests/2026-05-a", "specimens", "3", {"soaked_mass": "2.80kg"})
    assert (
        path.read_text().splitlines()[-1] == '"3" = { dry_mass = "2.51kg", soaked_mass = "2.80kg" }'
    )
    assert saved.line == 6


def test_what_came_out_extends_the_item_of_the_same_place(folder):
    address, path = "firings/2026-05-03", folder / "firings/2026-05-03.toml"
    before = path.read_text()
    set_unloaded(str(folder), address, {"sound": 150, "cracked": 14})
    set_unloaded(str(folder), address, {"soft": 6})
    set_unloaded(str(folder), address, {"sound": 3, "place": "top"})
    assert tomllib.loads(path.read_text())["unloaded"] == [
        {"sound": 150, "cracked": 14, "soft": 6},
        {"sound": 3, "place": "top"},
    ]
    assert path.read_text().split("[log]")[1] == before.split("[log]")[1]


@pytest.mark.parametrize(
    ("path", "word"),
    [(("count", "x"), "no table"), (("load", 5, "count"), "2 items"), (("green", 1), "no list")],
)
def test_a_path_that_leads_nowhere_is_refused(folder, put, path, word):
    put("batches/b.toml", TEXT)
    with pytest.raises(FieldbookError, match=word):
        edit(str(folder), "batches/b", lambda _: [Change(path, 1)])
