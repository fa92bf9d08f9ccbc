"""Putting lines on the disk and taking them off again, beside the screen."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fieldbook.tui.answering import ask
from fieldbook.tui.entry_sheet import EntrySheet
from fieldbook.tui.prompt import Target

if TYPE_CHECKING:
    from fieldbook.store.append import Saved
    from fieldbook.tui.screen import Screen


def save(screen: Screen, target: Target, text: str) -> None:
    """Save a line after those before it; until it is on the disk it counts as typed."""
    screen.unsaved.append((target, text))
    screen.keep_draft()
    if len(screen.unsaved) == 1:
        _save_next(screen)


def _save_next(screen: Screen) -> None:
    if not screen.unsaved:
        return
    target, text = screen.unsaved[0]
    if target.new:
        screen.beside(
            lambda: screen.desk.make(target, text),
            lambda address: _is_made(screen, target, text, address),
            lambda why: _not_saved(screen, target, text, why),
        )
        return
    screen.beside(
        lambda: screen.desk.save(target, text),
        lambda saved: _is_saved(screen, target, text, *saved),
        lambda why: _not_saved(screen, target, text, why),
    )


def _is_off(screen: Screen, target: Target, text: str) -> None:
    """A line is dealt with; the next one follows."""
    screen.unsaved.remove((target, text))
    screen.keep_draft()
    _save_next(screen)


def _is_saved(screen: Screen, target: Target, text: str, saved: list[Saved], words: str) -> None:
    _is_off(screen, target, text)
    screen.saved.append((target, text, saved))
    after = screen.desk.go_on(target, text) if target.ask else target
    missing = f"; {after.missing}" if after.missing else ""
    screen.say(f"saved: {words}{missing}  [{saved[0].address}.toml:{saved[0].line}]")
    screen.watch_on.take_note()
    screen.read_again(target.address)
    ask(screen, target.address, target.then)


def _is_made(screen: Screen, target: Target, text: str, address: str) -> None:
    """A new entry is shown."""
    _is_off(screen, target, text)
    screen.saved.append((target._replace(address=address), text, []))
    screen.watch_on.take_note()
    screen.push(EntrySheet(address))
    screen.read_again(address)
    missing = screen.desk.go_on(target, text).missing
    screen.say(f"made: {address}.toml{'; ' if missing else ''}{missing}")


def _not_saved(screen: Screen, target: Target, text: str, why: str) -> None:
    _is_off(screen, target, text)
    screen.prompt.put_back(target, text)
    screen.say(f"not saved: {why}", "bold")
    screen.keep_draft()


def undo(screen: Screen) -> None:
    """Take back the line saved last in this sitting."""
    if not screen.saved:
        screen.say("nothing was saved since the screen was opened")
        return
    target, text, saved = screen.saved.pop()

    def take_back() -> None:
        if target.new:
            screen.desk.store.remove(target.address)
        for each in reversed(saved):
            screen.desk.store.undo_last(each)

    screen.beside(
        take_back,
        lambda _: _is_undone(screen, target, text),
        lambda why: screen.say(f"not taken back: {why}", "bold"),
    )


def _is_undone(screen: Screen, target: Target, text: str) -> None:
    """A line taken back stands in the prompt, to be put right."""
    if target.new:
        screen.sheets[1:] = [s for s in screen.sheets[1:] if s.address != target.address]
        screen.show_sheet()
    if not screen.prompt.text:
        screen.prompt.begin(target, text)
    screen.say(f"taken back: {text}; put it right, or clear it with Ctrl+U")
    screen.watch_on.take_note()
    screen.read_again(target.address)
