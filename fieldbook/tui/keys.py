"""Every key of the screen: what it is called, what it does, where it holds."""

from __future__ import annotations

from typing import NamedTuple


class Key(NamedTuple):
    """One key."""

    names: tuple[str, ...]
    """As the terminal names it."""
    shown: str
    """As a person names it."""
    short: str
    """One or two words for the line at the bottom; empty: not shown there."""
    says: str
    """What it does, in a sentence."""
    does: str
    """The name of what the screen does."""


OPEN = Key(("enter",), "Enter", "open", "opens what is chosen", "open")
WHY = OPEN._replace(short="why", says="shows the numbers behind what is chosen")
ANSWER = Key(("a",), "a", "answer", "starts the line that answers what is chosen", "answer")
NOT_NOW = Key(("w",), "w", "not now", "declines what is chosen; type the reason", "decline")
ENTRY = Key(("e",), "e", "entry", "opens the entry of what is chosen", "entry")
ALL = Key(("e",), "e", "all of it", "shows all that is recorded and derived", "all")
TEXT = Key(("t",), "t", "text", "shows the file as it stands on the disk", "text")
EDITOR = Key(("E",), "E", "editor", "opens the file in $EDITOR", "editor")
FIELD = Key(("c",), "c", "change", "changes the chosen field: type the value", "change")
HISTORY = Key(("h",), "h", "history", "shows what came before and after it, in order", "history")
ADD = Key(("A",), "A", "add", "begins a new entry: type its name", "add")
MARK = Key(("m",), "m", "mark", "marks it, to lay it beside others", "mark")
BESIDE = Key(("s",), "s", "side by side", "lays the marked ones side by side", "beside")

PUT_BACK = Key(("p",), "p", "put back", "puts the dropped line back", "put_back")
LEAVE_OUT = Key(("x",), "x", "leave out", "leaves the dropped line out for good", "leave_out")
EXCHANGE = Key(("x",), "x", "exchange", "takes in what is new, and sends what is yours", "exchange")
LET_GO = Key(
    ("L",),
    "L",
    "",
    "where an exchange asks about a great loss: begins to let the entries go",
    "let_go",
)
YES = Key(("Y",), "Y", "", "after L: lets them go, and exchanges", "yes")

MAKE = Key(("m",), "m", "make one", "makes a notebook here", "make")
SAMPLE = Key(("s",), "s", "sample", "opens a copy of the sample yard", "sample")

EVERYWHERE = (
    Key(("tab",), "Tab", "", "goes to the prompt, and back", "prompt"),
    Key(
        (),
        "0-9 # + - :",
        "",
        "begin a line at the prompt, from anywhere",
        "",
    ),
    Key(("up", "down", "pageup", "pagedown", "home", "end"), "arrows", "", "choose, or move", ""),
    Key(("right",), "→", "", "goes on along the map, from clay to a brick in use", "onward"),
    Key(("left",), "←", "", "goes back along the map", "backward"),
    Key(("escape",), "Esc", "", "leaves the prompt, or goes back a sheet", "back"),
    Key(("n",), "n", "now", "what to do now", "now"),
    Key(("f",), "f", "fire", "the firing under way, or the next", "fire"),
    Key(("g",), "g", "", "what goes to the group and comes from it", "group"),
    Key(("l",), "l", "", "lines that another program dropped", "lost"),
    Key(("b",), "b", "", "rings, or no longer rings, when a reading is overdue", "bell"),
    Key(("full_stop",), ".", "", "stops what takes long: an exchange, reading the rest", "stop"),
    Key(("u", "ctrl+z"), "u", "undo", "takes back the line saved last", "undo"),
    Key(("question_mark",), "?", "help", "keys, and the words of the trade", "help"),
    Key(("q", "ctrl+q", "ctrl+c"), "q", "leave", "leaves; what is typed is kept", "leave"),
)
"""Keys that hold on every sheet."""

AT_THE_PROMPT = (
    Key(("enter",), "Enter", "save", "saves the line", ""),
    Key(("escape",), "Esc", "leave it", "leaves the prompt; what is typed stays", "back"),
    Key(("tab",), "Tab", "", "goes to the next blank of a proposed line, else back above", "back"),
    Key(("up", "down", "pageup", "pagedown"), "arrows", "", "choose, or move, above it", ""),
    Key(("ctrl+z",), "Ctrl+Z", "undo", "takes back the line saved last", "undo"),
    Key(("ctrl+u",), "Ctrl+U", "", "clears what stands left of the cursor", ""),
    Key(("ctrl+q", "ctrl+c"), "Ctrl+C", "", "leaves; what is typed is kept", "leave"),
)
"""Keys while a line is being typed."""

BEGINS_A_LINE = frozenset("0123456789#+-:")
"""Characters that go to the prompt from anywhere."""
