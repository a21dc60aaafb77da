"""The one door from an answer to what a person or a script sees of it."""

from __future__ import annotations

import os
import shutil
import sys
from typing import TextIO

from refinekit.show.cautions import as_plain_text
from refinekit.show.document import Document
from refinekit.show.text import can, cleaner

LEAST_WIDTH = 20
WIDEST = 140
"""Columns beyond which a line is tiring to follow."""


def present(
    document: Document,
    *,
    look: str = "table",
    working: bool = False,
    stdout: TextIO | None = None,
    stderr: TextIO | None = None,
    width: int | None = None,
    units: str = "metric",
) -> None:
    """Show an answer: on stdout the answer, on stderr the cautions unless they stand at the top of a terminal's screen.

    Args:
        document: the answer
        look: table, json or csv; JSON is metric whatever the units
        working: whether the sums are shown too; a CSV has none
        stdout: where the answer goes; left out, the standard output
        stderr: where cautions go that are not on the screen itself; left out, the standard error
        width: columns; left out, those of the terminal, 80 where there is none
        units: metric, troy or us
    Raises: Leak, a figure that is no number
    """
    out, err = stdout or sys.stdout, stderr or sys.stderr
    columns = max(LEAST_WIDTH, min(width or shutil.get_terminal_size().columns, WIDEST))
    screen = look == "table" and out.isatty()
    if units != "metric" and look != "json":
        from refinekit.show.recast import in_units

        document = in_units(document, units)
    text = _text(document, look, working, columns, units, encoding_of(out), screen=screen)
    if not screen:
        err.write(as_plain_text(document, width=columns, clean=cleaner(encoding_of(err))))
        err.flush()
    out.write(text)


def _text(document: Document, look: str, working: bool, width: int, units: str, encoding: str, *, screen: bool) -> str:
    if look == "json":
        from refinekit.show.as_json import to_json

        return to_json(document, working=working)
    if look == "csv":
        from refinekit.show.as_csv import to_csv

        return to_csv(document, units=units, clean=cleaner(encoding))
    from refinekit.show.terminal import Screen  # rich is loaded for this look alone

    shown = Screen(document, width=width, units=units, encoding=encoding)
    return shown.text(cautions=screen, styled=screen and may_style(), working=working)


def may_style() -> bool:
    """Whether a terminal may be sent bold and colour."""
    return not os.environ.get("NO_COLOR") and os.environ.get("TERM", "") not in ("dumb", "unknown")


def encoding_of(stream: TextIO) -> str:
    """Encoding of a stream; UTF-8 where it has none of its own."""
    encoding = getattr(stream, "encoding", None) or "utf-8"
    return encoding if can(encoding, "a") else "ascii"
