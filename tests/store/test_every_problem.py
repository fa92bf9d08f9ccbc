"""Every kind of problem there is, provoked: each place in the code that makes one is come to.

The places are found in the source, so a new kind without a case here fails.
"""

from __future__ import annotations

import ast
import os
import sys
from contextlib import suppress
from datetime import UTC, datetime
from pathlib import Path

import pytest

import fieldbook
from fieldbook.errors import FieldbookError, Problem, Unreadable
from fieldbook.lines.reading import cleaned
from fieldbook.lines.toml_text import read_key, text_value, value_text
from fieldbook.quantities import preferred, quantity, read_amount
from fieldbook.quantities.plain import read_count
from fieldbook.store import Store, durable, values
from fieldbook.store.append import append
from fieldbook.store.importing import Asked, understand
from fieldbook.store.parsing import NotToml
from fieldbook.store.reading import Reader
from tests.store.test_bad_input import broken  # noqa: F401 - a fixture

SOURCE = Path(fieldbook.__file__).parent
MAKERS = {"Problem", "Unreadable", "problem", "NotToml", "NotAFile", "_refuse"}
NOW = datetime(2026, 6, 1, tzinfo=UTC)


def places():
    """File, first and last line of every call that makes a problem."""
    for room in ("store", "quantities", "lines"):
        for path in sorted((SOURCE / room).glob("*.py")):
            for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
                if isinstance(node, ast.Call):
                    name = getattr(node.func, "id", getattr(node.func, "attr", ""))
                    if name in MAKERS:
                        yield str(path), node.lineno, node.end_lineno


def note_where_they_are_made(monkeypatch):
    """Keep the file and line of every call that makes a problem from now on."""
    made: set[tuple[str, int]] = set()

    def noting(owner, name):
        plain = getattr(owner, name)

        def noted(*args, **kwargs):
            frame = sys._getframe(1)
            made.add((frame.f_code.co_filename, frame.f_lineno))
            return plain(*args, **kwargs)

        monkeypatch.setattr(owner, name, noted)

    noting(Problem, "__new__")
    for refusal in (Unreadable, NotToml, durable.NotAFile):
        noting(refusal, "__init__")
    noting(Reader, "problem")
    noting(values, "_refuse")
    return made


AMOUNTS = {
    "length": ["246", "3 1/2", "3 kg", "3 furlongs", "high", "", "nan mm", "about 3 mm", "1e3 mm",
               "3 4 mm", "3-1/2 in", "1,250 mm", "-3 mm", "3 mm 4 kg", "3 in 2 ft", "1/0 in",
               "3 5/4 in", "1" * 20 + " mm", "3 mm\u202e", "3" * 200, "3 mn", "> -3 mm",
               "90 to mm", "5 ft 13 in", "2 cm of clay", "3 **", "1e+3 mm", "3 \u00b1 mm",
               "3 ft 2"],
    "mass": ["3 tons", "3 barrows", "5 lb 20 oz", "3.5 lb 2 oz"],
    "temperature": ["1040", "560 degrees", "-400 C", "0 K to -5 K"],
    "rate": ["50"],
    "cost": ["12", "12,000 EUR", "lots"],
    "count": ["1,000", "9" * 11, "few"],
}  # fmt: skip

HEAD = 'mix = "reach-3-1"\nmoulded = 2026-04-02\ncount = 1\n'
FIRED = 'kiln = "cross-1"\nload = [{ batch = "2026-04-a" }]\n'
FILES = {
    "batches/p-share": HEAD + '[log]\n"2026-05-01 08:00" = { humidity = "-3 %" }\n'
    '"2026-05-01 09:00" = { humidity = "130 %" }\n"yesterday" = { note = "x" }\n'
    '"2026-02-30 09:00" = { note = "x" }\n"1066-10-14 09:00" = { note = "x" }\n'
    '"2026-05-02 09:00" = 3\n"2026-05-03 09:00" = { mass = true, brick = "1" }\n'
    '"2026-05-04 09:00" = { mass = "302 kg", turned = "yes" }\n',
    "batches/p-kinds": 'mix = "Reach 3"\nmoulded = 7\ncount = "12"\ntags = "a"\nprivate = 3\n'
    "green = 4\nmarked = { 1 = 2 }\n",
    "batches/p-days": 'mix = "reach-3-1"\nmoulded = "2026-02-31"\ncount = -4\n',
    "batches/p-count": 'mix = "reach-3-1"\nmoulded = 2026-04-02\ncount = 9999999999999\n',
    "batches/p-log": HEAD + "log = 3\n",
    "batches/p-later": HEAD + '[log]\n"2999-05-01 08:00" = { turned = true }\n'
    '"2190-05-01 08:00" = { turned = true }\n',
    "batches/p-cut": HEAD + '[log]\n"2026-05-01 08:00" = { turned = tr',
    "mixes/p-parts": "parts = 3\n",
    "mixes/p-items": 'parts = [3, { clay = "reach" }, { mass = "3 kg" }]\n',
    "mixes/p-name": 'parts = [{ clay = "nowhere", mass = "3 kg" }]\n',
    "clays/p-word": 'fizz = "lots"\ndry_strength = 3\n',
    "kilns/p-places": 'places = ["top", "Top"]\n',
    "firings/p-place": 'kiln = "cross-1"\nload = [{ batch = "2026-04-a", place = "tpo" }]\n',
    "firings/p-hot": FIRED + '[log]\n"2026-05-09 08:00" = { temperature = "5000 C" }\n',
    "firings/p-load": 'kiln = "cross-1"\nload = [{ count = 3 }]\n',
    "builds/p-cost": '[log]\n"2026-05-09 08:00" = { cost = "lots" }\n',
    "tests/p-lack": 'standard = "ASTM C62"\n',
}
SETTINGS = """\
format = 7
timezone = "Middle/Earth"
[measures]
kg = "3 l"
[site]
latitude = "north"
longitude = 200.0
"""


def provoke_reading(folder, put):
    for name, text in FILES.items():
        put(f"{name}.toml", text)
    (folder / "stray.toml").write_text("x = 1\n")
    (folder / "batch").mkdir()
    (folder / "batch/x.toml").write_text(HEAD)
    append(str(folder), "batches/2026-04-a", NOW, {"note": "dropped"})
    path = folder / "batches/2026-04-a.toml"
    path.write_text(path.read_text().replace("dropped", "other"))
    store = Store(folder)
    problems = store.check()
    assert problems and all(one.what and one.remedy for one in problems)
    with suppress(FieldbookError):
        store.set_fields("batches/p-log", {"count": "3"})
    for address in ("batches/not-toml", "batches/p-log"):
        with suppress(FieldbookError):
            append(str(folder), address, NOW, {"note": "x"})
        with suppress(FieldbookError):
            store.set_fields(address, {"count": "3"})
    for gone in ("batches/gone", "batches/folder", "batches/pipe", "batches/link"):
        for flags in (os.O_RDWR, os.O_WRONLY):
            with suppress(OSError, durable.NotAFile):
                os.close(durable.open_file(str(folder / f"{gone}.toml"), flags))
        with suppress(OSError, durable.NotAFile):
            durable.read_file(str(folder / f"{gone}.toml"))
        store.read(gone)
    (folder / "notebook.toml").write_text(SETTINGS)
    assert Store(folder).check()
    (folder / "notebook.toml").unlink()
    assert Store(folder).problems


def provoke_refusals(folder, monkeypatch):
    """What only a system that refuses gives: asked for as any other user than root would be."""

    def refuse(*_):
        raise PermissionError(13, "Permission denied")

    with monkeypatch.context() as patch:
        patch.setattr("fieldbook.store.checking.os.scandir", refuse)
        with suppress(PermissionError):
            Store(folder).check()
    scan = os.scandir
    with monkeypatch.context() as patch:
        patch.setattr(
            "fieldbook.store.checking.os.scandir",
            lambda path: refuse() if str(path).endswith("batches") else scan(path),
        )
        with suppress(PermissionError):
            Store(folder).check()
    with monkeypatch.context() as patch:
        patch.setattr("fieldbook.store.durable.os.open", refuse)
        assert Store(folder).problems
    (folder / "clays").rename(folder / "elsewhere")
    (folder / "clays").symlink_to(folder / "elsewhere")
    assert Store(folder).check() and Store(folder).read("clays/reach").problems


def provoke_texts():
    for dimension, texts in AMOUNTS.items():
        for text in texts:
            with pytest.raises(FieldbookError):
                read_amount(text, dimension)
    for ask in (
        lambda: read_amount(None, "length"),
        lambda: quantity("twenty"),
        lambda: preferred("as-written", {"length": "furlong"}),
        lambda: read_count(3.5),
        lambda: cleaned("\ud800"),
        lambda: read_key("soon", UTC),
        lambda: read_key("2026-02-30 09:00", UTC),
        lambda: value_text(object()),
        lambda: text_value("\ud800"),
    ):
        with suppress(FieldbookError, TypeError):
            ask()


CSV = [
    ("time,temp C\n25:00,400\nsoon,3\n22:30,4 kg\n", NOW),
    ("time,temp C\n22:30,400\n", None),
    ("hours,temp C\n1,300\nx,400\n", NOW),
    ("hours,temp C\n1,400\n", None),
    ("time,temp C\n22:30,32767\n", NOW),
]


def provoke_imports(tmp_path):
    for number, (text, begun) in enumerate(CSV):
        file = tmp_path / f"{number}.csv"
        file.write_text(text)
        found = understand(file, begun, UTC, Asked("", "", "", "C"))
        assert found.problems


def test_every_kind_of_problem_is_come_to(broken, put, tmp_path, monkeypatch):  # noqa: F811
    made = note_where_they_are_made(monkeypatch)
    provoke_reading(broken, put)
    provoke_texts()
    provoke_imports(tmp_path)
    provoke_refusals(broken, monkeypatch)
    missed = [
        f"{Path(file).relative_to(SOURCE)}:{first}"
        for file, first, last in places()
        if not any((file, line) in made for line in range(first, last + 1))
    ]
    assert missed == [], "\n".join(missed)
