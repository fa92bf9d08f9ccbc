import shutil
from pathlib import Path

import pytest
from textual import events

from fieldbook.tui.desk import Desk
from fieldbook.tui.screen import Screen
from tests.installed import FIELDBOOK
from tests.pseudo_terminal import Terminal
from tests.small_yard import AT_THE_FIRE, own_folders, write_yard

NOW = "2026-09-12 12:10"


@pytest.fixture
def yard(tmp_path, monkeypatch):
    """A small notebook with a fire under way, and the person's own folders beside it."""
    own_folders(tmp_path, monkeypatch)
    monkeypatch.delenv("NO_COLOR", raising=False)
    return write_yard(tmp_path / "yard", AT_THE_FIRE)


@pytest.fixture
def desk(yard):
    return Desk(yard, NOW)


@pytest.fixture
def look(desk):
    """The small notebook, read as a whole."""
    return list(desk.looks())[-1]


@pytest.fixture
def screen(desk):
    return Screen(desk)


@pytest.fixture
def sample(tmp_path, monkeypatch):
    """A copy of the sample yard."""
    folder = tmp_path / "sample"
    shutil.copytree(Path(__file__).parents[2] / "sample_notebook", folder)
    own_folders(tmp_path, monkeypatch)
    return folder


class Pilot:
    """A screen under test: keys in, text out."""

    def __init__(self, pilot, app):
        self.pilot, self.app = pilot, app

    async def settle(self):
        """Wait until all that runs beside the screen has ended."""
        quiet = 0
        while quiet < 2:
            await self.pilot.pause()
            await self.app.workers.wait_for_complete()
            await self.pilot.pause()
            quiet = 0 if self.is_busy else quiet + 1

    @property
    def is_busy(self):
        """Whether something is under way: keys not yet taken, lines not yet saved, work beside."""
        app, prompt = self.app, self.app.prompt
        waiting = any(pump.message_queue_size for pump in (app, prompt, prompt.line, app.lines))
        return bool(waiting or app.unsaved or prompt.line.is_sending or list(app.workers))

    async def press(self, *keys):
        await self.pilot.press(*keys)
        await self.settle()

    async def type(self, text):
        """Type a line, as fast as a terminal hands it over."""
        for letter in text:
            character = letter if letter.isprintable() else None
            self.app.post_message(events.Key(KEYS.get(letter, letter), character))
        await self.settle()

    @property
    def body(self):
        return "\n".join(row.text for row in self.app.lines.page.rows)

    @property
    def words(self):
        """What stands below the prompt."""
        return str(self.app.query_one("#words").render())


KEYS = {
    " ": "space",
    "#": "number_sign",
    "+": "plus",
    "-": "minus",
    ":": "colon",
    ",": "comma",
    "%": "percent_sign",
    "\r": "enter",
    "\b": "backspace",
    ".": "full_stop",
}


@pytest.fixture
def driven():
    """Drive a screen: `async with driven(screen) as pilot`."""

    class Driven:
        def __init__(self, app, size=(80, 24)):
            self.app, self.context = app, app.run_test(size=size, notifications=True)

        async def __aenter__(self):
            pilot = Pilot(await self.context.__aenter__(), self.app)
            await pilot.settle()
            return pilot

        async def __aexit__(self, *error):
            return await self.context.__aexit__(*error)

    return Driven


@pytest.fixture
def terminal():
    """Start the program in a pseudo-terminal."""
    begun = []

    def start(*words, columns=80, lines=24, term="xterm-256color", **extra):
        begun.append(Terminal([str(FIELDBOOK), *words], columns, lines, term, extra))
        return begun[-1]

    yield start
    for each in begun:
        each.close()
