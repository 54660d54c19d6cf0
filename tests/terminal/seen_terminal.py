"""A real pseudo-terminal of a given size with a program in it, and what a person would see on it."""

import os
import sys
import time
from contextlib import contextmanager
from pathlib import Path

import pexpect
import pyte

HERE = Path(__file__).parent
ROOT = HERE.parent.parent
DRIVER = HERE / "pretend_console.py"


class SeenTerminal:
    """Keeps what the program wrote, raw and as a screen."""

    def __init__(self, child, columns, rows):
        self.child = child
        self.screen = pyte.Screen(columns, rows)
        self.raw = ""
        self._stream = pyte.Stream(self.screen)

    @property
    def text(self):
        """What stands on the screen, without the blanks at line ends."""
        return "\n".join(line.rstrip() for line in self.screen.display)

    def wait_for(self, words, seconds=10.0):
        """Read until the words stand on the screen; fail with the screen when they do not come."""
        return self._until(lambda: words in self.text, f"'{words}'", seconds)

    def wait_for_end(self, seconds=10.0):
        """Read until the program has ended."""
        return self._until(lambda: not self.child.isalive(), "the end", seconds)

    def resize(self, columns, rows):
        """Give the terminal another size."""
        self.screen.resize(rows, columns)
        self.child.setwinsize(rows, columns)

    def send(self, keys):
        """Press keys."""
        self.child.send(keys)

    def _until(self, holds, what, seconds):
        """Read until it holds and nothing more comes for a moment: a screen is drawn in several pieces."""
        last = time.monotonic() + seconds
        while True:
            came = self._read()
            if holds() and not came:
                return self.text
            if came is None or time.monotonic() > last:
                raise AssertionError(f"{what} did not come; the screen was:\n{self.text}")

    def _read(self):
        """Read what has come: True when something did, False when nothing, None at the end."""
        try:
            piece = self.child.read_nonblocking(65536, timeout=0.05)
        except pexpect.TIMEOUT:
            return False
        except pexpect.EOF:
            self.child.wait()
            return None
        self.raw += piece
        self._stream.feed(piece)
        return True


@contextmanager
def terminal(*arguments, columns=80, rows=24, **environment):
    """Start the demo driver at a terminal of this size; it is ended with the test."""
    kept = {name: value for name, value in os.environ.items() if name not in ("NO_COLOR", "COLORTERM")}
    known = {**kept, "PYTHONPATH": str(ROOT), "TERM": "xterm-256color", "LC_ALL": "C.UTF-8", **environment}
    child = pexpect.spawn(
        sys.executable, [str(DRIVER), *arguments], dimensions=(rows, columns), env=known, encoding="utf-8", timeout=10
    )
    try:
        yield SeenTerminal(child, columns, rows)
    finally:
        child.close(force=True)
