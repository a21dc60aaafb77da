"""Columns that never cut a word off: cells are laid side by side where they fit, and under each other where they do not."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from rich.cells import cell_len
from rich.console import Console, Group
from rich.table import Table as Grid
from rich.text import Text

_LAST_SPACES = re.compile(r" +((?:\x1b\[0m)?) *$")
"""Spaces at the end of a line, before the code that ends its style."""

GAP = 2
"""Spaces between columns."""
NARROW = 60
"""Columns of a terminal below which what is to be weighed is stacked."""


@dataclass(frozen=True, slots=True)
class Column:
    """A column.

    Args:
        head: its heading [text]
        whole: whether its cells must stay on one line: figures with their units
        style: style of its cells [text]
        beside: whether it stands beside the row's name where rows are stacked
        labelled: whether its heading is said where rows are stacked
    """

    head: str
    whole: bool = False
    style: str = ""
    beside: bool = False
    labelled: bool = True


def width_of(text: str) -> int:
    """Widest line of a text [cells]."""
    return max((cell_len(line) for line in text.split("\n")), default=0)


def longest_word(text: str) -> int:
    """Longest word of a text [cells]."""
    return max((cell_len(word) for word in text.split()), default=0)


def widths_for(columns: Sequence[Column], rows: Sequence[Sequence[str]], width: int) -> list[int] | None:
    """How wide each column is so that no word is broken.

    Args:
        columns: the columns
        rows: their cells
        width: room for all [cells]
    Returns: widths; None where they do not fit side by side
    """
    cells = [[column.head, *(row[at] for row in rows)] for at, column in enumerate(columns)]
    most = [max(map(width_of, texts)) for texts in cells]
    least = [max(map(width_of if column.whole else longest_word, texts)) for column, texts in zip(columns, cells, strict=True)]
    spare = width - GAP * (len(columns) - 1) - sum(least)
    return None if spare < 0 else shared_out(least, most, spare)


def shared_out(least: Sequence[int], most: Sequence[int], spare: int) -> list[int]:
    """Widths from the least up: columns that want little get all of it, the others share what is left."""
    widths = list(least)
    wanting = sorted(range(len(least)), key=lambda at: most[at] - least[at])
    for done, at in enumerate(wanting):
        more = min(most[at] - least[at], spare // (len(wanting) - done))
        widths[at] += more
        spare -= more
    return widths


def folded(text: str, width: int) -> str:
    """A cell's lines folded to a width, each set in as its first line is."""
    lines = []
    for line in text.split("\n"):
        indent = " " * min(len(line) - len(line.lstrip()), width - 1)
        lines += textwrap.wrap(line, width, subsequent_indent=indent, break_on_hyphens=False) or [""]
    return "\n".join(lines)


def side_by_side(columns: Sequence[Column], rows: Sequence[Sequence[str]], widths: Sequence[int], *, airy: bool) -> Grid:
    """Cells in columns, headings in bold; `airy` leaves a line between rows of more than one line."""
    cells = [[folded(cell, wide) for cell, wide in zip(row, widths, strict=True)] for row in rows]
    apart = airy and any("\n" in cell for row in cells for cell in row)
    grid = Grid(box=None, padding=(0, GAP, 0, 0), pad_edge=False, show_edge=False, header_style="bold")
    for column, wide in zip(columns, widths, strict=True):
        grid.add_column(Text(column.head), width=wide, overflow="fold", style=column.style)
    for number, row in enumerate(cells):
        if apart and number:
            grid.add_row()
        grid.add_row(*map(Text, row))
    return grid


def stacked(columns: Sequence[Column], rows: Sequence[Sequence[str]], width: int, *, airy: bool) -> Group:
    """Each row by itself: its first cell, then heading and cell line by line; `airy` leaves a line between rows."""
    parts: list[Text] = []
    for row in rows:
        if airy and parts:
            parts.append(Text(""))
        beside = "  ".join(cell for column, cell in zip(columns, row, strict=True) if column.beside and cell)
        parts.append(Text(folded("  ".join(filter(None, (row[0], beside))), width), style="bold"))
        for column, cell in list(zip(columns, row, strict=True))[1:]:
            if cell and not column.beside:
                head = f"{column.head} " if column.labelled else ""
                parts.append(Text(folded(f"  {head}{cell}", width), style=column.style))
    return Group(*parts)


def table(
    columns: Sequence[Column], rows: Sequence[Sequence[str]], width: int, *, airy: bool = False, wide: int = 0
) -> Grid | Group:
    """A table in columns where it fits, stacked where it does not.

    Args:
        columns: the columns; those without a cell are left out
        rows: their cells
        width: room for all [cells]
        airy: whether rows of several lines are kept apart
        wide: width below which it is stacked in any case [cells]
    """
    kept = [at for at in range(len(columns)) if at == 0 or any(row[at] for row in rows)]
    columns, rows = [columns[at] for at in kept], [[row[at] for at in kept] for row in rows]
    widths = widths_for(columns, rows, width) if width >= wide else None
    if widths is None:
        return stacked(columns, rows, width, airy=airy)
    return side_by_side(columns, rows, widths, airy=airy)


def hanging(label: str, lines: Iterable[str], *, indent: int, style: str = "") -> Grid:
    """Lines of text after a label, all but the label set in by `indent` cells."""
    grid = Grid.grid(padding=0)
    grid.add_column(width=indent, overflow="fold")
    grid.add_column(overflow="fold", ratio=1)
    for number, line in enumerate(lines):
        grid.add_row(Text("" if number else label, style=style), Text(line))
    return grid


def render(parts: Iterable[Any], *, width: int, styled: bool) -> str:
    """Blocks as text, with control codes only where `styled`; no line has spaces at its end."""
    from io import StringIO

    buffer = StringIO()
    console = Console(
        file=buffer,
        width=width,
        force_terminal=styled,
        color_system="standard" if styled else None,
        no_color=not styled,
        markup=False,
        highlight=False,
        emoji=False,
        legacy_windows=False,
        soft_wrap=False,
    )
    for part in parts:
        console.print(part, overflow="fold")
    lines = [_LAST_SPACES.sub(r"\1", line) for line in buffer.getvalue().split("\n")]
    return "\n".join(lines).rstrip("\n") + "\n"
