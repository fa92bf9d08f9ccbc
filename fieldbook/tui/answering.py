"""What settles an action, begun at once: a line, a field, a new entry, or something to look at."""

from __future__ import annotations

import shlex
from typing import TYPE_CHECKING, NamedTuple

from fieldbook.tui.beside_sheet import BesideSheet
from fieldbook.tui.entry_sheet import EntrySheet, sheet_for
from fieldbook.tui.gathering import Fields
from fieldbook.tui.prompt import Target

if TYPE_CHECKING:
    from fieldbook.tui.screen import Screen


class Asked(NamedTuple):
    """What an action asks for."""

    how: str
    """line, fields, new, look, beside"""
    address: str = ""
    """The entry it is about; of a new entry its kind."""
    text: str = ""
    """Of a line: the line. Of entries side by side: the other one."""
    fields: Fields = ()

    @property
    def words(self) -> str:
        """In a few words, for the line of the action."""
        names = ", ".join(name.replace("_", " ").replace(".", " ") for name, _ in self.fields)
        told = {
            "line": self.text,
            "fields": f"write {names}",
            "new": f"begin a {self.address}",
            "look": f"look at {self.address}",
            "beside": f"lay it beside {self.text}",
        }
        return told[self.how]


def asked(log: str, address: str) -> Asked:
    """Read what an action says settles it: an observation line, or one of the commands."""
    if not log.startswith("fieldbook "):
        return Asked("line", address, log)
    try:
        _, command, what, *rest = shlex.split(log)
    except ValueError:
        return Asked("line", address, "")
    if command == "log":
        return Asked("line", what, " ".join(rest))
    if command == "set":
        return Asked("fields", what, fields=_fields(rest))
    if command == "add":
        return Asked("new", what, fields=_fields(rest))
    if command == "compare" and rest:
        return Asked("beside", what, rest[0])
    return Asked("look", what if "/" in what else address)


def _fields(words: list[str]) -> Fields:
    found = (word.partition("=") for word in words if "=" in word)
    return tuple((name, value) for name, _, value in found if "…" not in name)


def answer(screen: Screen, address: str, rule: str, log: str, order: str = "") -> None:
    """Begin what settles an action; `order` is what it says is to be done."""
    wanted = asked(log, address)
    if wanted.how == "beside":
        screen.push(BesideSheet([wanted.address, wanted.text]))
    elif wanted.how == "new":
        screen.begin(Target(new=wanted.address, then=wanted.fields), "")
    elif wanted.how == "line":
        screen.begin(Target(wanted.address, rule=rule), wanted.text)
    elif "…" in wanted.address:
        screen.say(
            f"choose which of the {wanted.address.partition('/')[0]} it is, and press c there"
        )
    elif wanted.how == "look" or not wanted.fields:
        screen.push(sheet_for(wanted.address))
    else:
        screen.push(EntrySheet(wanted.address, order))
        ask(screen, wanted.address, wanted.fields)


def ask(screen: Screen, address: str, fields: Fields) -> None:
    """Ask at the prompt for the first of these fields; the others come after it."""
    if not fields:
        return
    if (target := screen.desk.gathering(address, fields)) is not None and target.ask:
        screen.begin(target, target.ask.text)
        return
    (field, text), *rest = fields
    screen.begin(Target(address, field, then=tuple(rest)), text)
