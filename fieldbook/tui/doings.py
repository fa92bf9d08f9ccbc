"""What the keys do: one function a key, named as in `keys.py`."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from textual.app import SuspendNotSupported

from fieldbook.errors import FieldbookError
from fieldbook.store.bearings import KIND_OF
from fieldbook.tui import answering, errand, saving
from fieldbook.tui.beside_sheet import BesideSheet
from fieldbook.tui.blanks import BLANK
from fieldbook.tui.editor import edit
from fieldbook.tui.entry_sheet import EntrySheet, sheet_for
from fieldbook.tui.file_sheet import FileSheet
from fieldbook.tui.firing_sheet import FiringSheet
from fieldbook.tui.group_sheet import GroupSheet
from fieldbook.tui.help_sheet import HelpSheet
from fieldbook.tui.history_sheet import HistorySheet
from fieldbook.tui.lost_sheet import LostSheet
from fieldbook.tui.prompt import Target
from fieldbook.tui.station_sheet import KINDS, StationSheet

if TYPE_CHECKING:
    from fieldbook.store.recent import Kept
    from fieldbook.tui.screen import Screen


def address_in(screen: Screen) -> str:
    """The entry in view: that of the sheet, or the chosen one."""
    item = screen.lines.item
    return screen.sheet.address or (item.address if item else "")


# Going from sheet to sheet.


def open_chosen(screen: Screen) -> None:
    """Open what is chosen."""
    item = screen.lines.item
    if item and item.opens:
        screen.push(item.opens())
    elif item and item.field:
        change_field(screen)
    elif item and item.hint:
        screen.say(item.hint)


def back(screen: Screen) -> None:
    """Leave the prompt, else go back a sheet."""
    if screen.is_typing:
        begun = screen.prompt.target
        screen.prompt.give_up()
        screen.set_focus_on(screen.lines)
        if begun.ask:
            what = f"{begun.address} was not made" if begun.new else "nothing was changed"
            screen.say(f"{what}: what was typed of it is not written; a begins it again")
    elif len(screen.sheets) > 1:
        screen.sheets.pop()
        screen.show_sheet()


def prompt(screen: Screen) -> None:
    """Go to the prompt."""
    screen.set_focus_on(screen.prompt.line)


def now(screen: Screen) -> None:
    """Back to what to do now."""
    del screen.sheets[1:]
    screen.show_sheet()


def entry(screen: Screen) -> None:
    """Open the entry of what is chosen."""
    if address := address_in(screen):
        screen.push(sheet_for(address))


def all_of_it(screen: Screen) -> None:
    """All that is recorded and derived of the firing in view."""
    screen.push(EntrySheet(screen.sheet.address))


def fire(screen: Screen) -> None:
    """The firing under way."""
    if screen.fire:
        screen.push(FiringSheet(screen.fire))
    elif screen.look is None:
        screen.when_read = fire
    else:
        screen.say("no fire is burning, none cools, and none is planned")


def text(screen: Screen) -> None:
    """Show the file itself."""
    if address := address_in(screen):
        screen.push(FileSheet(address))


def help_here(screen: Screen) -> None:
    """Help on the sheet in view."""
    if not isinstance(screen.sheet, HelpSheet):
        screen.push(HelpSheet(screen.sheet, screen.lines.page))


def onward(screen: Screen) -> None:
    """The next station of the map."""
    go_to_station(screen, screen.brick_map.beside(1))


def backward(screen: Screen) -> None:
    """The station before."""
    go_to_station(screen, screen.brick_map.beside(-1))


def go_to_station(screen: Screen, station: str) -> None:
    """Show a station of the map; none: what to do now."""
    del screen.sheets[1:]
    if station:
        screen.sheets.append(StationSheet(station))
    screen.show_sheet()


def history(screen: Screen) -> None:
    """What came before and after."""
    if address := address_in(screen):
        screen.push(HistorySheet(address))


def group(screen: Screen) -> None:
    """What goes to the group and comes from it."""
    screen.push(GroupSheet())


def leave(screen: Screen) -> None:
    """Leave; the draft is kept."""
    screen.leave()


# Lines begun at the prompt.


def answer(screen: Screen) -> None:
    """Start the line that answers what is chosen."""
    item = screen.lines.item
    if item and item.rule:
        answering.answer(screen, item.address, item.rule, item.answer, item.order)


def decline(screen: Screen) -> None:
    """Start the line that declines what is chosen."""
    item = screen.lines.item
    if item and item.address and item.rule:
        target = Target(item.address, rule=item.rule)
        screen.begin(target, f"not now {item.rule.replace('_', ' ')}: ")


def change_field(screen: Screen) -> None:
    """Change the chosen field."""
    item = screen.lines.item
    if item and item.field and not item.typed:
        answering.ask(screen, item.address, ((item.field, BLANK),))
    elif item and item.field:
        screen.begin(Target(item.address, item.field), item.typed)
    elif item:
        screen.say(item.hint or "this follows from what is written; it is not written itself")


def add(screen: Screen) -> None:
    """Begin a new entry of the kind that is chosen."""
    sheet = screen.sheet
    if isinstance(sheet, StationSheet):
        item = screen.lines.item
        folder = item.address.partition("/")[0] if item else KINDS[sheet.station][-1]
        screen.begin(Target(new=KIND_OF[folder]), "")


# Side by side.


def mark(screen: Screen) -> None:
    """Mark an entry, or take the mark away."""
    item = screen.lines.item
    address = item.address if item and item.address else screen.sheet.address
    if not address:
        return
    kind = address.partition("/")[0]
    if address in screen.marked:
        screen.marked.remove(address)
    else:
        same = [other for other in screen.marked if other.partition("/")[0] == kind]
        screen.marked = [*same, address]
    names = ", ".join(screen.marked)
    screen.say(f"marked: {names}; s lays them side by side" if names else "nothing is marked")


def beside(screen: Screen) -> None:
    """The marked entries side by side."""
    if len(screen.marked) < 2:
        screen.say("mark two or more of one kind first, each with m", "bold")
        return
    screen.push(BesideSheet(screen.marked))


# Lines that another program dropped.


def lost(screen: Screen) -> None:
    """Show them."""
    screen.push(LostSheet())


def put_back(screen: Screen) -> None:
    """Put the chosen one back."""
    _with_lost(screen, "put back", screen.desk.store.restore)


def leave_out(screen: Screen) -> None:
    """Leave the chosen one out for good."""
    _with_lost(screen, "left out", screen.desk.store.forget)


def _with_lost(screen: Screen, said: str, what: Callable[[Kept], object]) -> None:
    item = screen.lines.item
    for line in screen.look.lost if screen.look else ():
        if item and item.key == f"{line.address} {line.key}":
            try:
                what(line)
            except FieldbookError as error:
                screen.say(str(error), "bold")
                return
            screen.say(f"{said}: {line.text}")
            screen.read_again(line.address)


# The rest.


def bell(screen: Screen) -> None:
    """Ring, or no longer ring, when a reading is overdue."""
    screen.bell_file.set(not screen.bell_file.rings)
    rings = screen.bell_file.rings
    screen.say("rings once when a reading is overdue" if rings else "rings no more")


def editor(screen: Screen) -> None:
    """The file in the person's own editor."""
    address = address_in(screen)
    if not address:
        return
    try:
        with screen.suspend():
            edit(screen.desk.store.path(address))
    except FieldbookError as error:
        screen.say(str(error), "bold")
    except SuspendNotSupported:
        screen.say("this terminal cannot be handed over to an editor", "bold")
    screen.refresh()
    screen.watch_files()


DOINGS: dict[str, Callable[[Screen], None]] = {
    "open": open_chosen,
    "back": back,
    "prompt": prompt,
    "now": now,
    "entry": entry,
    "all": all_of_it,
    "fire": fire,
    "text": text,
    "help": help_here,
    "onward": onward,
    "backward": backward,
    "history": history,
    "group": group,
    "leave": leave,
    "answer": answer,
    "add": add,
    "decline": decline,
    "change": change_field,
    "mark": mark,
    "beside": beside,
    "lost": lost,
    "put_back": put_back,
    "leave_out": leave_out,
    "bell": bell,
    "editor": editor,
    "undo": saving.undo,
    "exchange": errand.exchange,
    "let_go": errand.let_go,
    "yes": errand.yes,
    "stop": errand.stop,
}
"""What each key does, by the name it has in `keys.py`."""
