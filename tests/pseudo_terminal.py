"""The program in a real pseudo-terminal: keys in, a screen of text out."""

import codecs
import fcntl
import os
import pty
import re
import select
import signal
import struct
import subprocess
import termios
import time

import pyte

PATIENCE = 90
"""Seconds to wait for something to show before a test gives up; far more than it takes."""


class Terminal:
    """A real pseudo-terminal with the program in it."""

    def __init__(self, command, columns=80, lines=24, term="xterm-256color", extra=None):
        self.screen = pyte.Screen(columns, lines)
        self.stream = pyte.Stream(self.screen)
        self.decoder = codecs.getincrementaldecoder("utf-8")("replace")
        self.raw = b""
        self.begun = time.perf_counter()
        self.main, inner = pty.openpty()
        fcntl.ioctl(inner, termios.TIOCSWINSZ, struct.pack("HHHH", lines, columns, 0, 0))
        env = {**os.environ, "TERM": term, "LANG": "C.UTF-8", "PYTHONUTF8": "1", **(extra or {})}
        env.pop("COLUMNS", None)
        env.pop("LINES", None)
        self.process = subprocess.Popen(
            command,
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
