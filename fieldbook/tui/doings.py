"""What the keys do."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from textual import work

from fieldbook.errors import FieldbookError
from fieldbook.lines.reading import Observation
from fieldbook.tui.faults import keep_trace

if TYPE_CHECKING:
    from fieldbook.store.append import Saved
    from fieldbook.tui.sheet import Sheet


class Doings:
    """One method a key, named `do_` and what it does. Mixed into the screen."""

    saved: list[list[Saved]]

    def do(self: Any, what: str) -> None:
        """Do what a key stands for."""
        getattr(self, f"do_{what}")()

    def push(self: Any, sheet: Sheet) -> None:
        """Lay a sheet on top."""
        self.sheets.append(sheet)
        self.show_sheet()

    def do_open(self: Any) -> None:
        """Open what is chosen."""
        item = self.lines.item
        if item and item.opens:
            self.push(item.opens())

    def do_back(self: Any) -> None:
        """Leave the prompt, else go back a sheet."""
        if self.prompt.line.has_focus:
            self.screen.set_focus(self.lines)
        elif len(self.sheets) > 1:
            self.sheets.pop()
            self.show_sheet()

    def do_prompt(self: Any) -> None:
        """Go to the prompt."""
        self.screen.set_focus(self.prompt.line)

    def do_now(self: Any) -> None:
        """Back to what to do now."""
        del self.sheets[1:]
        self.show_sheet()

    def do_answer(self: Any) -> None:
        """Start the line that answers what is chosen."""
        item = self.lines.item
        if item and item.address:
            self._begin(item.address, item.answer, item.rule)

    def do_decline(self: Any) -> None:
        """Start the line that declines what is chosen."""
        item = self.lines.item
        if item and item.address and item.rule:
            self._begin(item.address, f"not now {item.rule}: ", item.rule)

    def _begin(self: Any, address: str, text: str, rule: str) -> None:
        if self.prompt.text.strip():
            self.screen.set_focus(self.prompt.line)
            self.say("there is a line begun; save it, or clear it with Ctrl+U", "bold")
            return
        self.prompt.begin(address, text, rule)

    def do_entry(self: Any) -> None:
        """Open the entry of what is chosen."""
        from fieldbook.tui.entry_sheet import sheet_for

        item = self.lines.item
        if item and item.address:
            self.push(sheet_for(item.address))

    def do_all(self: Any) -> None:
        """All that is recorded and derived of the firing in view."""
        from fieldbook.tui.entry_sheet import EntrySheet

        self.push(EntrySheet(self.sheet.address))

    def do_fire(self: Any) -> None:
        """The firing under way."""
        from fieldbook.tui.firing_sheet import FiringSheet

        for name in ("in the kiln", "cooling"):
            for station in self.look.stations if self.look else ():
                if station.name == name and station.entries:
                    self.push(FiringSheet(station.entries[-1]))
                    return
        self.say("no fire is burning, and nothing cools")

    def do_text(self: Any) -> None:
        """Show the file itself."""
        from fieldbook.tui.entry_sheet import FileSheet

        if self.sheet.address:
            self.push(FileSheet(self.sheet.address))

    def do_help(self: Any) -> None:
        """Help on the sheet in view."""
        from fieldbook.tui.help_sheet import HelpSheet

        if not isinstance(self.sheet, HelpSheet):
            self.push(HelpSheet(self.sheet))

    def do_onward(self: Any) -> None:
        """The next station of the map."""
        self._to_station(self.brick_map.beside(1))

    def do_backward(self: Any) -> None:
        """The station before."""
        self._to_station(self.brick_map.beside(-1))

    def _to_station(self: Any, station: str) -> None:
        from fieldbook.tui.station_sheet import StationSheet

        del self.sheets[1:]
        if station:
            self.sheets.append(StationSheet(station))
        self.show_sheet()

    def do_leave(self: Any) -> None:
        """Leave; the draft is kept."""
        self.leave()

    @work(thread=True, exit_on_error=False, group="save")
    def save_line(self: Any, address: str, text: str, observation: Observation) -> None:
        """Put a line on the disk; where that fails it stands in the prompt again."""
        try:
            saved = self.desk.save(address, observation)
        except FieldbookError as error:
            self.call_from_thread(self._not_saved, address, text, str(error))
        except Exception as bug:  # noqa: BLE001 - said in one line, its trace kept; nothing typed is lost
            self.call_from_thread(self._not_saved, address, text, keep_trace(bug))
        else:
            self.call_from_thread(self._is_saved, address, text, observation, saved)

    def _is_saved(
        self: Any, address: str, text: str, observation: Observation, saved: list[Saved]
    ) -> None:
        self.unsaved.remove((address, text))
        self.keep_draft()
        self.saved.append(saved)
        place = f"{saved[0].address}.toml:{saved[0].line}"
        self.say(f"saved: {observation.words}  [{place}]")
        self.seen = self.desk.stamp()
        self.read_again()

    def _not_saved(self: Any, address: str, text: str, why: str) -> None:
        self.unsaved.remove((address, text))
        self.prompt.put_back(address, text)
        self.say(f"not saved: {why}", "bold")
        self.keep_draft()
