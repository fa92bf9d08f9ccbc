"""The map: where all the bricks are, from clay to a brick in use, and the way to move in it."""

from __future__ import annotations

from collections.abc import Sequence

from textual import events
from textual.content import Content
from textual.message import Message
from textual.widgets import Static

from fieldbook.report.stock import Station, empty_map, map_cells
from fieldbook.text import columns


class BrickMap(Static):
    """Two lines: the words of the stations, and how many bricks stand at each."""

    class Went(Message):
        """A station was clicked."""

        def __init__(self, station: str) -> None:
            super().__init__()
            self.station = station

    def __init__(self) -> None:
        super().__init__("", id="map", markup=False)
        self.stations: Sequence[Station] = empty_map()
        self.here = ""
        self.drawn = Content("")

    def show(self, stations: Sequence[Station] | None = None, here: str | None = None) -> None:
        """Take up new counts, or another station in view."""
        self.stations = self.stations if stations is None else stations
        self.here = self.here if here is None else here
        drawn = self._drawn()
        if drawn != self.drawn:
            self.drawn = drawn
            self.update(drawn, layout=False)

    def on_resize(self) -> None:
        """Other columns for another width."""
        self.show()

    def _drawn(self) -> Content:
        cells = map_cells(self.stations, self.app.size.width)
        words, numbers, before = Content(""), Content(""), ""
        for name, word, number in cells:
            is_here = name == self.here
            # The station in view stands in brackets: meaning is never in colour alone.
            between = "[" if is_here else "]" if before and before == self.here else " "
            words += Content(between) + Content.styled(word, "bold" if is_here else "")
            numbers += Content(" ") + Content.styled(number, "bold")
            before = name
        words += Content("]" if before and before == self.here else "")
        return Content("\n").join([words, numbers])

    def on_click(self, event: events.Click) -> None:
        """Go to the station under the mouse."""
        end = 0
        for name, word, _ in map_cells(self.stations, self.app.size.width):
            end += columns(word) + 1
            if event.x < end:
                self.post_message(self.Went(name))
                return

    def beside(self, step: int) -> str:
        """The station `step` further along the map; what to do now lies before the first."""
        names = ["", *(station.name for station in self.stations)]
        at = names.index(self.here) if self.here in names else 0
        return names[min(max(at + step, 0), len(names) - 1)]
