"""Every sheet of the screen, in the order of its help."""

from __future__ import annotations

from fieldbook.tui.beside_sheet import BesideSheet
from fieldbook.tui.entry_sheet import EntrySheet
from fieldbook.tui.file_sheet import FileSheet
from fieldbook.tui.firing_sheet import FiringSheet
from fieldbook.tui.first_sheet import FirstSheet
from fieldbook.tui.group_sheet import GroupSheet
from fieldbook.tui.help_sheet import HelpSheet
from fieldbook.tui.history_sheet import HistorySheet
from fieldbook.tui.lost_sheet import LostSheet
from fieldbook.tui.now_sheet import NowSheet
from fieldbook.tui.sheet import Sheet
from fieldbook.tui.station_sheet import StationSheet
from fieldbook.tui.value_sheet import ValueSheet
from fieldbook.tui.why_sheet import WhySheet

SHEETS: tuple[type[Sheet], ...] = (
    NowSheet,
    WhySheet,
    FiringSheet,
    StationSheet,
    EntrySheet,
    ValueSheet,
    FileSheet,
    HistorySheet,
    BesideSheet,
    GroupSheet,
    LostSheet,
    HelpSheet,
    FirstSheet,
)
