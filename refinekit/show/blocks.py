"""Lines and columns that never cut a word off: cells are laid side by side where they fit, under each other where they do not.

A block is a list of lines, a line a list of pieces of text each in one style. Rich measures what is not plain ASCII and
colours what goes to a terminal; laying out is done here, as a plan has hundreds of cells and Rich takes a millisecond for each.
"""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterable, Sequence
from dataclasses import replace
from functools import lru_cache
from itertools import zip_longest

from refinekit.record import record

Piece = tuple[str, str]
"""A text, and its style in Rich's words; "" for plain."""
Line = Sequence[Piece]
Block = list[Line]

BLANK: Line = ()
GAP = 2
"""Spaces between columns."""
NARROW = 60
"""Columns of a terminal below which what is to be weighed is stacked."""
SHORT = 16
"""Cells of a column that is not broken over lines where its table is cut into parts anyway."""
_WORD = re.compile(r"\s*\S+\s*")
JOIN = "\x01"
"""Stands between a figure and its unit while a line is broken; no text that is shown holds it."""
_UNIT = re.compile(
    r"(?<=[\d*]) (?=(?:%|°[CFK]|[CFKLWhds]|Be|[mukn]?(?:g|L|m|mol|J)|k?W|[cm]?m[23]|min|ppm|h?Pa|oz t|dwt|lots)"
    r"(?:/\w+)?(?:[;,.:)]|\s|$))"
)


@record
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


@lru_cache(maxsize=8192)  # a table asks for the width of each cell several times over
def cells(text: str) -> int:
    """Width of a text of one line [cells]."""
    if text.isascii():
        return len(text)
    from rich.cells import cell_len

    return cell_len(text.replace(JOIN, " "))


def width_of(text: str) -> int:
    """Widest line of a text [cells]."""
    return max(map(cells, text.split("\n")))


def longest_word(text: str) -> int:
    """Longest word of a text, a figure with its unit being one [cells]."""
    return max(map(cells, joined(text).split()), default=0)


def fitted(line: str, width: int) -> str:
    """A line with its figures and units joined, where each still fits a width; as it is on a screen too narrow for that."""
    set_in = len(line) - len(line.lstrip())
    return joined(line) if set_in + longest_word(line) <= width else line.replace(JOIN, " ")


def joined(line: str) -> str:
    """A line in which a figure and its unit are one word: a unit alone at the head of a line is read as another figure's."""
    return _UNIT.sub(JOIN, line)


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


def folded(text: str, width: int) -> list[str]:
    """A cell's lines folded to a width, each set in as its first line is."""
    lines: list[str] = []
    for line in text.split("\n"):
        if cells(line) <= width:
            lines.append(line)
            continue
        indent = " " * min(len(line) - len(line.lstrip()), width - 1)
        wrapped = textwrap.wrap(fitted(line, width), width, subsequent_indent=indent, break_on_hyphens=False) or [""]
        lines += [piece for one in wrapped for piece in broken(one, width)]  # once more, as a letter may be two cells wide
    return lines


def broken(line: str, width: int) -> list[str]:
    """A line broken between words so that each piece fits; a word too long for any line is broken inside."""
    if cells(line) <= width:
        return [line.replace(JOIN, " ")]
    from rich.cells import chop_cells

    lines = [""]
    for word in _WORD.findall(fitted(line, width)):
        if cells(lines[-1]) + cells(word.rstrip()) <= width:
            lines[-1] += word
        else:
            lines += chop_cells(word, width) if cells(word.rstrip()) > width else [word]
    return [one.replace(JOIN, " ").rstrip() for one in lines if one]


def text(line: str, width: int, style: str = "") -> Block:
    """A text of one or more lines, broken where it is too wide."""
    return [((piece, style),) for one in line.split("\n") for piece in broken(one, width)]


def side_by_side(columns: Sequence[Column], rows: Sequence[Sequence[str]], widths: Sequence[int], *, airy: bool) -> Block:
    """Cells in columns, headings in bold; `airy` leaves a line between rows of more than one line."""
    laid = [[folded(cell, wide) for cell, wide in zip(row, widths, strict=True)] for row in rows]
    apart = airy and any(len(cell) > 1 for row in laid for cell in row)
    heads = [broken(column.head, wide) for column, wide in zip(columns, widths, strict=True)]
    tall = max(map(len, heads))
    lines = across([[""] * (tall - len(head)) + head for head in heads], widths, ["bold"] * len(columns))
    for number, row in enumerate(laid):
        if apart and number:
            lines.append(BLANK)
        lines += across(row, widths, [column.style for column in columns])
    return lines


def across(row: Iterable[Sequence[str]], widths: Sequence[int], styles: Sequence[str]) -> Block:
    """The lines of a row's cells side by side, each cell filled up to its width and the gap."""
    lines: Block = []
    for texts in zip_longest(*row, fillvalue=""):
        line: list[Piece] = []
        for one, wide, style in zip(texts, widths, styles, strict=True):
            line += [(one, style), (" " * (wide + GAP - cells(one)), "")]
        lines.append(line)
    return lines


def stacked(columns: Sequence[Column], rows: Sequence[Sequence[str]], width: int, *, airy: bool) -> Block:
    """Each row by itself: its first cell, then heading and cell line by line; `airy` leaves a line between rows."""
    lines: Block = []
    for row in rows:
        if airy and lines:
            lines.append(BLANK)
        beside = "  ".join(cell for column, cell in zip(columns, row, strict=True) if column.beside and cell)
        first = "  ".join(filter(None, (row[0], beside)))
        whole = [first] if cells(first.split("\n")[0]) <= width else [row[0], f"  {beside}"]
        lines += [((one, "bold"),) for part in whole for one in folded(part, width)]
        for column, cell in list(zip(columns, row, strict=True))[1:]:
            if cell and not column.beside:
                head = f"{column.head} " if column.labelled else ""
                lines += [((one, column.style),) for one in folded(f"  {head}{cell}", width)]
    return lines


def table(
    columns: Sequence[Column], rows: Sequence[Sequence[str]], width: int, *, airy: bool = False, wide: int = 0, parts: int = 1
) -> Block:
    """A table in columns where it fits, else in parts under each other, else stacked.

    Args:
        columns: the columns; those without a cell are left out
        rows: their cells
        width: room for all [cells]
        airy: whether rows of several lines are kept apart
        wide: width below which it is stacked in any case [cells]
        parts: most parts it is cut into before it is stacked, each with its first column before it [-]
    """
    kept = [at for at in range(len(columns)) if at == 0 or any(row[at] for row in rows)]
    columns, rows = [columns[at] for at in kept], [[row[at] for at in kept] for row in rows]
    widths = widths_for(columns, rows, width) if width >= wide else None
    if widths is None and parts > 1 and (cuts := cut(columns, rows, width)) and len(cuts) <= parts:
        whole: Block = []
        for places in cuts:
            part = [[row[at] for at in places] for row in rows]
            whole += [*([BLANK] if whole else []), *table([columns[at] for at in places], part, width, airy=airy)]
        return whole
    if widths is None:
        return stacked(columns, rows, width, airy=airy)
    return side_by_side(columns, rows, widths, airy=airy)


def cut(columns: Sequence[Column], rows: Sequence[Sequence[str]], width: int) -> list[list[int]]:
    """Which columns stand in each part of a table that is too wide; none where one column beside the first is too wide."""
    short = [max(map(width_of, [one.head, *(row[at] for row in rows)])) <= SHORT for at, one in enumerate(columns)]
    columns = [replace(one, whole=one.whole or stays) for one, stays in zip(columns, short, strict=True)]
    cuts: list[list[int]] = [[0]]
    for at in range(1, len(columns)):
        for places in ([*cuts[-1], at], [0, at]):
            if widths_for([columns[one] for one in places], [[row[one] for one in places] for row in rows], width) is not None:
                cuts[-1:] = [places] if places[:-1] == cuts[-1] else [cuts[-1], places]
                break
        else:
            return []
    return cuts


def hanging(label: str, lines: Iterable[str], width: int, *, indent: int, style: str = "") -> Block:
    """Lines of text after a label, all but the label set in by `indent` cells."""
    room = max(1, width - indent)
    pieces = [piece for line in lines for one in line.split("\n") for piece in broken(one, room)]
    heads = broken(label, indent)
    return [
        ((head, style), (" " * (indent - cells(head)), ""), (piece, ""))
        for head, piece in zip_longest(heads, pieces, fillvalue="")
    ]


def render(lines: Iterable[Line], *, styled: bool) -> str:
    """Lines as text, with control codes only where `styled`; no line ends in spaces."""
    shown = _coloured if styled else _plain
    return "\n".join(map(shown, lines)).rstrip("\n") + "\n"


def _plain(line: Line) -> str:
    return "".join(piece for piece, _ in line).rstrip(" ")


def _coloured(line: Line) -> str:
    from rich.color import ColorSystem
    from rich.style import Style

    kept = list(line)
    while kept and not kept[-1][0].strip(" "):
        kept.pop()
    if kept:
        kept[-1] = (kept[-1][0].rstrip(" "), kept[-1][1])
    return "".join(
        Style.parse(style).render(piece, color_system=ColorSystem.STANDARD) if style else piece for piece, style in kept
    )
