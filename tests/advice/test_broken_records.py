"""Records with fields missing, bounded, zero, below zero or ten times off are still answered."""

import json
import random
from dataclasses import fields, is_dataclass, replace
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from fieldbook.advice.context import Context
from fieldbook.quantities import Amount
from fieldbook.records import Entry, Moment, Notebook
from fieldbook.store import Store

SAMPLE = Path(__file__).parents[2] / "sample_notebook"
NOW = datetime(2026, 9, 12, 14, 30, tzinfo=ZoneInfo("Europe/Dublin"))
KINDS = ("clays", "mixes", "batches", "tests", "builds")
KEPT = ("name", "lines_of", "disputed", "at", "where", "key", "private")


def broken(value, chance: float, luck: random.Random):
    """The same record with some of its amounts gone or wrong."""
    if isinstance(value, Amount):
        return broken_amount(value, chance, luck)
    if isinstance(value, Moment) or not is_dataclass(value):
        return None if luck.random() < chance / 3 and not isinstance(value, str) else value
    return replace(value, **dict(changes(value, chance, luck)))


def broken_amount(amount: Amount, chance: float, luck: random.Random) -> Amount | None:
    draw = luck.random()
    if draw < chance:
        return None
    if draw < 1.5 * chance:
        return replace(amount, how="above")
    if draw < 2 * chance:
        off = luck.choice([0.0, -1.0, 10.0, 0.1, 0.9])
        return replace(amount, value=off * amount.value)
    return amount


def changes(record, chance: float, luck: random.Random):
    for field in fields(record):
        value = getattr(record, field.name)
        if field.name in KEPT or value is None:
            continue
        if isinstance(value, dict):
            yield field.name, {key: broken(row, chance, luck) for key, row in value.items()}
        elif isinstance(value, tuple):
            yield field.name, tuple(broken(row, chance, luck) for row in value)
        else:
            yield field.name, broken(value, chance, luck)


@pytest.fixture(scope="module")
def sample() -> tuple[Notebook, dict[str, Entry]]:
    notebook = Store(SAMPLE).notebook(NOW)
    entries = {address: notebook.entry(address) for address in notebook.addresses}
    return notebook, {address: entry for address, entry in entries.items() if entry is not None}


@pytest.mark.parametrize("seed", range(12))
def test_no_slip_in_a_record_stops_its_review_and_every_gap_is_explained(sample, seed):
    notebook, entries = sample
    luck = random.Random(seed)
    chance = (0.02, 0.1, 0.3)[seed % 3]
    spoilt = {
        address: broken(entry, chance, luck) if address.startswith(KINDS) else entry
        for address, entry in entries.items()
    }
    context = Context.of(replace(notebook, load=spoilt.get).as_of(NOW), NOW)
    for address in spoilt:
        if not address.startswith(KINDS):
            continue
        review = context.review(address)
        assert review is not None
        for name, result in review.results.items():
            json.dumps(result.json())
            told = result.needs or result.because or result.low is not None
            assert result.value is not None or told, (address, name)
        for problem in review.problems:
            assert problem.what and problem.remedy and problem.path, problem


def test_the_unspoilt_sample_has_nothing_that_cannot_be_right(sample):
    notebook, entries = sample
    context = Context.of(notebook.as_of(NOW), NOW)
    for address in entries:
        if address.startswith(KINDS):
            review = context.review(address)
            assert review is not None and not review.problems, review.problems
