import codecs
import fcntl
import os
import pty
import re
import select
import shutil
import signal
import struct
import subprocess
import sys
import termios
import time
from pathlib import Path

import pyte
import pytest

from fieldbook.store.folder import Store
from fieldbook.tui.desk import Desk
from fieldbook.tui.screen import Screen

FIELDBOOK = Path(sys.executable).with_name("fieldbook")
NOW = "2026-09-12 12:10"
PATIENCE = 90
"""Seconds to wait for something to show before a test gives up; far more than it takes."""

FILES = {
    "notebook.toml": """\
format = 1
timezone = "Europe/Dublin"
maker = "ines"

[measures]
armload = "8 kg"
""",
    "clays/reach.toml": '# dug below the sea wall\nplace = "the reach"\n',
    "mixes/reach-3-1.toml": """\
parts = [ { clay = "reach", volume = "3 l" }, { temper = "sand", volume = "1 l" } ]
""",
    "kilns/small.toml": 'form = "updraught"\nplaces = ["top", "bottom"]\nbase = "sand"\n',
    "batches/a.toml": """\
mix = "reach-3-1"   # the usual
moulded = 2026-08-01
count = 100

[green]
length = "246 mm"
width = "118 mm"
height = "75 mm"

[marked]
"1" = { marks = "150.0 mm", mass = "3.25 kg" }

[log]
"2026-08-02 09:00:00+01:00" = { brick = "1", mass = "3.02 kg", by = "ines" }
""",
    "firings/f.toml": """\
kiln = "small"
load = [ { batch = "a", count = 100, place = "top", moisture = "2 %" } ]

[plan]
peak = "950 C"

[log]
"2026-09-12 06:00:00+01:00" = { event = "lit" }
"2026-09-12 07:00:00+01:00" = { temperature = "60 C", place = "top" }
"2026-09-12 08:00:00+01:00" = { temperature = "100 C", place = "top" }
"2026-09-12 09:00:00+01:00" = { temperature = "140 C", place = "top" }
"2026-09-12 10:00:00+01:00" = { temperature = "170 C", place = "top" }
"2026-09-12 11:00:00+01:00" = { temperature = "200 C", place = "top" }
"2026-09-12 12:00:00+01:00" = { temperature = "230 C", place = "top" }
""",
    "tests/t.toml": """\
batch = "a"

[specimens]
"1" = { dry_mass = "2000 g", soaked_mass = "2230 g" }
""",
}


@pytest.fixture
def yard(tmp_path, monkeypatch):
    """A small notebook with a fire under way, and the person's own folders beside it."""
    folder = tmp_path / "yard"
    for name, text in FILES.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.delenv("FIELDBOOK_NOTEBOOK", raising=False)
    monkeypatch.delenv("NO_COLOR", raising=False)
    return folder


@pytest.fixture
def desk(yard):
    return Desk(Store(yard), NOW)


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
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    return folder


class Pilot:
    """A screen under test: keys in, text out."""

    def __init__(self, pilot, app):
        self.pilot, self.app = pilot, app

    async def settle(self):
        """Wait until all that runs beside the screen has ended."""
        for _ in range(3):
            await self.pilot.pause()
            await self.app.workers.wait_for_complete()
            await self.pilot.pause()

    async def press(self, *keys):
        await self.pilot.press(*keys)
        await self.settle()

    async def type(self, text):
        """Type a line, as a person does."""
        await self.pilot.press(*(KEYS.get(letter, letter) for letter in text))
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


class Terminal:
    """A real pseudo-terminal with the program in it."""

    def __init__(self, words, columns, lines, term, extra):
        self.screen = pyte.Screen(columns, lines)
        self.stream = pyte.Stream(self.screen)
        self.decoder = codecs.getincrementaldecoder("utf-8")("replace")
        self.raw = b""
        self.main, inner = pty.openpty()
        fcntl.ioctl(inner, termios.TIOCSWINSZ, struct.pack("HHHH", lines, columns, 0, 0))
        env = {**os.environ, "TERM": term, "LANG": "C.UTF-8", "PYTHONUTF8": "1", **extra}
        env.pop("COLUMNS", None)
        env.pop("LINES", None)
        self.process = subprocess.Popen(
            [str(FIELDBOOK), *words],
            stdin=inner,
            stdout=inner,
            stderr=inner,
            env=env,
            start_new_session=True,
        )
        os.close(inner)

    def take(self, seconds=0.05):
        """Take what comes within some time."""
        end = time.monotonic() + seconds
        while (left := end - time.monotonic()) > 0:
            if not select.select([self.main], [], [], left)[0]:
                return
            try:
                data = os.read(self.main, 65536)
            except OSError:
                return
            if not data:
                return
            self.raw += data
            # pyte takes the private form of a colour code for the plain one; terminals ignore it.
            text = re.sub(r"\x1b\[[<>=][0-9;]*[a-zA-Z]", "", self.decoder.decode(data))
            self.stream.feed(text)

    def quiet(self, seconds=0.4):
        """Take all until nothing has come for some time."""
        before = -1
        while len(self.raw) != before:
            before = len(self.raw)
            self.take(seconds)

    def wait_for(self, text):
        end = time.monotonic() + PATIENCE
        while text not in self.text:
            self.take(0.1)
            if time.monotonic() > end:
                raise AssertionError(f"{text!r} did not show:\n{self.text}")

    def send(self, keys):
        os.write(self.main, keys.encode())

    @property
    def text(self):
        return "\n".join(self.screen.display)

    def ended(self):
        """Wait for the end of the program; its exit status."""
        end = time.monotonic() + PATIENCE
        while self.process.poll() is None and time.monotonic() < end:
            self.take(0.1)
        return self.process.poll()

    def hang_up(self):
        """Drop the line."""
        os.close(self.main)
        self.main = -1

    def close(self):
        if self.process.poll() is None:
            self.process.send_signal(signal.SIGKILL)
            self.process.wait()
        if self.main >= 0:
            os.close(self.main)


@pytest.fixture
def terminal():
    """Start the program in a pseudo-terminal."""
    begun = []

    def start(*words, columns=80, lines=24, term="xterm-256color", **extra):
        begun.append(Terminal(words, columns, lines, term, extra))
        return begun[-1]

    yield start
    for each in begun:
        each.close()
