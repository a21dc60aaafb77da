"""A bar on the error stream for what takes over a second: only where a person looks at it, and gone when done.

What is counted is drawn as a bar; what is not, as the seconds it has taken so far, so that nobody takes long for stuck.
"""

from __future__ import annotations

import sys
import threading
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager

AFTER_S = 1.0
"""Seconds before it shows."""
TICK_S = 0.25
"""Seconds between two looks at work that tells nothing."""
WIDTH = 30
"""Signs of a full bar."""
FORMS = ("--json", "--csv")
"""Answers for a script: nothing is drawn beside them."""


class Progress:
    """Called with what is done and what is wanted.

    Args:
        what: what is counted [text]
    """

    quiet = False
    """Whether nothing is drawn at all: the answer goes to a script or a pipe."""

    def __init__(self, what: str) -> None:
        self.what = what
        self.start = time.monotonic()
        self.shown = False

    def __call__(self, done: int, of: int) -> None:
        """Show how far it is.

        Args:
            done: what is done [-]
            of: what is wanted [-]; 0 where nobody knows yet
        """
        if Progress.quiet or not sys.stderr.isatty():
            return
        if of and done >= of:
            self.clear()
        elif time.monotonic() - self.start > AFTER_S:
            self.draw(f"{bar(done, of)} {done} of {of} {self.what}" if of else f"{done} {self.what}")

    def draw(self, text: str) -> None:
        """Put a line in the place of the one before."""
        sys.stderr.write(f"\r{text}\x1b[K")
        sys.stderr.flush()
        self.shown = True

    def clear(self) -> None:
        """Wipe it off."""
        if self.shown:
            sys.stderr.write("\r\x1b[K")
            sys.stderr.flush()
            self.shown = False


def bar(done: int, of: int) -> str:
    """A bar of the share that is done."""
    full = WIDTH * done // of
    return f"[{'#' * full}{'.' * (WIDTH - full)}]"


class Watch:
    """Looks at a command while it works: draws what it tells, and the seconds where it tells nothing."""

    def __init__(self) -> None:
        self.lock = threading.RLock()
        self.over = threading.Event()
        self.start = self.told_at = time.monotonic()
        self.bars: dict[str, Progress] = {}
        self.waiting = Progress("")
        threading.Thread(target=self._tick, daemon=True).start()

    def hear(self, done: int, of: int, what: str) -> None:
        """What the work tells; a bar is begun where something else is counted."""
        with self.lock:
            if self.over.is_set():
                return
            if what not in self.bars:
                self._wipe()
                self.bars = {what: Progress(what)}
                self.bars[what].start = self.start
            now = time.monotonic()
            if now - self.told_at >= TICK_S / 2 or (of and done >= of):  # a hundred thousand events are not drawn one by one
                self.told_at = now
                self.bars[what](done, of)

    def _tick(self) -> None:
        while not self.over.wait(TICK_S):
            with self.lock:
                now = time.monotonic()
                if not self.over.is_set() and now - self.start > AFTER_S and now - self.told_at > AFTER_S:
                    self.waiting.draw(f"reckoning, {now - self.start:.0f} s")

    def _wipe(self) -> None:
        for one in (*self.bars.values(), self.waiting):
            one.clear()

    def end(self) -> None:
        """Stop looking, and wipe off what was drawn."""
        with self.lock:
            self.over.set()
            self._wipe()


_watches: list[Watch] = []


@contextmanager
def watched(words: Sequence[str]) -> Iterator[None]:
    """Look at a command while it works, where a person looks at both streams and asked for no form for scripts.

    Args:
        words: the command line
    """
    Progress.quiet = any(word in FORMS for word in words) or not sys.stdout.isatty()
    try:
        if Progress.quiet or not sys.stderr.isatty():
            yield
            return
        from refinekit.how_far import LISTENER

        watch = Watch()
        _watches.append(watch)
        token = LISTENER.set(watch.hear)
        try:
            yield
        finally:
            LISTENER.reset(token)
            finish()
    finally:
        Progress.quiet = False


def finish() -> None:
    """Wipe off what is drawn and draw no more: the answer comes now."""
    while _watches:
        _watches.pop().end()
