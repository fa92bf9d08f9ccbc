import importlib
import pkgutil
from collections import Counter

import fieldbook.tui
from fieldbook.tui import keys
from fieldbook.tui.doings import DOINGS
from fieldbook.tui.help_sheet import HelpSheet
from fieldbook.tui.rows import Page
from fieldbook.tui.sheet import Paper, Sheet
from fieldbook.tui.sheets import SHEETS
from tests import docs_keys


def test_the_page_on_the_keys_is_what_the_program_has():
    page = docs_keys.PAGE.read_text(encoding="utf-8")
    assert page.partition(docs_keys.MARK)[2] == docs_keys.made()


def test_every_sheet_is_listed():
    for module in pkgutil.iter_modules(fieldbook.tui.__path__):
        importlib.import_module(f"fieldbook.tui.{module.name}")
    assert set(Sheet.__subclasses__()) == set(SHEETS)


def test_no_key_means_two_things_on_one_sheet():
    for sheet in SHEETS:
        if sheet.name == "no notebook":
            continue
        names = Counter(name for key in (*sheet.keys, *keys.EVERYWHERE) for name in key.names)
        assert [name for name, count in names.items() if count > 1] == [], sheet.name


def test_every_key_does_something():
    for sheet in SHEETS:
        if sheet.name != "no notebook":
            assert [key for key in sheet.keys if key.does not in DOINGS] == []
    assert [key.does for key in keys.EVERYWHERE if key.does and key.does not in DOINGS] == []


def test_help_lists_every_key_of_the_sheet_and_of_everywhere(look):
    for sheet in SHEETS:
        about = sheet.__new__(sheet)
        page = HelpSheet(about, Page("", ())).page(look, Paper(80, 24))
        text = " ".join(" ".join(row.text.split()) for row in page.rows)
        for key in (*sheet.keys, *keys.EVERYWHERE, *keys.AT_THE_PROMPT):
            assert f"{key.shown} {key.says}" in text, (sheet.name, key)
