"""An entry that cannot be read stops the mending of nothing else, and its own only for a while."""

import pytest

from tests.sync.conftest import ENTRY, git
from tests.sync.test_dropped_fields import LATER, changed, kept_by_hand, said
from tests.sync.test_looking_over import without_driver

BROKEN = "batches/0.toml"
"""Comes before `batches/a.toml`, and is looked at before it."""


@pytest.fixture
def beside(makers):
    """Two entries on both sides; plain git merges on Tomas's."""
    ines, tomas = makers
    ines.write(BROKEN, ENTRY)
    ines.sync.apply()
    tomas.sync.apply()
    without_driver(tomas)
    return ines, tomas


def breaks(tomas) -> None:
    """Tomas writes what cannot be read into one entry, and drops in a merge what Ines kept."""
    changed(tomas, "2026-09-01", "2026-09-02")
    changed(tomas, "count = 100", "count = = 100", path=BROKEN)
    kept_by_hand(tomas, "-s", "ours")


def test_what_was_dropped_beside_an_unreadable_entry_is_back(beside):
    ines, tomas = beside
    changed(ines, "count = 100", "count = 96")
    ines.add("batches/a.toml", LATER)
    changed(ines, "count = 100", "count = 95", path=BROKEN)
    ines.sync.apply()
    breaks(tomas)
    report = tomas.sync.apply()
    assert any("brought back" in line and "batch a" in line for line in report.lines())
    assert said(tomas)["count"] == 96
    assert said(tomas)["moulded"].day == 2
    assert LATER in tomas.read("batches/a.toml")
    assert "count = = 100" in tomas.read(BROKEN)


def test_what_was_dropped_of_the_unreadable_entry_is_back_once_it_can_be_read(beside):
    ines, tomas = beside
    changed(ines, "count = 100", "count = 95", path=BROKEN)
    ines.add(BROKEN, LATER)
    ines.sync.apply()
    breaks(tomas)
    tomas.sync.apply()
    tomas.write("clays/reach.toml", 'place = "the reach"\n')
    tomas.sync.apply()
    tomas.write(BROKEN, ENTRY)
    tomas.sync.apply()
    ines.sync.apply()
    assert ines.files == tomas.files
    assert said(ines, BROKEN)["count"] == 95
    assert LATER in ines.read(BROKEN)
    assert tomas.sync.apply().lines() == ["nothing was new on either side"]
    note = tomas.folder / ".git/fieldbook-merges-looked-at"
    assert note.read_text().split() == git(tomas.folder, "rev-parse", "HEAD").split()


def test_an_entry_that_was_broken_after_the_merge_is_looked_at_later(beside):
    ines, tomas = beside
    changed(ines, "count = 100", "count = 95", path=BROKEN)
    ines.add(BROKEN, LATER)
    ines.sync.apply()
    changed(tomas, "2026-09-01", "2026-09-02")
    kept_by_hand(tomas, "-s", "ours")
    changed(tomas, "count = 100", "count = = 100", path=BROKEN)
    tomas.sync.apply()
    changed(tomas, "count = = 100", "count = 100", path=BROKEN)
    tomas.sync.apply()
    assert said(tomas, BROKEN)["count"] == 95
    assert LATER in tomas.read(BROKEN)


def test_what_was_decided_since_stays_while_the_merge_is_looked_at_again(beside):
    ines, tomas = beside
    changed(ines, "count = 100", "count = 96")
    changed(ines, "count = 100", "count = 95", path=BROKEN)
    ines.sync.apply()
    breaks(tomas)
    tomas.sync.apply()
    changed(tomas, "count = 96", "count = 100")
    tomas.sync.apply()
    changed(tomas, "count = = 100", "count = 90", path=BROKEN)
    tomas.sync.apply()
    assert said(tomas)["count"] == 100
    assert said(tomas, BROKEN)["count"] == 90
