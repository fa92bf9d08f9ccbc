"""TOML to records: every field of every kind, and what is wrong with a value."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone
from zoneinfo import ZoneInfo

import pytest

from fieldbook.lines.toml_text import value_text
from fieldbook.quantities import FIELDS
from fieldbook.records import FOLDERS, KINDS, Settings, specs
from fieldbook.store import Store
from fieldbook.store.names import FOLDERS as FOLDER_NAMES
from fieldbook.store.reading import attributes

CHICAGO = ZoneInfo("America/Chicago")


def example(spec):
    """A value that the field may hold."""
    if spec.holds in ("amount", "amounts"):
        return "12 EUR" if "money" in spec.dimensions else FIELDS[spec.dimensions[0]].example
    if spec.of is not None:
        table = {key: example(part) for key, part in specs(spec.of).items()}
        return {"table": table, "rows": {"1": table}, "items": [table, table]}[spec.holds]
    return {
        "words": spec.words[0] if spec.words else "",
        "text": "free text",
        "texts": ["one", "two"],
        "flag": True,
        "flag_or_texts": ["note"],
        "count": 12,
        "number": 12.5,
        "moment": "2026-05-03 07:40",
        "name": "some-name",
        "measures": {"barrow": "60 l"},
    }[spec.holds]


def assert_all_read(record, kind):
    """Every field of a record holds something, down to the last table."""
    names = attributes(kind)
    for key, spec in specs(kind).items():
        value = getattr(record, names[key])
        assert value not in (None, (), {}), f"{kind.__name__}.{key} was not read"
        if spec.holds == "table":
            assert_all_read(value, spec.of)
        elif spec.holds == "rows":
            assert_all_read(value["1"], spec.of)
        elif spec.holds == "items":
            assert len(value) == 2
            assert_all_read(value[1], spec.of)


@pytest.mark.parametrize("kind", KINDS)
def test_every_field_of_every_kind_is_read(folder, put, kind):
    record = KINDS[kind]
    lines = [f"{key} = {value_text(example(spec))}" for key, spec in specs(record).items()]
    line = {key: example(spec) for key, spec in specs(record.line_type).items()}
    lines += ["[log]", f'"2026-05-03 07:40" = {value_text(line)}']
    put(f"{record.folder}/all.toml", "\n".join(lines) + "\n")
    read = Store(folder).read(f"{record.folder}/all")
    assert read.problems == ()
    assert_all_read(read.record, record)
    assert_all_read(read.record.log[0], record.line_type)


def test_every_setting_is_read(folder, put):
    given = {key: example(spec) for key, spec in specs(Settings).items()}
    given |= {"format": 1, "timezone": "Europe/Lisbon"}
    put("notebook.toml", "".join(f"{key} = {value_text(value)}\n" for key, value in given.items()))
    store = Store(folder)
    assert store.problems == ()
    assert_all_read(store.settings, Settings)
    assert store.zone == ZoneInfo("Europe/Lisbon")


def test_folders_are_those_of_the_records():
    assert tuple(FOLDERS) == FOLDER_NAMES


def test_a_batch_is_read_with_units_places_and_lines_in_order(store):
    batch = store.read("batches/2026-04-a").record
    assert (batch.mix, batch.count, batch.address) == ("reach-3-1", 180, "batches/2026-04-a")
    assert batch.moulded.at == datetime(2026, 4, 2, 12, tzinfo=CHICAGO)
    assert batch.moulded.half_hours == 12
    assert batch.oven_dry.wet_mass.value == pytest.approx(0.936)
    assert batch.oven_dry.wet_mass.where == "batches/2026-04-a.toml:5"
    assert batch.green.width.where == "batches/2026-04-a.toml:9"
    assert batch.marked["2"].mass.where == "batches/2026-04-a.toml:14"
    assert batch.where("marked.2.mass") == "batches/2026-04-a.toml:14"
    assert batch.where("mould.length") == "batches/2026-04-a.toml"
    assert [line.key[:10] for line in batch.log] == ["2026-04-05", "2026-04-06"]
    assert batch.log[0].where == batch.log[0].mass.where == "batches/2026-04-a.toml:18"
    assert batch.log[0].at == datetime(2026, 4, 5, 9, tzinfo=timezone(timedelta(hours=-5)))


def test_items_of_a_list_over_several_lines_have_their_own_lines(store):
    mix = store.read("mixes/reach-3-1").record
    assert mix.parts[1].volume.where == "mixes/reach-3-1.toml:3"
    assert mix.where("parts.2.volume") == "mixes/reach-3-1.toml:3"
    assert mix.parts[0].volume.value == pytest.approx(0.180)  # 3 barrows of 60 l


@pytest.mark.parametrize(
    ("key", "utc_hour"),
    [
        ("2026-05-03 07:40:00-05:00", 12),
        ("2026-05-03T07:40:00-05:00", 12),
        ("2026-05-03 07:40", 12),
        ("2026-05-03 07:40:00.412Z", 7),
        ("2026-01-03 07:40", 13),
    ],
)
def test_keys_of_the_log_may_leave_out_seconds_and_offset(folder, put, key, utc_hour):
    put("firings/f.toml", f'kiln = "cross-1"\nload = []\n[log]\n"{key}" = {{ steam = true }}\n')
    read = Store(folder).read("firings/f")
    assert read.problems == ()
    assert read.record.log[0].at.astimezone(UTC).hour == utc_hour


def test_moments_may_be_toml_dates_or_the_same_as_text(folder, put):
    for number, text in enumerate(
        ("2026-04-02", '"2026-04-02"', "2026-04-02T12:00:00", '"2026-04-02 12:00"',
         "2026-04-02T17:00:00Z", '"2026-04-02 12:00-05:00"')
    ):  # fmt: skip
        put(f"batches/b{number}.toml", f'mix = "reach-3-1"\nmoulded = {text}\ncount = 1\n')
        read = Store(folder).read(f"batches/b{number}")
        assert read.problems == (), text
        assert read.record.moulded.at == datetime(2026, 4, 2, 12, tzinfo=CHICAGO), text


WRONG = [
    # what stands in the batch, what is said of it, part of the remedy
    ("green.length = 246", 'green.length = "246" has no unit', '"246 mm"'),
    ('green.length = "246"', 'green.length = "246" has no unit', '"246 mm"'),
    ('green.length = "3 kg"', 'green.length = "3 kg" is a mass', "a length"),
    ('green.length = "high"', 'green.length = "high" is no amount', "number and a unit"),
    ('green.length = "?"', 'green.length = "?" is no amount', "number and a unit"),
    ('green.length = "-3 mm"', 'green.length = "-3 mm" is below zero', "sign"),
    ('green.length = "1,500 mm"', "mark between its thousands", '"1500 mm"'),
    ("green.length = nan", "green.length: nan is no number", "what was read"),
    ("green.length = -inf", "green.length: -inf is no number", "what was read"),
    ('green.length = "nan mm"', "green.length", "number and a unit"),
    ("green.length = true", "green.length: true is true or false", "unit"),
    ("green.length = [1]", "green.length: [1] is a list", "unit"),
    ("green.length = 2026-05-03", "green.length: 2026-05-03 is a date", "unit"),
    ("green.length = 9999999999999999999999", "green.length", "as text"),
    ('green = "246 mm"', "green: text stands here, and a table is wanted", "green = {"),
    ("marked = [1]", "marked: a list stands here", "marked = {"),
    ('marked.1 = "150 mm"', "marked.1: text stands here", "1 = {"),
    ('target_moisture = "-1 %"', 'target_moisture = "-1 %" is below zero', "sign"),
    ("note = 7", "note: 7 is a number, and text is wanted here", 'note = "7"'),
    ("tags = true", "tags: true is true or false", "tags = ["),
    ('tags = ["a", 1]', "tags: ", "tags = ["),
    ("log = 1", "log: a number stands here", "log = {"),
    ('colour = "red"', "colour is not a key known here", "note"),
    ("cuont = 3", "cuont is not a key known here", "nearest known key is count"),
    ('log."2026-05-03 07:40" = "x"', "log: text stands at 2026-05-03 07:40", "braces"),
    ('log."yesterday" = { covered = true }', 'log: "yesterday" is not a time', "2026-05-03 07:40"),
    ('log."2026-02-30 07:40" = { covered = true }', "not a time there is", "2026-05-03"),
    ('log."0001-01-01 00:00" = { covered = true }', "year 1 cannot be right", "figure"),
    ('log."2026-05-03 07:40" = { covered = "yes" }', 'covered = "yes" is text', "covered = true"),
    ('log."2026-05-03 07:40" = { humidity = "130 %" }', "more than the whole", "figure"),
    ('log."2026-05-03 07:40" = { cracked = "4" }', 'cracked = "4" is text', "cracked = 4"),
    ('log."2026-05-03 07:40" = { cracked = -4 }', "-4", "180"),
    ('log."2026-05-03 07:40" = { cost = "12" }', '"12" is not a cost', "12 EUR"),
    ('log."2026-05-03 07:40" = { firing = "Big One" }', "cannot be the name", "small letters"),
    ('log."2026-05-03 07:40" = { air = "-300 C" }', "below absolute zero", "sign"),
]


@pytest.mark.parametrize(("line", "what", "remedy"), WRONG)
def test_one_fault_is_one_problem_with_line_and_remedy(folder, put, line, what, remedy):
    put("batches/b.toml", f'mix = "reach-3-1"\nmoulded = 2026-04-02\ncount = 1\n{line}\n')
    read = Store(folder).read("batches/b")
    assert len(read.problems) == 1, read.problems
    problem = read.problems[0]
    assert problem.where == "batches/b.toml:4"
    assert what in problem.what
    assert remedy in problem.remedy
    assert read.record.mix == "reach-3-1", "what is right is read all the same"


@pytest.mark.parametrize(
    ("text", "what"),
    [
        ("", {"mix is missing", "moulded is missing", "count is missing"}),
        ('mix = "X"\nmoulded = "soon"\ncount = 1.5\n', {'mix = "X"', "moulded", "count: 1.5"}),
        ("mix = 7\nmoulded = 07:40:00\ncount = -1\n", {"mix: 7", "moulded: 07:40:00", "count"}),
        ('mix = "m"\nmoulded = 1066-10-14\ncount = inf\n', {"year 1066", "count: inf"}),
    ],
)
def test_needed_fields_that_are_missing_or_wrong(folder, put, text, what):
    put("batches/b.toml", text)
    read = Store(folder).read("batches/b")
    assert len(read.problems) == len(what)
    for part in what:
        assert any(part in problem.what for problem in read.problems), part
    assert read.record.count is None


def test_a_bare_number_is_read_as_the_name_of_a_brick(folder, put):
    put("batches/b.toml", '[log]\n"2026-05-03 07:40" = { brick = 3 }\n')
    read = Store(folder).read("batches/b")
    assert read.record.log[0].brick == "3"
    assert sum("brick" in problem.what for problem in read.problems) == 1


@pytest.mark.parametrize(
    ("settings", "what"),
    [
        ("format = 1\n", "timezone is missing"),
        ('timezone = "UTC"\n', "format is missing"),
        ('format = 1\ntimezone = "Mars/Base"\n', 'timezone = "Mars/Base" is not known'),
        ('format = 1\ntimezone = "../../etc/passwd"\n', "is not known"),
        ('format = 3\ntimezone = "UTC"\n', "format = 3"),
        ('format = 1\ntimezone = "UTC"\nmeasures.kg = "2 kg"\n', "kg is a unit already"),
        ('format = 1\ntimezone = "UTC"\nmeasures.barrow = "60"\n', 'measures.barrow = "60"'),
        ('format = 1\ntimezone = "UTC"\nsite.latitude = 99\n', "beyond 90 degrees"),
        ('format = 1\ntimezone = "UTC"\npractice.standart = "x"\n', "practice.standart"),
    ],
)
def test_settings_with_a_fault_leave_the_rest_standing(folder, put, settings, what):
    put("notebook.toml", settings)
    store = Store(folder)
    assert len(store.problems) == 1 and what in store.problems[0].what
    assert store.problems[0].path == "notebook.toml"
    assert store.read("batches/2026-04-a").record.count == 180


def test_unreadable_settings_mean_utc_and_a_problem(folder, put):
    put("notebook.toml", "format = \n")
    store = Store(folder)
    assert store.problems[0].where == "notebook.toml:1"
    assert str(store.zone) == "UTC" and store.settings.maker is None
    assert store.read("batches/2026-04-a").record.count == 180


def test_a_measure_may_be_used_by_another_setting_and_by_entries(folder, put):
    put("notebook.toml", 'format = 1\ntimezone = "UTC"\n[measures]\nbasket = "25 kg"\n')
    put("firings/f.toml", '[log]\n"2026-05-03 07:40" = { fuel = "2 basket", of = "oak" }\n')
    assert Store(folder).read("firings/f").record.log[0].fuel.value == pytest.approx(50.0)


def test_the_tree_of_a_notebook_is_read_lazily_and_as_of_now(store, folder):
    now = datetime(2026, 4, 6, tzinfo=CHICAGO)
    notebook = store.notebook(now)
    assert len(notebook.entry("batches/2026-04-a").log) == 1
    (folder / "clays/reach.toml").unlink()
    assert notebook.entry("clays/reach") is None
    assert [batch.name for batch in notebook.of(KINDS["batch"])] == ["2026-04-a"]


def test_a_changed_file_is_read_anew(store, folder):
    path = folder / "clays/reach.toml"
    assert store.read("clays/reach").record.place == "the reach"
    path.write_text('place = "the bank"\n')
    assert store.read("clays/reach").record.place == "the bank"
