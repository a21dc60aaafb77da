"""Cautions in words: level first, then what happens, what to do, and the reason a stop was lifted by. No colour is needed."""

from __future__ import annotations

import textwrap
from collections.abc import Callable

from refinekit.show.document import Document, Said

LABELS = {"stop": "STOP", "warn": "WARN", "note": "note"}
INDENT = 6
"""Cells of the level word and the space after it."""


def merged(document: Document) -> list[tuple[Said, tuple[str, ...]]]:
    """Cautions, each once, with the names of all steps that it belongs to."""
    found: dict[tuple[object, ...], tuple[Said, list[str]]] = {}
    for said in document.notices:
        notice = said.notice
        key = (notice.level, notice.code, notice.text, notice.do, notice.cause, notice.reason)
        found.setdefault(key, (said, []))[1].append(said.step)
    return [(said, tuple(filter(None, dict.fromkeys(steps)))) for said, steps in found.values()]


def caution_lines(document: Document) -> list[tuple[str, tuple[str, ...]]]:
    """Every caution as its level word and its lines, worst first."""
    several = len(document.steps) > 1
    return [(LABELS[said.notice.level], _lines(said, steps if several else ())) for said, steps in merged(document)]


def _lines(said: Said, steps: tuple[str, ...]) -> tuple[str, ...]:
    notice = said.notice
    where = f"{', '.join(steps)}: " if steps else ""
    lines = [f"{where}{notice.text} [{notice.code}]", f"do: {notice.do}" if notice.do else ""]
    if notice.cause and notice.cause != said.step:
        lines.append(f"set by: {notice.cause}")
    if said.lifted:
        lines.append(lifted_line(said))
    elif said.stops and notice.may_override:
        lines.append(f'a typed reason lifts it: --override {notice.code}="..."')
    return tuple(filter(None, lines))


def lifted_line(said: Said) -> str:
    """The line every look of a lifted stop carries."""
    return f"stop {said.notice.code} was lifted by hand; reason typed: {said.notice.reason}"


def as_plain_text(document: Document, *, width: int, clean: Callable[[str], str]) -> str:
    """Every caution as plain lines, for stderr; "" where there is none."""
    out: list[str] = []
    for label, lines in caution_lines(document):
        for number, line in enumerate(lines):
            head = f"{label:<{INDENT}}" if number == 0 else " " * INDENT
            out += textwrap.wrap(
                clean(line), max(width, 2 * INDENT), initial_indent=head, subsequent_indent=" " * INDENT, break_on_hyphens=False
            )
    return "".join(f"{line.rstrip()}\n" for line in out)
