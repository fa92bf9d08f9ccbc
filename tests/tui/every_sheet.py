"""The sheets of the screen, made for the small yard."""

from fieldbook.tui.beside_sheet import BesideSheet
from fieldbook.tui.entry_sheet import EntrySheet, sheet_for
from fieldbook.tui.file_sheet import FileSheet
from fieldbook.tui.group_sheet import GroupSheet
from fieldbook.tui.help_sheet import HelpSheet
from fieldbook.tui.history_sheet import HistorySheet
from fieldbook.tui.lost_sheet import LostSheet
from fieldbook.tui.now_sheet import NowSheet
from fieldbook.tui.rows import Page
from fieldbook.tui.station_sheet import KINDS, StationSheet
from fieldbook.tui.value_sheet import ValueSheet
from fieldbook.tui.why_sheet import WhySheet


def every_sheet(look):
    """One sheet of every kind, and one for every entry of the small yard."""
    yield NowSheet()
    yield WhySheet(look.advice.actions[0])
    yield from (StationSheet(name) for name in KINDS)
    yield from (sheet_for(address) for address in look.context.notebook.addresses)
    yield EntrySheet("firings/f")
    yield FileSheet("firings/f")
    yield ValueSheet("firings/f", "core_temperature")
    yield HistorySheet("mixes/reach-3-1")
    yield BesideSheet(["firings/f", "firings/f"])
    yield GroupSheet()
    yield LostSheet()
    yield HelpSheet(NowSheet(), Page("", ()))
