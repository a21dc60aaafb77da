"""The look for a spreadsheet: the pours and figures row by row, or the table where the answer is one.

Numbers are plain. A text that a spreadsheet would take for a formula has an apostrophe put before it.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Callable

from refinekit.bench.step import Answer, Reagent, Step, Table
from refinekit.ranges import Range
from refinekit.show.cautions import lifted_line
from refinekit.show.convert import conversion
from refinekit.show.document import Document
from refinekit.show.rounding import SCALES, Measured, figure, measured

COLUMNS = ("kind", "name", "low", "likely", "high", "unit", "sized_on", "to_take", "step", "note")
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")

Cell = str | float
Row = list[Cell]


def to_csv(document: Document, *, units: str = "metric", clean: Callable[[str], str] = str) -> str:
    """A document as CSV text.

    Args:
        document: the answer
        units: metric, troy or us
        clean: what every text goes through
    """
    tables = [*document.sections, *(one for step in document.steps for one in step.tables)]
    pours = any(step.reagents for step in document.steps)
    main = tables[0] if tables and not pours and not document.stopped else None
    rows = table_rows(main, document) if main else figure_rows(document, units)
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    for row in rows:
        writer.writerow([_safe(clean(cell)) if isinstance(cell, str) else repr(float(cell)) for cell in row])
    return out.getvalue()


def _safe(text: str) -> str:
    return f"'{text}" if text.lstrip(" ").startswith(FORMULA_STARTS) else text


def figure_rows(document: Document, units: str) -> list[Row]:
    """Everything with a figure, one row each, then what to wear and the cautions."""
    rows: list[Row] = [list(COLUMNS)]
    for step in document.steps:
        rows += [reagent_row(one, step, units) for one in step.reagents]
        rows += [answer_row(one, step.name, units) for one in step.answers]
        for gas in step.gases:
            rows.append(["gas", gas.formula, *_ends(gas.litres), "L", gas.sized_on, "", step.name, ""])
        for table in step.tables:
            rows += tidy_rows(table, step.name)
    rows += [answer_row(one, "", units) for one in document.answers]
    for table in document.sections:
        rows += tidy_rows(table, "")
    rows += [["gear", "", *[""] * 6, step, line] for step, line in gear(document)]
    return rows + [["caution" if name else "closing", name, *[""] * 6, step, note] for name, step, note in endings(document)]


def gear(document: Document) -> list[tuple[str, str]]:
    """What to wear, as step and words; a stopped step has it too."""
    return [(step.name, line) for step in document.steps for heading, line in step.says if heading == "gear"]


def endings(document: Document) -> list[tuple[str, str, str]]:
    """What ends the rows: cautions (code, step, words), then the closing lines."""
    found = []
    for said in document.notices:
        notice = said.notice
        words = [f"{notice.level.upper()}: {notice.text}", notice.do, lifted_line(said) if said.lifted else ""]
        found.append((notice.code, said.step, " / ".join(filter(None, words))))
    return found + [("", "", line) for line in document.closing]


def _ends(span: Range) -> Row:
    return [span.low, span.likely, span.high]


def reagent_row(one: Reagent, step: Step, units: str) -> Row:
    """Something to weigh or pour, its figure rounded as it is to be measured out, in the unit of the row."""
    name = ", ".join(filter(None, (one.name, one.bottle, one.when)))
    in_all = any(other.counts and other.key == one.key for other in step.reagents)
    note = "" if one.counts else "part of the total, not on top of it" if in_all else "lifted out again, not used up"
    change = conversion(one.to_take, one.unit, one.name, units)
    if change is not None:
        out = measured(change.of(one.to_take), change.unit, rounding=one.rounding).value
        return ["reagent", name, *_ends(change.of_range(one.bare)), change.unit, one.sized_on, out, step.name, note]
    out = in_unit_of(one, measured(one.to_take, one.unit, rounding=one.rounding))
    return ["reagent", name, *_ends(one.bare), one.unit, one.sized_on, out, step.name, note]


def in_unit_of(one: Reagent, out: Measured) -> float:
    """The figure to measure out in the reagent's own unit, so that a row has one unit."""
    if out.unit == one.unit:
        return out.value
    return float(f"{out.value * SCALES[out.unit][1] / SCALES[one.unit][1]:.9g}")


def answer_row(one: Answer, step: str, units: str) -> Row:
    """A figure."""
    change = conversion(one.range.likely or one.range.high, one.unit, one.name, units)
    span, unit = (one.range, one.unit) if change is None else (change.of_range(one.range), change.unit)
    return ["answer", one.name, *_ends(span), unit, one.sized_on, "", step, one.because]


def tidy_rows(table: Table, step: str) -> list[Row]:
    """A table cell by cell, for a spreadsheet that holds pours too."""
    rows: list[Row] = []
    for row in table.rows:
        for column, cell in zip(table.columns[1:], row[1:], strict=True):
            name = f"{table.title}: {row[0] if isinstance(row[0], str) else middle(row[0])}, {column}"
            if isinstance(cell, str):
                rows.append(["table", name, *[""] * 6, step, cell])
            else:
                span = cell if isinstance(cell, Range) else Range.point(float(cell))
                rows.append(["table", name, *_ends(span), "", "", "", step, ""])
    return rows


def middle(cell: float | Range) -> str:
    """A figure that names a row."""
    return figure(cell.likely if isinstance(cell, Range) else float(cell))


def table_rows(main: Table, document: Document) -> list[Row]:
    """The table itself, a column with ranges in it as three, then what to wear and the cautions in a last column of their own."""
    ranged = [any(isinstance(row[at], Range) for row in main.rows) for at in range(len(main.columns))]
    head: Row = []
    for column, three in zip(main.columns, ranged, strict=True):
        head += [f"{column} {end}" for end in ("low", "likely", "high")] if three else [column]
    rows = [[*head, "note"]]
    for row in main.rows:
        cells: Row = []
        for cell, three in zip(row, ranged, strict=True):
            cells += _spread(cell) if three else [cell if isinstance(cell, str) else float(cell)]  # type: ignore[arg-type]
        rows.append([*cells, ""])
    blank: Row = [""] * len(head)
    notes = [("gear", line) for _, line in gear(document)] + [(code, words) for code, _, words in endings(document)]
    return rows + [[*blank, ": ".join(filter(None, (code, words)))] for code, words in notes]


def _spread(cell: str | float | Range) -> Row:
    if isinstance(cell, Range):
        return _ends(cell)
    return ["", cell, ""] if isinstance(cell, str) else [float(cell)] * 3
