"""A bar on the error stream for what takes over a second: only where a person looks at it, and gone when done."""

from __future__ import annotations

import sys
import time

AFTER_S = 1.0
"""Seconds before it shows."""
WIDTH = 30
"""Signs of a full bar."""


class Progress:
    """Called with what is done and what is wanted.

    Args:
        what: what is counted [text]
    """

    def __init__(self, what: str) -> None:
        self.what = what
        self.start = time.monotonic()
        self.shown = False

    def __call__(self, done: int, of: int) -> None:
        """Show how far it is."""
        if not sys.stderr.isatty():
            return
        if done >= of:
            self.clear()
        elif time.monotonic() - self.start > AFTER_S:
            full = WIDTH * done // of
            sys.stderr.write(f"\r[{'#' * full}{'.' * (WIDTH - full)}] {done} of {of} {self.what}")
            sys.stderr.flush()
            self.shown = True

    def clear(self) -> None:
        """Wipe it off."""
        if self.shown:
            sys.stderr.write("\r\x1b[K")
            sys.stderr.flush()
            self.shown = False
