"""What every report over the book is made of, and of which days it is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from refinekit.bench.step import Answer, Chart, Table
from refinekit.ranges import Range
from refinekit.record import record
from refinekit.shop.book.lots import Lot

Cell = str | float | Range
MOST_POINTS = 400
"""Points of a curve: more than a screen or a page has room for."""


@record
class Report:
    """A report.

    Args:
        tables: its tables, the main one first
        answers: figures of the whole
        charts: curves
        lines: (heading, line) pairs
    """

    tables: tuple[Table, ...]
    answers: tuple[Answer, ...] = ()
    charts: tuple[Chart, ...] = ()
    lines: tuple[tuple[str, str], ...] = ()


@record
class Span:
    """Days a report is of.

    Args:
        first: first day, "" for from the beginning
        last: last day, "" for up to now
        law: us, eu, uk or none
        element: metal of the report
        rows: lots a table shows at most, the last ones; None for all
    """

    first: str = ""
    last: str = ""
    law: str = "us"
    element: str = "Au"
    rows: int | None = None

    def holds(self, day: str) -> bool:
        """Whether a day is among them."""
        return (not self.first or day >= self.first) and (not self.last or day <= self.last)


def of_span(lots: Mapping[str, Lot], span: Span) -> list[Lot]:
    """Lots weighed in within the days, the oldest first."""
    return sorted((lot for lot in lots.values() if span.holds(lot.at)), key=lambda lot: lot.at)


def last_of(lots: Sequence[Lot], span: Span) -> Sequence[Lot]:
    """The lots a table shows: the last ones, where there are more than a person reads."""
    return lots if span.rows is None else lots[-span.rows :]


def left_out(lots: Sequence[Lot], span: Span) -> tuple[tuple[str, str], ...]:
    """What is said of the lots a table does not show."""
    if span.rows is None or len(lots) <= span.rows:
        return ()
    return (("older lots", f"the last {span.rows} of {len(lots)} are shown; --from and --to, or --csv, for the others"),)
