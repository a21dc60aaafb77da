"""A year on one page: what came in, what came out, what is locked up, what it took, what it left, what it paid."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from refinekit.bench.step import Answer, Chart, Table
from refinekit.ranges import Range
from refinekit.shop.book.drums import drums_of
from refinekit.shop.book.lots import Lot, lots_of_book, verdicts_of
from refinekit.shop.book.report import Cell, Report, Span, of_span
from refinekit.shop.book.report_reagents import reagents_of
from refinekit.shop.book.reports import (
    MONEY,
    accounted,
    by_source,
    cost_of,
    likely_of,
    locked_up,
    losses_of,
    month_by_month,
    shared,
)
from refinekit.shop.book.stock import price_of
from refinekit.shop.book.store import Book

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def year_page(book: Book, year: str, span: Span) -> Report:
    """A year on one page.

    Args:
        book: the open book
        year: as 2026
        span: its law and metal
    """
    own = Span(f"{year}-01-01", f"{year}-12-31", span.law, span.element)
    lots = of_span(lots_of_book(book, kinds=MONEY, since=own.first), own)
    kilograms = _waste(book, year)
    months = _months(lots, kilograms, own)
    money, locked, took = cost_of(lots, price_of(book), shared(book, own), own), locked_up(book, own), reagents_of(lots, own)
    found = sum(lot.found_g(own.element) for lot in lots)
    answers = [
        Answer("lots", Range.point(len(lots)), "", because=f"weighed in, {sum(lot.weight_g for lot in lots) / 1000:.3g} kg"),
        Answer("found", Range.point(found), "g", because="fine, in all streams"),
        *accounted(lots, own),
        *locked.answers,
        Answer("waste", Range.point(sum(kilograms.values())), "kg", because="put into drums"),
        *(one for one in money.answers if one.name in ("sold", "margin", "margin_after_shared")),
    ]
    said = zip(lots, verdicts_of(lots, own.element), strict=True)
    lines = [("look again at", f"lot {lot.number} of {lot.at}: {word}") for lot, (_, word) in said if word in ("short", "over")]
    tables = (months, by_source(lots, own), *losses_of(lots, own).tables, *locked.tables, _brief(took.tables[0]))
    return Report(tuple(one for one in tables if one.rows), tuple(answers), _chart(months, year), tuple(lines))


def _brief(table: Table) -> Table:
    """The reagents in a few columns, to fit the page."""
    keep = (0, 1, 2, 4, 9)
    return Table(table.title, tuple(table.columns[at] for at in keep), tuple(tuple(row[at] for at in keep) for row in table.rows))


def _waste(book: Book, year: str) -> dict[str, float]:
    months: dict[str, float] = {}
    for drum in drums_of(book, contents=False).values():
        for month, kg in drum.by_month.items():
            if month.startswith(year):
                months[month] = months.get(month, 0.0) + kg
    return months


def _months(lots: Sequence[Lot], waste: dict[str, float], span: Span) -> Table:
    rows: list[tuple[Cell, ...]] = []
    year = span.first[:4]
    for number, word in enumerate(MONTHS, start=1):
        month = f"{year}-{number:02d}"
        own = [lot for lot in lots if lot.at.startswith(month)]
        if not own and month not in waste:
            continue
        figures: list[Any] = [
            len(own),
            sum(lot.weight_g for lot in own) / 1000,
            sum(lot.should_g(span.element) for lot in own),
            sum(lot.found_g(span.element) for lot in own),
            waste.get(month, 0.0),
            sum(lot.sold for lot in own),
        ]
        rows.append((word, *map(float, figures)))
    return Table(
        f"{year} by month", ("month", "lots", "weight in, kg", "expected, g", "found, g", "waste, kg", "sold"), tuple(rows)
    )


def _chart(months: Table, year: str) -> tuple[Chart, ...]:
    """Fine metal found month by month."""
    grams = {MONTHS.index(str(row[0])) + 1: likely_of(row[4]) for row in months.rows}
    if len(grams) < 2:
        return ()
    best = max(grams, key=lambda number: grams[number])
    finding = f"most in {MONTHS[best - 1]}: {grams[best]:.3g} g"
    return (Chart(f"Fine metal found, {year}", "month of the year", "g", {"found": month_by_month(grams)}, finding),)
