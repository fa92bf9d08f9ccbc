"""Every command is given once, every field of every kind is written and read once.

Both are taken from the program itself, so a new one without its example here fails.
"""

import json
import subprocess
import tomllib

import pytest

from fieldbook.cli.commands import COMMANDS
from fieldbook.errors import FieldbookError
from fieldbook.lines.fields import LOG, SPECIMEN, UNLOADED, WORDS
from fieldbook.lines.toml_text import value_text
from fieldbook.quantities import FIELDS
from fieldbook.records import KINDS, Settings, specs
from fieldbook.store import Store

NOW = ("--now", "2026-09-12 14:10")

GIVEN = {
    "start": (("start", "new", "--timezone", "UTC"), "notebook"),
    "add": (("add", "clay", "bank"), "clays/bank"),
    "set": (("set", "a", "count=96"), "count"),
    "rename": (("rename", "tests/t", "u"), "tests/u"),
    "remove": (("remove", "tests/t"), "tests/t"),
    "log": (("log", "f", "1040F", "top"), "1040 "),
    "next": (("next",), ""),
    "why": (("why", "t", "cold_absorption"), "2230 g"),
    "show": (("show", "a"), "246 mm"),
    "check": (("check",), ""),
    "plan": (("plan", "f"), "1000"),
    "compare": (("compare", "batches/a", "batches/a2"), "count"),
    "history": (("history", "mixes/reach-3-1"), "batches/a"),
    "find": (("find", "batches"), "batches/a"),
    "news": (("news",), None),
    "share": (("share", "SHARED"), None),
    "sync": (("sync", "--dry-run"), None),
    "import": (("import", "readings", "LOGGER", "f"), "2"),
    "export": (("export", "jsonl"), "batches/a"),
    "completion": (("completion", "bash"), "fieldbook"),
}
"""Command -> words, and what stands in the answer; None: any answer, since it depends on git."""


@pytest.fixture
def beside(notebook, tmp_path):
    """What commands need beside the notebook: a second batch, a place to share, a logger's file."""
    text = (notebook / "batches/a.toml").read_text(encoding="utf-8")
    (notebook / "batches/a2.toml").write_text(text.replace("100", "90"), encoding="utf-8")
    shared = tmp_path / "shared.git"
    subprocess.run(["git", "init", "-q", "--bare", str(shared)], check=True)
    logger = tmp_path / "logger.csv"
    logger.write_text("time,top C\n09:00,120\n10:00,150\n")
    return {"SHARED": str(shared), "LOGGER": str(logger), "new": str(tmp_path / "new")}


def test_every_command_has_its_example():
    assert sorted(GIVEN) == sorted(COMMANDS)


@pytest.mark.parametrize("command", GIVEN)
def test_each_command_answers_and_says_how_it_is_written(fieldbook, beside, command):
    words, wanted = GIVEN[command]
    words = [beside.get(word, word) for word in words]
    if command in ("sync", "news"):
        assert fieldbook("share", beside["SHARED"], *NOW).status == 0
    answer = fieldbook(*words, *NOW)
    assert answer.status == (1 if command == "check" and answer.out else 0), answer.err
    assert wanted is None or wanted in answer.out
    with pytest.raises(SystemExit) as left:
        fieldbook(command, "--help")
    assert left.value.code == 0


@pytest.mark.parametrize("command", sorted(set(GIVEN) - {"completion", "share", "sync", "news"}))
def test_each_command_answers_in_json(fieldbook, beside, command):
    words = [beside.get(word, word) for word in GIVEN[command][0]]
    answer = fieldbook(*words, "--json", *NOW)
    lines = answer.out.splitlines() if command == "export" else [answer.out]
    assert all(json.loads(line) is not None for line in lines), answer.err


# --- fields ------------------------------------------------------------------------------------

WORDS_FOR = {
    "timezone": "Europe/Dublin", "standard": "ASTM C62", "glow_list": "chapman-1972", "unit": "kg",
}  # fmt: skip
SMALL = {"percent": "3 %", "temperature": "300 C", "length": "40 mm", "mass": "2.5 kg"}


def example(spec):
    """A value that a field may hold, as it stands in a file."""
    if spec.holds in ("amount", "amounts"):
        kind = spec.dimensions[0]
        return "12.50 EUR" if kind == "money" else SMALL.get(kind, FIELDS[kind].example)
    if spec.holds == "words":
        return spec.words[0]
    if spec.holds == "name":
        return NAMES[spec.refers.split()[0]]
    if spec.holds in ("table", "items", "rows"):
        inner = {key: example(part) for key, part in specs(spec.of).items()}
        return {"table": inner, "items": [inner], "rows": {"1": inner}}[spec.holds]
    return {
        "text": WORDS_FOR.get(spec.shape, "as it was"),
        "texts": ["one", "other"],
        "flag": True,
        "flag_or_texts": ["note"],
        "count": 1,
        "number": 12.5,
        "moment": "2026-09-01 08:00",
        "measures": {"tub": "40 l"},
        "any": "anything",
    }[spec.holds]


NAMES = {
    "clays": "reach", "mixes": "reach-3-1", "kilns": "small", "batches": "a", "firings": "f",
    "tests": "t", "builds": "wall",
}  # fmt: skip
RECORDS = {**KINDS, "notebook": Settings}


def leaves(spec, above=()):
    """The paths of all fields in a field."""
    if spec.of is None:
        yield above
        return
    step = {"items": (1,), "rows": ("1",)}.get(spec.holds, ())
    for key, part in specs(spec.of).items():
        yield from leaves(part, (*above, *step, key))


def made(notebook, kind):
    """The address and the file of a fresh entry with what it cannot be without."""
    if kind == "notebook":
        return "notebook.toml", notebook / "notebook.toml"
    required = {k: example(s) for k, s in specs(KINDS[kind]).items() if s.required}
    address = Store(notebook).create(kind, "fresh", required)
    return address, notebook / f"{address}.toml"


@pytest.mark.parametrize("kind", RECORDS)
def test_each_field_is_written_as_typed_and_read_back(notebook, kind):
    address, file = made(notebook, kind)
    for key, spec in specs(RECORDS[kind]).items():
        if key != "format":
            Store(notebook).set_fields(address, {key: example(spec)})
        data = tomllib.loads(file.read_text(encoding="utf-8"))
        assert data[key] == (1 if key == "format" else example(spec))
        store = Store(notebook)
        problems = store.problems if kind == "notebook" else store.read(address).problems
        assert problems == (), key
        record = store.settings if kind == "notebook" else store.read(address).record
        for path in leaves(spec, (key,)):
            assert held(record, path) not in (None, (), {}), path


@pytest.mark.parametrize("kind", RECORDS)
def test_a_value_of_the_wrong_kind_is_refused_and_nothing_is_changed(notebook, kind):
    address, file = made(notebook, kind)
    before = file.read_bytes()
    for key in specs(RECORDS[kind]):
        with pytest.raises(FieldbookError):
            Store(notebook).set_fields(address, {key: [[{"no": float("nan")}]]})
    assert file.read_bytes() == before


@pytest.mark.parametrize("kind", KINDS)
def test_each_field_of_a_log_line_is_read(notebook, kind):
    address, file = made(notebook, kind)
    fields = specs(KINDS[kind].line_type)
    lines = [
        f'"2026-09-02 08:{minute:02d}" = {{ {key} = {value_text(example(spec))} }}\n'
        for minute, (key, spec) in enumerate(fields.items())
    ]
    with file.open("a", encoding="utf-8") as end:
        end.write("\n[log]\n" + "".join(lines))
    read = Store(notebook).read(address)
    assert read.problems == ()
    for line, key in zip(read.record.log, fields, strict=True):
        assert held(line, (key,)) not in (None, ())


def held(record, path):
    """What a record holds at a path."""
    for step in path:
        if isinstance(record, dict):
            record = record[step]
        elif isinstance(step, int):
            record = record[step - 1]
        else:
            name = step if hasattr(record, step) else f"{step}_"
            record = getattr(record, name)
    return record


@pytest.mark.parametrize("kind", LOG)
def test_what_can_be_typed_is_what_a_log_line_holds(kind):
    known = specs(KINDS[kind].line_type)
    for field in LOG[kind]:
        assert field in known, f"{field} can be typed on a {kind} and is no field of its log"
        if field in WORDS and known[field].holds == "words":
            assert set(WORDS[field]) == set(known[field].words), field


def test_what_can_be_typed_of_a_specimen_and_of_what_came_out_are_fields():
    rows = specs(specs(KINDS["test"])["specimens"].of)
    assert set(SPECIMEN) <= set(rows)
    assert set(UNLOADED) <= set(specs(specs(KINDS["firing"])["unloaded"].of))
