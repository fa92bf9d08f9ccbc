"""Reading a notebook in the order in which it is needed."""

import os
import subprocess
import sys
import threading
from pathlib import Path

import pytest

from fieldbook.advice import engine
from fieldbook.tui import desk as desk_module
from fieldbook.tui.now_sheet import NowSheet
from fieldbook.tui.sheet import Paper
from fieldbook.tui.touched import touched_last, touched_page
from fieldbook.tui.watching import stamp_of


def test_the_screen_starts_without_the_physics():
    heavy = "numpy pint tomlkit git fieldbook.advice fieldbook.records fieldbook.calc"
    code = f"import sys, fieldbook.tui.app; print(*set({heavy.split()}) & set(sys.modules))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == ""


@pytest.fixture
def large(monkeypatch):
    """As though the small notebook were a large one."""
    monkeypatch.setattr(desk_module, "MANY", 0)


def test_of_a_large_notebook_what_was_touched_last_is_looked_at_first(desk, large):
    first, *_, last = desk.looks()
    assert not first.is_all and last.is_all
    assert first.fire == last.fire == "firings/f"
    assert [a.do for a in first.advice.actions if a.entry == "firings/f"] == [
        a.do for a in last.advice.actions if a.entry == "firings/f"
    ]
    assert all(station.count is None for station in first.stations)


def test_reading_the_rest_can_be_left_off(desk, large, monkeypatch):
    advise = engine.advise

    def stopping(context, address=None):
        desk.stopped = True
        return advise(context, address)

    looks = desk.looks()
    assert not next(looks).is_all
    monkeypatch.setattr(engine, "advise", stopping)
    assert list(looks) == []
    assert desk.progress.of == 0


def test_one_entry_is_looked_at_while_all_is_being_read(desk, monkeypatch):
    before = list(desk.looks())[-1]
    advise, found, waiting = engine.advise, [], []

    def busy(context, address=None):
        if address == "clays/reach" and not waiting:
            asking = threading.Thread(target=lambda: found.extend(desk.looks("firings/f", before)))
            waiting.append(asking)
            asking.start()
            while desk._wanted < 3:
                pass
        return advise(context, address)

    monkeypatch.setattr(engine, "advise", busy)
    desk._last_whole = -1e9
    (whole,) = desk.looks()
    waiting[0].join(60)
    assert [look.first for look in found] == ["firings/f"]
    assert whole.is_all and whole.first == ""


def changed_while_all_is_read(desk, monkeypatch, *asked):
    """Every look, where a clay is added and looked for while a look at all is under way."""
    advise, found, waiting = engine.advise, [], []
    wanted = desk._wanted + 2

    def busy(context, address=None):
        if address == "clays/reach" and not waiting:
            (Path(desk.folder) / "clays/later.toml").write_text("", encoding="utf-8")
            waiting.append(threading.Thread(target=lambda: found.extend(desk.looks(*asked))))
            waiting[0].start()
            while desk._wanted < wanted:
                pass
        return advise(context, address)

    monkeypatch.setattr(engine, "advise", busy)
    looks = list(desk.looks())
    waiting[0].join(60)
    return looks + found


def test_what_changes_during_a_look_at_all_is_looked_at_after_it(desk, monkeypatch):
    desk._last_whole = -1e9
    last = changed_while_all_is_read(desk, monkeypatch)[-1]
    assert last.is_all and "clays/later" in last.context.notebook.addresses


def test_a_look_at_all_that_gave_way_is_made_up_for_by_the_one_it_gave_way_to(desk, monkeypatch):
    before = list(desk.looks())[-1]
    desk.cost = 1000.0  # so that the look just taken counts as recent
    last = changed_while_all_is_read(desk, monkeypatch, "firings/f", before)[-1]
    assert last.first == "" and "clays/later" in last.context.notebook.addresses


def test_what_was_touched_last_stands_first_after_the_newest_firing(yard, desk):
    os.utime(yard / "clays/reach.toml", ns=(0, 2**62))
    found = [address for address, _ in touched_last(stamp_of(str(yard)), 3)]
    assert found[:2] == ["firings/f", "clays/reach"]
    page = touched_page(stamp_of(str(yard)), desk.clock(), 2)
    assert [item.address for item in page.items] == found[:2]
    assert page.rows[0].text.startswith("  firings/f  ")


def test_a_file_that_cannot_be_read_stands_above_what_to_do(yard):
    (yard / "firings" / "f.toml").write_text('kiln = "oops\n')
    look = list(desk_module.Desk(yard, "2026-09-12 12:10").looks())[-1]
    assert look.unreadable == ("firings/f.toml",)
    page = NowSheet().page(look, Paper(80, 24))
    assert "firings/f.toml cannot be read" in page.rows[0].text
