import tomllib
from collections.abc import Callable
from datetime import datetime
from textwrap import dedent
from zoneinfo import ZoneInfo

import pytest

from fieldbook.advice.context import Context
from fieldbook.records import FOLDERS, KINDS, Entry, Notebook
from fieldbook.store.places import Layout
from fieldbook.store.reading import Reader, read_settings

ZONE = ZoneInfo("America/Chicago")
SETTINGS = 'format = 1\ntimezone = "America/Chicago"\n'


def at(text: str) -> datetime:
    """A moment in the zone of the notebooks of these tests."""
    return datetime.fromisoformat(text).replace(tzinfo=ZONE)


def read_context(now: str, settings: str = "", **texts: str) -> Context:
    """A notebook of TOML texts by `FOLDER__NAME`, without a disk, as of a moment."""
    head = SETTINGS + dedent(settings)
    read, _ = read_settings(tomllib.loads(head), Layout(head), ZONE)
    files = {key.replace("__", "/").replace("_", "-"): dedent(text) for key, text in texts.items()}

    def load(address: str) -> Entry:
        folder, _, name = address.partition("/")
        text = files[address]
        reader = Reader(f"{address}.toml", Layout(text), ZONE).with_measures(read.measures)
        entry = reader.entry(KINDS[FOLDERS[folder]], name, tomllib.loads(text))
        assert not reader.problems, reader.problems
        return entry

    notebook = Notebook(settings=read, addresses=tuple(files), load=load, now=at(now))
    return Context.of(notebook, at(now))


@pytest.fixture(name="context_of")
def _context_of() -> Callable[..., Context]:
    return read_context
