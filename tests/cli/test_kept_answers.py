"""What is kept from run to run gives what working it out again would give, to the byte."""

import json
import os
import random
import shutil
import subprocess
from datetime import datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from fieldbook.advice.context import Context
from fieldbook.advice.engine import advise
from fieldbook.store import shelf as shelves
from fieldbook.store.folder import Store
from fieldbook.store.shelf import Shelf
from tests.installed import FIELDBOOK

SAMPLE = Path(__file__).parents[2] / "sample_notebook"
DUBLIN = ZoneInfo("Europe/Dublin")
NOW = datetime(2026, 9, 12, 14, 30, tzinfo=DUBLIN)


@pytest.fixture(autouse=True)
def same_program(monkeypatch):
    """Whoever edits the program while its tests run gets an empty shelf; not here."""
    monkeypatch.setattr(shelves, "_program", lambda: "this one")


@pytest.fixture
def folder(tmp_path):
    return Path(shutil.copytree(SAMPLE, tmp_path / "yard"))


def told(folder: Path, now: datetime, shelf: Shelf | None) -> str:
    """What a notebook gives at a moment: actions, results, problems, verdicts.

    Of results that are put off, those that a `next` had to work out.
    """
    context = Context.of(Store(folder).notebook(now), now, shelf)
    advice = advise(context)
    found = {"next": [action.json() for action in advice.actions]}
    for address in context.notebook.addresses:
        review = context.review(address)
        if review is not None:
            found[address] = [
                {name: result.json() for name, result in dict.items(review.results)},
                [list(problem) for problem in review.problems],
                [str(verdict) for verdict in review.verdicts],
                review.cautions,
            ]
    return json.dumps(found, indent=1, default=str)


def kept_and_anew(folder: Path, now: datetime) -> tuple[str, str]:
    """The same moment with what earlier runs kept, and without."""
    shelf = Shelf(folder)
    with_it = told(folder, now, shelf)
    shelf.save()
    return with_it, told(folder, now, None)


MOMENTS = (
    datetime(2026, 5, 9, 12, 0, tzinfo=DUBLIN),
    datetime(2026, 9, 12, 14, 30, tzinfo=DUBLIN),
    datetime(2026, 9, 12, 14, 41, tzinfo=DUBLIN),
    datetime(2026, 9, 25, 8, 0, tzinfo=DUBLIN),
    datetime(2026, 7, 1, 8, 0, tzinfo=DUBLIN),
)


def test_what_is_put_off_is_the_same_too(folder):
    shelf = Shelf(folder)
    inside = []
    for _ in range(2):
        context = Context.of(Store(folder).notebook(NOW), NOW, shelf)
        review = context.review("firings/2026-08-22")
        assert review is not None
        heat_work = review.results["heat_work"]
        inside.append((heat_work, next(iter(review.model.state.places.values())).core[1].max()))
        shelf.save()
    assert repr(inside[0]) == repr(inside[1])


def test_what_is_kept_answers_at_every_moment_as_if_it_were_worked_out_anew(folder):
    for moment in MOMENTS:
        kept, anew = kept_and_anew(folder, moment)
        assert kept == anew, moment


CHANGES = (
    ("firings/2026-09-12", '"{at}" = {{ temperature = "{n} C", place = "top" }}\n'),
    ("firings/2026-09-12", '"{at}" = {{ fuel = "2 armload" }}\n'),
    ("batches/2026-09-a", '"{at}" = {{ brick = "1", mass = "3.{n} kg" }}\n'),
    ("batches/2026-08-b", '"{at}" = {{ broken = {k} }}\n'),
    ("batches/2026-09-b", '"{at}" = {{ note = "sun and wind {n}" }}\n'),
    ("builds/garden-wall", '"{at}" = {{ laid = {k} }}\n'),
)


def test_after_any_line_only_what_hangs_on_it_is_worked_out_anew(folder):
    luck = random.Random(20260912)
    now = NOW
    kept_and_anew(folder, now)
    for _ in range(4):
        now += timedelta(minutes=luck.randint(1, 400))
        address, line = luck.choice(CHANGES)
        file = folder / f"{address}.toml"
        at = f"{now:%Y-%m-%d %H:%M}:{luck.randint(0, 59):02}+01:00"
        words = line.format(at=at, n=luck.randint(330, 400), k=luck.randint(1, 3))
        file.write_text(file.read_text().rstrip() + "\n" + words)
        kept, anew = kept_and_anew(folder, now)
        assert kept == anew, words


def test_a_field_a_new_entry_and_one_taken_away_are_noticed(folder):
    kept_and_anew(folder, NOW)
    store = Store(folder)
    store.set_fields("batches/2026-09-a", {"count": "120"})
    assert len(set(kept_and_anew(folder, NOW))) == 1
    store.create("batch", "2026-09-z", {"mix": "bank-3-1", "count": "90", "moulded": "2026-09-10"})
    assert len(set(kept_and_anew(folder, NOW))) == 1
    (folder / "tests" / "june-hard.toml").unlink()
    assert len(set(kept_and_anew(folder, NOW))) == 1


def test_changed_settings_drop_all_that_was_kept(folder):
    kept_and_anew(folder, NOW)
    settings = folder / "notebook.toml"
    settings.write_text(settings.read_text() + '\n[practice]\nopen_below = "90 C"\n')
    assert len(set(kept_and_anew(folder, NOW))) == 1


def count_of(path: Path) -> int:
    shelf = Shelf(path)
    assert shelf._held is not None
    return int(shelf._held.execute("SELECT count(*) FROM answers").fetchone()[0])


def test_another_program_finds_an_empty_shelf(folder, monkeypatch):
    kept_and_anew(folder, NOW)
    assert count_of(folder) > 50
    monkeypatch.setattr(shelves, "_program", lambda: "a later one")
    assert count_of(folder) == 0


def test_a_program_that_finds_every_answer_kept_says_the_same(folder):
    """At night, too, when jobs of the yard are put off: then no rule was ever loaded."""
    asked = [FIELDBOOK, "--notebook", str(folder), "next", "--now", "2026-09-12 22:33"]
    said = [subprocess.run(asked, capture_output=True, text=True, check=True) for _ in "12"]
    assert said[0].stdout and {run.stdout for run in said} == {said[0].stdout}
    assert {run.stderr for run in said} == {""}


def test_a_torn_shelf_costs_only_time(folder):
    Shelf(folder).save()
    path = Path(shelves._path(os.path.realpath(folder)))
    path.write_bytes(b"not a shelf at all" * 500)
    assert Shelf(folder).get("anything") is None
    assert len(set(kept_and_anew(folder, NOW))) == 1
    assert count_of(folder) > 50


def test_a_shelf_that_others_may_write_to_is_not_read(folder):
    Shelf(folder).save()
    path = Path(shelves._path(os.path.realpath(folder)))
    path.chmod(0o666)
    assert Shelf(folder)._held is None


def test_a_shelf_that_cannot_be_written_stops_nothing(folder, monkeypatch, tmp_path):
    (tmp_path / "a file").write_text("no folder")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "a file"))
    shelf = Shelf(folder)
    shelf.put("a name", b"an answer")
    shelf.save()
    assert Shelf(folder).get("a name") is None


def test_a_file_just_written_is_looked_at_again_whatever_its_stamp(folder):
    shelf = Shelf(folder)
    file = folder / "clays" / "bank-red.toml"
    file.write_text(file.read_text() + "# one\n")
    before = shelf.state("clays/bank-red")
    status = file.stat()
    file.write_text(file.read_text().replace("# one", "# two"))
    os.utime(file, ns=(status.st_atime_ns, status.st_mtime_ns))
    shelf.save()
    assert Shelf(folder).state("clays/bank-red") != before


def test_settings_changed_while_the_program_runs_are_read_by_what_follows(folder):
    store = Store(folder)
    assert store.read("batches/2026-09-a").record is not None
    assert store.settings.measures
    name = sorted(store.settings.measures)[0]
    store.set_fields("notebook.toml", {f"measures.{name}": "7 kg"})
    fuel = folder / "firings" / "2026-09-12.toml"
    fuel.write_text(fuel.read_text().rstrip() + f'\n"2026-09-12 14:29" = {{ fuel = "2 {name}" }}\n')
    shelf = store.shelf
    record = store.read("firings/2026-09-12").record
    assert record is not None and record.log[-1].fuel.value == pytest.approx(14.0)
    assert shelf is store.shelf


def test_a_damaged_answer_is_worked_out_again(folder):
    kept_and_anew(folder, NOW)
    shelf = Shelf(folder)
    assert shelf._held is not None
    with shelf._held as held:
        held.execute("UPDATE answers SET answer = zeroblob(length(answer))")
    assert len(set(kept_and_anew(folder, NOW))) == 1


def test_answers_made_by_other_settings_are_not_put_on_a_shelf_cleared_since(folder):
    open_screen = Shelf(folder)
    open_screen.put("a name", b"by the old settings")
    settings = folder / "notebook.toml"
    settings.write_text(settings.read_text() + "# changed\n")
    Shelf(folder).save()
    open_screen.save()
    assert Shelf(folder).get("a name") is None


def test_a_cache_folder_inside_a_notebook_is_not_used(folder, monkeypatch):
    monkeypatch.setenv("XDG_CACHE_HOME", "cache")
    monkeypatch.setenv("HOME", str(folder.parent))
    monkeypatch.chdir(folder)
    assert shelves._path(str(folder)).startswith(str(folder.parent / ".cache"))


def test_an_older_notebook_keeps_nothing_under_the_states_of_a_newer_one(folder):
    store = Store(folder)
    older = Context.of(store.notebook(NOW), NOW, store.shelf)
    for address in older.notebook.addresses:
        older.notebook.entry(address)
    file = folder / "tests" / "first-firing.toml"
    file.write_text(file.read_text() + "# weighed again\n")
    store.notebook(NOW)
    for address in older.notebook.addresses:
        older.review(address)
    store.keep()
    assert len(set(kept_and_anew(folder, NOW))) == 1
