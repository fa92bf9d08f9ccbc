"""A sync that dies while it lays out what came is gone on with by the next one."""

import os
import subprocess
import tomllib

import pytest

from fieldbook.store import durable
from fieldbook.sync import laying_out
from fieldbook.sync.died import under_way
from fieldbook.sync.merging import merged, parted
from fieldbook.sync.objects import reading
from fieldbook.sync.renames import renames
from tests.sync.conftest import ENTRY, NOON, git

LATER = '"2026-09-06 18:00:00+00:00" = { covered = true, by = "tomas" }'
DUSK = '"2026-09-06 20:00:00+00:00" = { note = "after the power cut", by = "tomas" }'


class Died(BaseException):
    """Stands for a kill: nothing catches it."""


@pytest.mark.parametrize("written_under", [0, -1])
@pytest.mark.parametrize("after", [0, 1, 2, "index", "branch"])
def test_whatever_it_dies_at_nothing_is_lost_or_doubled(makers, monkeypatch, after, written_under):
    """What is written next goes into the entry under its old name, if that stands, or its new."""
    ines, tomas = makers
    for name in ("b", "c"):
        ines.write(f"batches/{name}.toml", ENTRY)
    ines.write("batches/a.toml", ENTRY + NOON + "\n")
    ines.sync.apply()
    (ines.folder / "batches/a.toml").rename(ines.folder / "batches/spring.toml")
    tomas.add("batches/a.toml", LATER)
    with monkeypatch.context() as patch:
        _die(patch, after)
        with pytest.raises(Died):
            tomas.sync.apply()
    ines.sync.apply()
    there = [p for p in ("batches/a.toml", "batches/spring.toml") if (tomas.folder / p).exists()]
    tomas.add(there[written_under], DUSK)
    for maker in (tomas, ines, tomas):
        maker.sync.apply()
    assert ines.files == tomas.files
    notes = [
        (key, line)
        for path, data in tomas.files.items()
        if path.startswith("batches")
        for key, line in tomllib.loads(data.decode()).get("log", {}).items()
    ]
    assert len(notes) == 3
    assert len(dict(notes)) == 3


def _die(patch, after) -> None:
    if after == "index":
        patch.setattr(laying_out, "put_in_index", _dying)
    elif after == "branch":
        patch.setattr(laying_out.Path, "unlink", _dying)
    else:
        left = [after]
        for name in ("replace_file", "create_file"):
            _count_down(patch, name, left)


def _dying(*_args, **_kwargs):
    raise Died


def _count_down(patch, name, left) -> None:
    act = getattr(durable, name)

    def counted(path, *rest):
        if path.endswith(".toml") and "/batches/" in path:
            if not left[0]:
                raise Died
            left[0] -= 1
        act(path, *rest)

    patch.setattr(durable, name, counted)


def test_a_line_logged_between_keeping_and_laying_out_stays(makers):
    ines, tomas = makers
    ines.add("batches/a.toml", NOON)
    ines.sync.apply()
    sync = tomas.sync
    git(tomas.folder, "fetch", "-q", "origin")
    with reading(sync.git) as objects:
        head, there = objects.commit_id("HEAD"), objects.commit_id("refs/remotes/origin/main")
        tomas.add("batches/a.toml", LATER)
        laying_out.lay_out(objects, head, there)
    assert len(tomllib.loads(tomas.read("batches/a.toml"))["log"]) == 2


def test_a_lock_that_a_dead_sync_left_on_the_other_side_is_cleared(makers, stick):
    ines, tomas = makers
    (ines.folder / ".git/fieldbook-under-way").touch()
    lock = stick / "refs/heads/main.lock"
    lock.touch()
    ines.add("batches/a.toml", NOON)
    assert ines.sync.apply().sent == ("1 observation on batch a",)
    assert not lock.exists()
    lock.touch()
    os.utime(lock, (1, 1))
    with under_way(tomas.folder / ".git", stick):
        assert lock.exists()


def test_entries_begun_alike_are_not_taken_for_one_another(makers):
    """One was given a new name and changed, another begun from the same lines."""
    ines, tomas = makers
    ines.write("batches/c.toml", ENTRY)
    ines.sync.apply()
    tomas.sync.apply()
    (ines.folder / "batches/c.toml").unlink()
    ines.write("batches/renamed.toml", ENTRY + NOON + "\n")
    ines.write("batches/f.toml", ENTRY)
    ines.sync.apply()
    tomas.add("batches/c.toml", LATER)
    tomas.write("batches/f.toml", ENTRY + DUSK + "\n")
    tomas.sync.apply()
    ines.sync.apply()
    assert ines.files == tomas.files
    assert DUSK in tomas.read("batches/f.toml")
    assert LATER not in tomas.read("batches/f.toml")


def test_a_name_that_another_entry_took_on_the_other_side_holds_both(renamed):
    ines, tomas = renamed
    tomas.add("batches/a.toml", LATER)
    tomas.write("batches/spring.toml", ENTRY + DUSK + "\n")
    tomas.sync.apply()
    ines.sync.apply()
    assert ines.files == tomas.files
    for line in (NOON, LATER, DUSK):
        assert line in tomas.read("batches/spring.toml")


def test_a_header_inside_a_note_is_no_log(makers):
    """Renames are followed by the lines of the log, not by what looks like them in a note."""
    ines, _ = makers
    text = ENTRY.replace("[log]\n", f'note = """\n[log]\n{LATER}\n"""\n\n[log]\n{NOON}\n')
    ines.write("batches/a.toml", text)
    sync = ines.sync
    sync.apply()
    base = git(ines.folder, "rev-parse", "HEAD").strip()
    (ines.folder / "batches/a.toml").unlink()
    ines.write("batches/b.toml", ENTRY + NOON + "\n")
    sync.apply()
    assert renames(sync.git, base, "HEAD") == {"batches/a.toml": "batches/b.toml"}


def test_two_places_where_they_parted_are_merged_first(makers):
    """Each took in the other's state at the same time; then both went on."""
    ines, tomas = makers
    for maker, line in ((ines, NOON), (tomas, LATER)):
        maker.add("batches/a.toml", line)
        maker.sync  # noqa: B018 - takes on the person's own folders
        git(maker.folder, "commit", "-qam", "one")
    git(ines.folder, "fetch", "-q", str(tomas.folder), "main:refs/heads/theirs")
    sync = ines.sync
    with reading(sync.git) as objects:
        one, other = (objects.commit_id(name) for name in ("main", "theirs"))
        left = merged(objects, parted(objects, one, other), "left")
        right = merged(objects, parted(objects, other, one), "right")
        both = merged(objects, parted(objects, left, right), "both")
        log = tomllib.loads((objects.read(f"{both}:batches/a.toml") or b"").decode())["log"]
    done = subprocess.run(
        ["git", "merge-base", "--all", left, right],
        cwd=ines.folder, capture_output=True, text=True, check=True,
    )  # fmt: skip
    assert len(done.stdout.split()) == 2
    assert len(log) == 2


def test_what_is_written_under_the_old_name_of_a_half_laid_out_entry_goes_to_the_new_one(
    renamed, monkeypatch
):
    ines, tomas = renamed
    with monkeypatch.context() as patch:
        patch.setattr(laying_out, "_take_away", _dying)
        with pytest.raises(Died):
            tomas.sync.apply()
    assert (tomas.folder / "batches/spring.toml").exists()
    tomas.add("batches/a.toml", DUSK)
    for maker in (tomas, ines):
        maker.sync.apply()
    assert ines.files == tomas.files
    assert not (ines.folder / "batches/a.toml").exists()
    log = tomllib.loads(ines.read("batches/spring.toml"))["log"]
    assert [line.get("note", "") for line in log.values()] == ["", "after the power cut"]
