"""What is wrong with a notebook as a whole."""

from __future__ import annotations

import ast
import subprocess
import sys
from datetime import UTC, datetime, timedelta

import pytest

from fieldbook.store import Store


def test_a_notebook_in_order_has_no_problems(store):
    assert store.check(datetime(2026, 6, 1, tzinfo=UTC)) == []


def found(folder, name, now=datetime(2026, 6, 1, tzinfo=UTC)):
    return [p for p in Store(folder).check(now) if p.path == name]


@pytest.mark.parametrize(
    ("name", "text", "line", "what", "remedy"),
    [
        ("batches/b", 'mix = "reach"\n', 1, 'mix = "reach" names an entry that is not in mixes',
         "reach-3-1"),
        ("tests/t", 'batch = "x"\n', 1, 'batch = "x"', "Make the entry in batches"),
        ("mixes/m", 'parts = [\n{ clay = "reech", mass = "1 kg" }]\n', 2, 'parts.1.clay = "reech"',
         "reach"),
        ("builds/b", 'form = "wall"\n[log]\n"2026-05-09 08:00" = { laid = 9, of = "2026-05-30" }\n',
         3, 'of = "2026-05-30" names an entry that is not in firings or batches', ""),
        ("kilns/k", 'places = ["top", "Top"]\n', 1, 'places has "Top" twice', "name of its own"),
        ("firings/f", 'kiln = "cross-1"\nload = [{ batch = "2026-04-a", place = "tpo" }]\n',
         2, 'place = "tpo" is no place of kilns/cross-1', '"top"'),
        ("firings/f", 'kiln = "cross-1"\nload = [{ batch = "2026-04-a" }]\n[log]\n'
         '"2026-05-09 08:00" = { temperature = "9 C", place = "midle" }\n', 4,
         '"midle"', '"middle"'),
        ("firings/f", 'kiln = "cross-1"\nload = [{ count = 3 }]\n', 2,
         "load.1 has neither batch nor refired", ""),
        ("mixes/m", 'parts = [{ clay = "reach" }]\n', 1, "parts.1 has neither volume nor mass", ""),
        ("mixes/m", 'parts = [{ mass = "3 kg" }]\n', 1, "parts.1 has neither clay nor temper", ""),
    ],
)  # fmt: skip
def test_what_does_not_fit_the_rest_is_pointed_out(folder, put, name, text, line, what, remedy):
    rest = "moulded = 2026-04-02\ncount = 1\n" if name.startswith("batches") else ""
    put(f"{name}.toml", text + rest)
    problems = found(folder, f"{name}.toml")
    assert len(problems) == 1, problems
    assert problems[0].line == line and what in problems[0].what and remedy in problems[0].remedy


def test_places_that_resemble_none_of_the_kiln_are_taken_as_meant(folder, put):
    put(
        "firings/f.toml",
        'kiln = "cross-1"\nload = [{ batch = "2026-04-a" }]\n[log]\n'
        '"2026-05-09 08:00" = { temperature = "9 C", place = "flue", probe = "flue" }\n',
    )
    assert found(folder, "firings/f.toml") == []


def test_a_value_that_cannot_be_read_is_one_problem_not_two(folder, put):
    put("mixes/m.toml", 'parts = [{ clay = "reach", volume = "3" }]\n')
    assert len(found(folder, "mixes/m.toml")) == 1


def test_lines_later_than_the_clock_are_problems_unless_a_time_is_given(folder, put):
    now = datetime.now(UTC)
    soon, past = (f"{now + timedelta(days=d):%Y-%m-%d %H:%M:%S}+00:00" for d in (2, -2))
    put(
        "batches/b.toml",
        'mix = "reach-3-1"\nmoulded = 2020-04-02\ncount = 1\n[log]\n'
        f'"{soon}" = {{ covered = true }}\n"{past}" = {{ covered = true }}\n',
    )
    problems = found(folder, "batches/b.toml", now=None)
    assert [(p.line, "later than the clock" in p.what) for p in problems] == [(5, True)]
    assert found(folder, "batches/b.toml", now=now) == []


def test_problems_stand_in_the_order_of_the_file(folder, put):
    put("batches/b.toml", 'mix = "none"\ncount = "x"\nmoulded = 7\nbogus = 1\n')
    assert [p.line for p in found(folder, "batches/b.toml")] == [1, 2, 3, 4]


def loaded(code, *words):
    """The modules of the list that a process of its own has loaded after `code`."""
    heavy = (
        "dataclasses inspect numpy pint tomlkit uncertainties scipy textual asyncio git json "
        "hashlib fieldbook.records fieldbook.quantities fieldbook.store.places"
    )
    code = f"import sys\n{code}\nprint([m for m in {heavy.split()} if m in sys.modules])"
    done = subprocess.run(
        [sys.executable, "-c", code, *map(str, words)], capture_output=True, text=True, check=True
    )
    return set(ast.literal_eval(done.stdout))


def test_checking_needs_neither_numpy_nor_pint_nor_tomlkit(folder):
    code = "from fieldbook.store import Store; Store(sys.argv[1]).check()"
    assert not loaded(code, folder) & {
        *("numpy", "pint", "tomlkit", "uncertainties", "scipy", "textual", "asyncio", "git")
    }


def test_logging_needs_little(folder):
    code = """\
from datetime import datetime, timezone
from fieldbook.store.append import append
from fieldbook.store.bearings import bearings
bearings(sys.argv[1], "firings/2026-05-03")
append(sys.argv[1], "firings/2026-05-03", datetime.now(timezone.utc), {"note": "x"})
"""
    assert loaded(code, folder) == set()


@pytest.mark.parametrize(
    ("name", "text", "line", "what"),
    [
        ("firings/f", 'kiln = "cross-1"\nload = [{ batch = "2026-04-a" }]\n[log]\n'
         '"2026-05-09 08:00" = { temperature = "5000 C", probe = "flue" }\n', 4,
         'temperature = "5000 C" is hotter than any wood fire (1400 °C)'),
        ("firings/f", 'kiln = "cross-1"\nload = [{ batch = "2026-04-a" }]\n[log]\n'
         '"2026-05-09 08:00" = { fuel = "90 t" }\n', 4, "more than one load of fuel (20 t)"),
        ("firings/f", 'kiln = "cross-1"\nload = [{ batch = "2026-04-a" }]\n[plan]\n'
         'peak = "9500 C"\n', 4, 'peak = "9500 C" is hotter'),
        ("batches/b", 'mix = "reach-3-1"\nmoulded = 2026-04-02\ncount = 1\n[log]\n'
         '"2026-05-09 08:00" = { brick = "1", mass = "302 kg" }\n', 5,
         "heavier than any one brick"),
        ("batches/b", 'mix = "reach-3-1"\nmoulded = 2026-04-02\ncount = 1\n[green]\n'
         'length = "24 m"\n', 5, "longer than any brick"),
        ("batches/b", 'mix = "reach-3-1"\nmoulded = 2026-04-02\ncount = 1\n[marked]\n'
         '"1" = { mass = "-3 kg" }\n', 5, "below zero"),
        ("tests/t", 'batch = "2026-04-a"\n[specimens]\n"1" = { soaked_mass = "2800 kg" }\n', 3,
         "heavier than any one brick"),
        ("mixes/m", 'parts = [{ clay = "reach", mass = "3 kg" }]\nno_hotter_than = "1800 C"\n', 2,
         "hotter than any wood fire"),
    ],
)  # fmt: skip
def test_figures_that_no_reading_can_be_are_pointed_out(folder, put, name, text, line, what):
    put(f"{name}.toml", text)
    (problem,) = found(folder, f"{name}.toml")
    assert problem.line == line and what in problem.what
