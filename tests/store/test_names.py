"""Names of entries, and what a person types for one."""

from __future__ import annotations

import pytest

from fieldbook.errors import FieldbookError, WrongUse
from fieldbook.store import Store
from fieldbook.store.names import is_name, split, suggested_name


@pytest.mark.parametrize("name", ["a", "2026-04-a", "x" * 60, "com10", "nul-1"])
def test_names_that_are_allowed(name):
    assert is_name(name)


@pytest.mark.parametrize(
    "name",
    [
        "",
        "-a",
        "A",
        "a_b",
        "a.b",
        "a b",
        "ä",
        "x" * 61,
        "con",
        "nul",
        "com1",
        "lpt9",
        "..",
        "a\n",
        "²",
    ],
)
def test_names_that_are_not(name):
    assert not is_name(name)


def test_a_name_that_is_allowed_is_suggested():
    assert suggested_name("Reach: 3 to 1!") == "reach-3-to-1"
    assert suggested_name("CON") == suggested_name("…") == ""


def test_an_entry_is_found_by_address_by_name_and_by_file(store):
    for text in ("batches/2026-04-a", "2026-04-a", "batches/2026-04-a.toml", "batch/2026-04-a"):
        assert store.resolve(text) == "batches/2026-04-a"
    assert store.resolve("mix/reach-3-1") == "mixes/reach-3-1"


def test_a_name_that_two_entries_have_is_not_guessed(store, put):
    put("tests/2026-04-a.toml", "")
    with pytest.raises(WrongUse, match="batches/2026-04-a or tests/2026-04-a"):
        store.resolve("2026-04-a")


def test_near_names_are_suggested(store):
    with pytest.raises(FieldbookError, match=r"Nearest: mixes/reach-3-1"):
        store.resolve("reach-31")


@pytest.mark.parametrize(
    "text", ["../x", "/etc/passwd", "batches/../mixes/reach-3-1", "a\x00b", ""]
)
def test_nothing_outside_is_found(store, text):
    with pytest.raises(FieldbookError, match="There is no entry"):
        store.resolve(text)


@pytest.mark.parametrize("address", ["../x", "batches/../../x", "x/y", "batches", "batches/a/b"])
def test_addresses_that_lead_elsewhere_are_refused(store, address):
    with pytest.raises(WrongUse):
        split(address)
    with pytest.raises(WrongUse):
        store.path(address)


def test_a_notebook_is_found_from_any_folder_inside(folder, tmp_path_factory):
    assert Store.find(folder / "batches").folder == folder
    with pytest.raises(FieldbookError, match="fieldbook start"):
        Store.find(tmp_path_factory.mktemp("none"))


def test_entries_are_listed_in_the_order_the_work_goes(store):
    assert store.addresses == (
        "clays/reach",
        "mixes/reach-3-1",
        "kilns/cross-1",
        "batches/2026-04-a",
        "firings/2026-05-03",
        "tests/2026-05-a",
        "builds/oven",
    )
