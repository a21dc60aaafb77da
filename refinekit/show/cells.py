"""The cells of a table as text, the same for a screen and for a page: a unit beside its figure, a pH to what paper tells."""

from __future__ import annotations

from refinekit.bench.step import Table
from refinekit.facts.load import fact
from refinekit.ranges import Range
from refinekit.record import record
from refinekit.show.rounding import figure, range_text
from refinekit.show.text import DASH

Cell = str | float | Range
UNIT = "unit"
AMOUNTS = ("on hand", "used", "planned", "to buy at", "bare need", "gone in")
"""Columns that are in the unit of their row, where there is a column of units."""


@record
class Laid:
    """A table in text.

    Args:
        title: what it is of [text]
        columns: headings [text]
        figures: whether a column holds nothing but figures
        rows: the cells [text]
    """

    title: str
    columns: tuple[str, ...]
    figures: tuple[bool, ...]
    rows: tuple[tuple[str, ...], ...]


def laid(table: Table, *, dash: str = DASH, figures: int | None = None) -> Laid:
    """A table in text. A column of units that belong to amounts of the same row is told beside these; one without
    a cell is left out.

    Args:
        table: as it was reckoned, in the units asked for
        dash: what stands between the ends of a range
        figures: significant figures [-]; None for the usual most
    """
    beside = table.columns.index(UNIT) if UNIT in table.columns and any(one in AMOUNTS for one in table.columns) else None
    kept = [at for at in range(len(table.columns)) if at != beside and (at == 0 or any(row[at] != "" for row in table.rows))]

    def told(cell: Cell, head: str, unit: str) -> str:
        if isinstance(cell, str):
            return cell
        span = cell if isinstance(cell, Range) else Range.point(float(cell))
        if is_ph(head) and span.low == span.high:
            return as_ph(span.likely)
        return range_text(span, unit if head in AMOUNTS else "", dash=dash, figures=figures)

    rows = []
    for row in table.rows:
        unit = "" if beside is None else str(row[beside])
        rows.append(tuple(told(row[at], table.columns[at], unit) for at in kept))
    return Laid(
        table.title,
        tuple(table.columns[at] for at in kept),
        tuple(not any(isinstance(row[at], str) for row in table.rows) for at in kept),
        tuple(rows),
    )


def is_ph(head: str) -> bool:
    """Whether a heading stands over a pH, and not over what is dissolved at one.

    >>> is_ph("pH"), is_ph("pH to expect"), is_ph("from pH"), is_ph("copper mg/L")
    (True, True, True, False)
    """
    return "pH" in head.split()


def as_ph(value: float) -> str:
    """A pH as paper and a meter tell it: it is a power of ten, and further figures say nothing.

    >>> as_ph(0.0409), as_ph(7.83), as_ph(10.0)
    ('0', '7.8', '10')
    """
    step = fact("practice/show.ph_step").value
    return figure(round(value / step) * step)
