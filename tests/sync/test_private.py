"""What a maker keeps to themselves reaches nobody: neither its name nor its text."""

import subprocess

import pytest

from fieldbook.errors import FieldbookError
from fieldbook.sync.loss import Loss
from fieldbook.sync.private import private_fields, shared_part, with_private
from tests.sync.conftest import ENTRY, Maker, git

SECRET = 'mix = "reach-3-1"\nnote = "a-word-nobody-hears"\nprivate = true\n'
CLAY = 'place = "behind-the-chapel"\nliquid_limit = "31 %"\nprivate = ["place"]\n'


def everything_in(stick) -> bytes:
    """Every object the other side has, names of files and words of commits included."""
    listed = git(stick, "cat-file", "--batch-all-objects", "--batch-check=%(objectname)")
    done = subprocess.run(
        ["git", "cat-file", "--batch"], cwd=stick, input=listed.encode(), capture_output=True,
        check=True,
    )  # fmt: skip
    return done.stdout


def test_neither_name_nor_text_of_a_private_entry_reaches_the_other_side(makers, stick):
    ines, tomas = makers
    ines.write("batches/under-the-stairs.toml", SECRET)
    ines.write("batches/open.toml", ENTRY)
    report = ines.sync.apply()
    ines.sync.apply()
    tomas.sync.apply()
    there = everything_in(stick)
    assert b"open.toml" in there
    assert b"under-the-stairs" not in there
    assert b"a-word-nobody-hears" not in there
    assert not any("under-the-stairs" in words for words in report.sent)
    assert ines.read("batches/under-the-stairs.toml") == SECRET


def test_a_private_field_stays_here_while_the_rest_is_shared(makers, stick):
    ines, tomas = makers
    ines.write("clays/reach.toml", CLAY)
    ines.sync.apply()
    tomas.sync.apply()
    assert b"behind-the-chapel" not in everything_in(stick)
    assert ines.read("clays/reach.toml") == CLAY
    assert tomas.read("clays/reach.toml") == CLAY.replace('place = "behind-the-chapel"\n', "")
    tomas.write("clays/reach.toml", tomas.read("clays/reach.toml").replace("31", "34"))
    tomas.sync.apply()
    ines.sync.apply()
    assert 'place = "behind-the-chapel"' in ines.read("clays/reach.toml")
    assert 'liquid_limit = "34 %"' in ines.read("clays/reach.toml")
    assert ines.sync.apply().lines() == ["nothing was new on either side"]


def test_plain_git_keeps_back_the_same(makers, stick):
    ines, tomas = makers
    ines.write("clays/reach.toml", CLAY)
    ines.write("batches/under-the-stairs.toml", SECRET)
    ines.sync.apply()
    tomas.sync.apply()
    tomas.write("clays/reach.toml", tomas.read("clays/reach.toml").replace("31", "34"))
    tomas.sync.apply()
    ines.write("clays/reach.toml", ines.read("clays/reach.toml").replace("chapel", "old-mill"))
    ines.sync  # noqa: B018 - takes on the person's own folders
    git(ines.folder, "add", "-A")
    git(ines.folder, "commit", "-q", "--allow-empty", "-m", "by hand")
    git(ines.folder, "pull", "-q", "--no-rebase", "--no-edit", "origin", "main")
    git(ines.folder, "push", "-q", "origin", "main")
    there = everything_in(stick)
    for word in (b"chapel", b"old-mill", b"under-the-stairs", b"a-word-nobody-hears"):
        assert word not in there
    assert 'place = "behind-the-old-mill"' in ines.read("clays/reach.toml")
    assert 'liquid_limit = "34 %"' in ines.read("clays/reach.toml")


def test_coordinates_are_shared_only_when_asked_for(tmp_path, monkeypatch, stick):
    settings = 'format = 1\ntimezone = "UTC"\nmaker = "ines"\n\n[site]\n'
    place = 'elevation = "210 m"\nlatitude = 47.123456\nlongitude = 8.654321\n'
    ines = Maker(tmp_path / "one", "ines", monkeypatch)
    ines.write("notebook.toml", settings + place)
    ines.sync.share(str(stick))
    there = everything_in(stick)
    assert b"210 m" in there
    assert b"47.123456" not in there
    assert b"8.654321" not in there
    ines.write("notebook.toml", "private = []\n" + settings + place)
    ines.sync.apply()
    assert b"47.123456" in everything_in(stick)


def test_what_git_ignores_stays_here(makers, stick):
    ines, _ = makers
    (ines.folder / ".gitignore").write_text("/.fieldbook/\n.*.tmp\n/clays/\n", encoding="utf-8")
    ines.write("clays/hidden-pit.toml", 'place = "hidden"\n')
    ines.sync.apply()
    assert b"hidden-pit" not in everything_in(stick)


def test_an_entry_that_names_a_private_one_is_kept_back_and_said(makers, stick):
    ines, _ = makers
    ines.write("mixes/under-the-stairs.toml", "parts = []\nprivate = true\n")
    ines.write("batches/b.toml", ENTRY.replace("reach-3-1", "under-the-stairs"))
    ines.write("batches/c.toml", ENTRY)
    report = ines.sync.apply()
    assert report.sent == ("batch c begun",)
    assert [line[:25] for line in report.mended] == ["kept back: batches/b.toml"]
    assert b"under-the-stairs" not in everything_in(stick)
    ines.write("batches/b.toml", ENTRY)
    assert ines.sync.apply().sent == ("batch b begun",)


def test_what_no_other_disk_could_take_is_not_sent(makers, stick):
    ines, _ = makers
    ines.write("batches/con.toml", ENTRY)
    (ines.folder / "batches/link.toml").symlink_to("a.toml")
    ines.sync.apply()
    listed = git(stick, "ls-tree", "-r", "--name-only", "main").split()
    assert listed == [".gitignore", "batches/a.toml", "notebook.toml"]


def test_an_entry_made_private_later_leaves_the_group_and_stays_here(makers):
    ines, tomas = makers
    ines.write("batches/a.toml", "private = true\n" + ENTRY)
    assert any("batches/a: private from now on" in words for words in ines.sync.plan().asks)
    with pytest.raises(Loss, match="goes from their folders"):
        ines.sync.apply()
    tomas.sync.apply()
    assert tomas.read("batches/a.toml") == ENTRY
    ines.sync.apply(let_go=True)
    tomas.sync.apply()
    assert not (tomas.folder / "batches/a.toml").exists()
    assert ines.read("batches/a.toml") == "private = true\n" + ENTRY
    ines.write("batches/a.toml", ENTRY)
    ines.sync.apply()
    tomas.sync.apply()
    assert tomas.read("batches/a.toml") == ENTRY


def test_an_entry_of_the_group_never_takes_the_place_of_a_private_one(makers):
    ines, tomas = makers
    ines.write("batches/mine.toml", SECRET)
    tomas.write("batches/mine.toml", ENTRY)
    tomas.sync.apply()
    with pytest.raises(FieldbookError, match="private here"):
        ines.sync.apply()
    assert ines.read("batches/mine.toml") == SECRET
    (ines.folder / "batches/mine.toml").rename(ines.folder / "batches/my-own.toml")
    ines.sync.apply()
    assert ines.read("batches/mine.toml") == ENTRY
    assert ines.read("batches/my-own.toml") == SECRET


@pytest.mark.parametrize(
    ("said", "fields"),
    [
        ("true", None),
        ("false", ()),
        ('["place", "green.length"]', ("place", "green.length")),
        ('["log"]', None),
        ("3", None),
    ],
)
def test_what_is_private_is_read_on_the_safe_side(said, fields):
    assert private_fields("clays/a.toml", f"private = {said}\n".encode()) == fields


def test_an_entry_that_cannot_be_read_and_speaks_of_being_private_is():
    assert private_fields("clays/a.toml", b'private = ["place"\nplace = "x"\n') is None
    assert private_fields("clays/a.toml", b'note = "private\n') == ()


def test_private_fields_come_out_and_go_back_without_touching_the_rest():
    text = CLAY.encode() + b'\n[jar]\nsand = "12 mm"  # thick\n\n[log]\n'
    shared = shared_part("clays/a.toml", text)
    assert b"chapel" not in shared
    assert shared_part("clays/a.toml", with_private("clays/a.toml", shared, text)) == shared


def test_what_came_without_the_list_stays_private_here():
    here, came = CLAY.encode(), b'liquid_limit = "34 %"\n'
    result = with_private("clays/a.toml", came, here)
    assert b"behind-the-chapel" in result
    assert private_fields("clays/a.toml", result) == ("place",)


def test_a_private_field_stays_where_an_entry_stands_unmerged_without_a_merge(makers, stick):
    _, tomas = makers
    tomas.write("batches/a.toml", 'private = ["count"]\n' + ENTRY)
    tomas.sync.apply()
    blob = git(tomas.folder, "rev-parse", "HEAD:batches/a.toml").strip()
    rows = "".join(f"100644 {blob} {stage}\tbatches/a.toml\n" for stage in (1, 2, 3))
    subprocess.run(
        ["git", "update-index", "--index-info"], cwd=tomas.folder, check=True,
        input=f"0 {'0' * 40}\tbatches/a.toml\n{rows}".encode(),
    )  # fmt: skip
    tomas.add("batches/a.toml", '"2026-09-06 12:00:00+00:00" = { turned = true }')
    report = tomas.sync.apply()
    assert report.mended == ("merged: batches/a.toml, which stood unmerged",)
    assert "count = 100" in tomas.read("batches/a.toml")
    assert "turned = true" in tomas.read("batches/a.toml")
    assert "count" not in git(stick, "show", "main:batches/a.toml").partition("\n")[2]
