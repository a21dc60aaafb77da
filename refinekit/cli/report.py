"""`refinekit report`: what the book says over lots, months and years."""

from __future__ import annotations

from typing import Annotated

import typer

from refinekit.bench.step import Step
from refinekit.cli.desk import desk_of_look
from refinekit.cli.options import BookFile, Chart, Csv, Force, Json, Law, Text, Units, Working, typed
from refinekit.cli.papers import write_charts
from refinekit.errors import BadQuantity, UnknownName
from refinekit.nearest import did_you_mean
from refinekit.show.document import Document

MOST_ROWS = 200
"""Lots listed where no days were asked for; a CSV has them all."""
WORDS = ("yields", "losses", "gold", "reagents", "waste", "cost", "factors", "year", "lot")


def run(
    what: Annotated[str, typer.Argument(help=", ".join(WORDS), metavar="WHAT")] = "year",
    which: Annotated[str | None, typer.Argument(help="a year; for lot, its number", metavar="YEAR", show_default=False)] = None,
    first: Annotated[Text, typed("from", "first day, as 2026-01-01", "DAY")] = None,
    last: Annotated[Text, typed("to", "last day", "DAY")] = None,
    metal: Annotated[str, typer.Option("--metal", help="gold, silver, palladium or platinum", metavar="METAL")] = "gold",
    law: Law = "us",
    chart: Chart = None,
    force: Force = False,
    book: BookFile = None,
    json: Json = False,
    csv: Csv = False,
    show_working: Working = False,
    units: Units = None,
) -> int:
    """What the book says: yields, losses, gold locked up, reagents against theory, waste, cost, a year on one page.

    Example: refinekit report year 2026
    """
    from refinekit.bench.fields import METALS
    from refinekit.shop.book.opening import open_book
    from refinekit.shop.book.report import Span
    from refinekit.shop.book.reports import REPORTS
    from refinekit.shop.book.year import year_page

    desk = desk_of_look("report", json=json, csv=csv, working=show_working, units=units)
    if what not in WORDS:
        raise UnknownName(f"there is no report {what[:40]!r}", cure=did_you_mean(what, WORDS))
    if metal not in METALS:
        raise BadQuantity(f"--metal {metal[:40]!r} is no metal of an account", cure=did_you_mean(metal, METALS))
    start, end = days_of(what, which, first, last)
    with open_book(book) as opened:
        if what == "lot":
            from refinekit.cli.lot_answers import lot_document

            return desk.show(lot_document(opened, which))
        if what == "factors":
            from refinekit.shop.book.factors import factors_of, factors_table

            lines = [("used by", "refinekit plan FILE --shop-factors, and never unless that is asked for")]
            return desk.show(Document.of("report", title=what, sections=(factors_table(factors_of(opened)),), lines=lines))
        span = Span(start, end, law, METALS[metal], MOST_ROWS if desk.look != "csv" and not (start or end) else None)
        report = year_page(opened, start[:4], span) if what == "year" else REPORTS[what](opened, span)
    step = Step(
        what,
        answers=report.answers,
        tables=tuple(one for one in report.tables if one.rows),
        charts=report.charts,
        says=report.lines,
    )
    if not step.tables:
        step = Step(what, says=(("nothing", "the book has no event for this yet"),))
    document = Document.of("report", (step,), title=" ".join(filter(None, (what, which or ""))), inputs={"report": what})
    if chart is not None:
        write_charts(document, chart, force=force, units=desk.units)
    return desk.show(document)


def days_of(what: str, which: str | None, first: str | None, last: str | None) -> tuple[str, str]:
    """First and last day asked for. Raises: BadQuantity."""
    from datetime import date

    from refinekit.shop.book.entry import day

    if what == "lot":
        return "", ""
    if which is not None or what == "year":
        year = which or str(date.today().year)
        if not (year.isdecimal() and len(year) == 4):
            raise BadQuantity(f"{year[:40]!r} is no year", cure=f"refinekit report {what} {date.today().year}")
        return f"{year}-01-01", f"{year}-12-31"
    return (day(first) if first else ""), (day(last) if last else "")
