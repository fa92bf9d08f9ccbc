"""Every entry of the sample notebook survives `set` and `log`, outside the change, to the byte."""

from __future__ import annotations

import re
import shutil
import tomllib
from datetime import UTC, datetime
from pathlib import Path

import pytest

from fieldbook.store import Store
from fieldbook.store.append import append
from fieldbook.store.edit import edited_bytes
from fieldbook.store.places import Layout

SAMPLE = Path(__file__).parents[2] / "sample_notebook"
FILES = sorted(str(path.relative_to(SAMPLE)) for path in SAMPLE.rglob("*.toml"))
ENTRIES = [name for name in FILES if "/" in name]
AT = datetime(2026, 11, 1, 12, tzinfo=UTC)
BOM = b"\xef\xbb\xbf"
EXTRA = '# a remark of the maker\nodd_key = { kept = "as it is" }   # with its remark\n\n'


@pytest.fixture
def sample(tmp_path):
    return Path(shutil.copytree(SAMPLE, tmp_path / "sample"))


def test_there_is_a_sample():
    assert len(ENTRIES) > 25


@pytest.mark.parametrize("name", FILES)
def test_reading_and_writing_unchanged_gives_the_same_bytes(name):
    data = (SAMPLE / name).read_bytes()
    assert edited_bytes(data, name, lambda _: []).bytes == data


@pytest.mark.parametrize("newline", [b"\n", b"\r\n"])
@pytest.mark.parametrize("name", ENTRIES)
def test_unknown_keys_and_remarks_survive_set_and_log(sample, name, newline):
    path = sample / name
    bare = path.read_bytes().removeprefix(BOM)
    mark = path.read_bytes()[: -len(bare)]
    before = mark + (EXTRA.encode() + bare).replace(b"\r\n", b"\n").replace(b"\n", newline)
    path.write_bytes(before)
    address = name.removesuffix(".toml")
    store = Store(sample)
    store.set_fields(address, {"title": "a title of its own"})
    append(str(sample), address, AT, {"note": "a line of its own"})

    old, new = before.split(newline), path.read_bytes().split(newline)
    if b"[log]" not in old:
        at = new.index(b"[log]")
        del new[at - 1 : at + 1]
    assert without_the_change(new) == without_the_change(old)
    assert sum(b'"a title of its own"' in line for line in new) == 1
    data = tomllib.loads(path.read_bytes().decode("utf-8-sig"))
    assert data["odd_key"] == {"kept": "as it is"}
    assert {"note": "a line of its own"} in data["log"].values()


def without_the_change(lines):
    changed = re.compile(rb'title\s*=|"2026-11-01 12:00:00')
    kept = [line for line in lines if not changed.match(line)]
    # A file may end without a newline, which the log then puts there.
    return kept[:-1] if kept[-1] == b"" else kept


@pytest.mark.parametrize("name", FILES)
def test_every_key_of_the_sample_has_the_line_it_stands_on(name):
    text = (SAMPLE / name).read_bytes().decode("utf-8-sig")
    layout, lines = Layout(text), text.splitlines()
    for path in keys(tomllib.loads(text)):
        part = str(path[-1])
        assert part in lines[layout.line(path) - 1], path


def keys(data, above=()):
    for key, value in data.items() if isinstance(data, dict) else enumerate(data, 1):
        if isinstance(key, str):
            yield (*above, key)
        if isinstance(value, dict | list):
            yield from keys(value, (*above, key))
