"""Reports over the book: yields, losses, gold locked up, reagents, waste, money; each a table, with a curve where one tells."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import date

from refinekit.bench.step import Answer, Chart, Table
from refinekit.ranges import Range, high, likely
from refinekit.shop.book.drums import drums_of, months_table
from refinekit.shop.book.left_over import METAL
from refinekit.shop.book.lots import Lot, lots_of_book, span_of, verdicts_of
from refinekit.shop.book.report import MOST_POINTS, Cell, Report, Span, last_of, left_out, of_span
from refinekit.shop.book.report_reagents import reagents
from refinekit.shop.book.stock import price_of
from refinekit.shop.book.store import Book
from refinekit.shop.book.vessels import vessels_of

SPECK_G = 1e-6
"""Gold under which a vessel is said to hold none [g]."""
MONEY = ("lot", "step", "yield", "money")
"""Events money hangs on."""
WORDS = {"Au": "gold", "Ag": "silver", "Pd": "palladium", "Pt": "platinum"}


# ---- yields
def yields(book: Book, span: Span) -> Report:
    """Yield by lot and by source."""
    every = of_span(lots_of_book(book, kinds=("lot", "yield"), since=span.first), span)
    lots = [lot for lot in every if span.element in lot.metals_g or span.element in lot.found]
    rows: list[tuple[Cell, ...]] = []
    kept = last_of(lots, span)
    for lot, (sigmas, verdict) in zip(kept, verdicts_of(kept, span.element), strict=True):
        should, found = lot.should_g(span.element), lot.found_g(span.element)
        ends: tuple[Cell, ...] = (
            span_of(lot.metals_g[span.element]) if span.element in lot.metals_g else "",
            found if span.element in lot.found else "",
            100 * found / should if verdict else "",
            "" if sigmas is None else sigmas,
        )
        rows.append((lot.number, lot.at, lot.source, lot.goods, lot.weight_g, *ends, verdict))
    columns = ("lot", "day", "source", "goods", "weight in, g", "expected, g", "found, g", "% of expected", "sigmas", "verdict")
    tables = (Table("Yield by lot", columns, tuple(rows)), by_source(lots, span))
    return Report(tables, _totals(lots, span), _yield_chart(lots, span), left_out(lots, span))


def _totals(lots: Sequence[Lot], span: Span) -> tuple[Answer, ...]:
    done = [lot for lot in lots if span.element in lot.found]
    found = sum(lot.found_g(span.element) for lot in done)
    answers = [Answer("lots", Range.point(len(lots)), "", because=f"{len(done)} of them weighed out")]
    answers.append(Answer("found", Range.point(found), "g", because="fine, in all streams"))
    return (*answers, *accounted(done, span))


def accounted(lots: Sequence[Lot], span: Span) -> tuple[Answer, ...]:
    """Share found of what lots weighed out should hold; a lot nobody told the metal of is left out of both."""
    told = [lot for lot in lots if span.element in lot.found and lot.should_g(span.element) > 0]
    if not told:
        return ()
    share = sum(lot.found_g(span.element) for lot in told) / sum(lot.should_g(span.element) for lot in told)
    return (Answer("accounted", Range.point(100 * share), "%", because=f"of what {_lots(told)} with a plan should hold"),)


def _lots(lots: Sequence[Lot]) -> str:
    return "the one lot" if len(lots) == 1 else f"the {len(lots)} lots"


def by_source(lots: Iterable[Lot], span: Span) -> Table:
    """What each source's lots gave against what they should."""
    sums: dict[str, list[float]] = {}
    for lot in lots:
        if span.element in lot.found and span.element in lot.metals_g:
            row = sums.setdefault(lot.source or "not told", [0.0, 0.0, 0.0, 0.0])
            for at, more in enumerate((1.0, lot.should_g(span.element), lot.found_g(span.element), lot.weight_g)):
                row[at] += more
    rows: list[tuple[Cell, ...]] = [
        (source, count, should, found, 100 * found / should if should else 0.0, 1000 * found / weight if weight > 0 else "")
        for source, (count, should, found, weight) in sorted(sums.items())
    ]
    return Table("Yield by source", ("source", "lots", "expected, g", "found, g", "% of expected", "found, g/kg"), tuple(rows))


def _yield_chart(lots: Sequence[Lot], span: Span) -> tuple[Chart, ...]:
    """Expected and found, added up over the days: a point a day."""
    days: dict[str, list[float]] = {}
    should = found = 0.0
    for lot in lots:
        if span.element in lot.found:
            should, found = should + lot.should_g(span.element), found + lot.found_g(span.element)
            days[lot.at] = [should, found]
    if not days:
        return ()
    first = date.fromisoformat(next(iter(days)))
    shown = list(days.items())[:: max(1, len(days) // MOST_POINTS)]
    x = tuple(float((date.fromisoformat(at) - first).days) for at, _ in shown)
    word = WORDS.get(span.element, span.element)
    finding = f"{found:.4g} g {word} found of {should:.4g} g expected"
    series = {name: (x, tuple(sums[at] for _, sums in shown)) for at, name in enumerate(("expected", "found"))}
    return (Chart(f"Fine {word}, added up", f"days since {first}", "g", series, finding),)


# ---- losses
def losses(book: Book, span: Span) -> Report:
    """Where metal stayed, beside the bar."""
    return losses_of(of_span(lots_of_book(book, kinds=("lot", "yield"), since=span.first), span), span)


def losses_of(every: Iterable[Lot], span: Span) -> Report:
    """The same, of lots that were read before."""
    lots = [lot for lot in every if span.element in lot.found]
    told = [lot for lot in lots if lot.should_g(span.element) > 0]
    should = sum(lot.should_g(span.element) for lot in told)
    sums, of_told = _by_stream(lots, span), _by_stream(told, span)
    rows: list[tuple[Cell, ...]] = [
        (stream, grams, 100 * of_told[stream][0] / should if stream in of_told else "", count)
        for stream, (grams, count) in sorted(sums.items(), key=lambda pair: -pair[1][0])
    ]
    table = Table("Losses by stream", ("stream", "fine, g", "% of expected", "lots"), tuple(rows))
    in_streams = sum(grams for grams, _ in sums.values())
    answers = [Answer("in_streams", Range.point(in_streams), "g", because="told, beside the bars: most of it can be had back")]
    if told:
        missing = should - sum(lot.found_g(span.element) for lot in told)
        because = f"expected of {_lots(told)} with a plan, less all that was found"
        answers.append(Answer("not_found", Range.point(missing), "g", because=because))
    return Report((table,), tuple(answers) if lots else ())


def _by_stream(lots: Sequence[Lot], span: Span) -> dict[str, tuple[float, float]]:
    """Grams of each stream that is no bar, and in how many lots."""
    sums: dict[str, tuple[float, float]] = {}
    for lot in lots:
        for stream, grams in lot.found[span.element].items():
            if stream != "bar":
                total, count = sums.get(stream, (0.0, 0.0))
                sums[stream] = (total + grams, count + 1)
    return sums


# ---- locked up
def locked_up(book: Book, span: Span) -> Report:
    """Metal in every vessel that is no bar, as the events have it."""
    held = vessels_of(book, only=span.element).vessels
    rows = []
    total = 0.0
    for name, one in held.items():
        grams = one.element_g(span.element)
        if high(grams) <= SPECK_G or name.partition(": ")[2].startswith(METAL):
            continue
        total += max(likely(grams), 0.0)
        liquid = likely(one.pot().element_g(span.element, solid=False))
        strength: Cell = Range.point(1000 * liquid / likely(one.l)) if liquid > SPECK_G else ""
        rows.append((name, _span(grams), strength, one.last, _how(liquid, likely(grams))))
    rows.sort(key=lambda row: -row[1].likely)
    word = WORDS.get(span.element, span.element)
    table = Table(f"{word.capitalize()} locked up", ("vessel", f"{word}, g", "mg/L", "last touched", "how"), tuple(rows))
    return Report((table,), (Answer(f"{word}_locked_up", Range.point(total), "g", because="in all vessels that are no bar"),))


def _span(grams: object) -> Range:
    import numpy as np

    return Range.over(np.maximum(grams, 0.0))  # type: ignore[call-overload]


def _how(liquid_g: float, all_g: float) -> str:
    if liquid_g > all_g / 2:
        return "in the liquor: cement it on copper before it goes"
    return "as metal in what is dry: with the year's to burn or leach"


# ---- waste, and money
def waste(book: Book, span: Span) -> Report:
    """Waste of each month against the line."""
    drums = drums_of(book, contents=False)
    table = months_table(drums.values(), span.law)
    rows = tuple(row for row in table.rows if span.holds(f"{row[0]}-15") or span.holds(f"{row[0]}-01"))
    chart: tuple[Chart, ...] = ()
    if len(rows) > 1:
        kg = {_months_since(str(rows[0][0]), str(row[0])): likely_of(row[1]) for row in rows}
        most = max(rows, key=lambda row: likely_of(row[1]))
        finding = f"most in {most[0]}: {likely_of(most[1]):.3g} kg"
        chart = (Chart("Waste by month", f"months, 1 is {rows[0][0]}", "kg", {"waste": month_by_month(kg)}, finding),)
    total = sum(likely_of(row[1]) for row in rows)
    return Report(
        (Table(table.title, table.columns, rows),), (Answer("waste", Range.point(total), "kg", because="put into drums"),), chart
    )


def _months_since(first: str, month: str) -> int:
    """Which month this is, counted from the first as 1; both as 2026-03."""
    (year, number), (begun, begun_number) = (map(int, one.split("-")) for one in (month, first))
    return 12 * (year - begun) + number - begun_number + 1


def month_by_month(of_month: Mapping[int, float]) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """A step a month, at nothing where a month has none: a slope from one month to another would draw what was not there."""
    numbers = range(min(of_month), max(of_month) + 1)
    x = tuple(number + side for number in numbers for side in (-0.5, 0.5))
    return x, tuple(of_month.get(number, 0.0) for number in numbers for _ in range(2))


def likely_of(cell: Cell) -> float:
    """The likely figure of a cell that is one."""
    return cell.likely if isinstance(cell, Range) else float(cell)


def cost(book: Book, span: Span) -> Report:
    """Money by lot: goods, reagents, all else, what the metal paid, and what is left."""
    every = lots_of_book(book, kinds=MONEY, since=span.first)
    return cost_of(of_span(every, span), price_of(book), shared(book, span), span)


def shared(book: Book, span: Span) -> float:
    """Money out that is of no lot."""
    rows = book.rows("e.kind = 'money' AND e.about = ''")
    return float(sum(data.get("out", 0.0) for at, _, _, data in rows if span.holds(at)))


def cost_of(lots: Sequence[Lot], prices: Mapping[str, float], of_no_lot: float, span: Span) -> Report:
    """The same, of lots that were read before."""
    rows: list[tuple[Cell, ...]] = []
    totals = [0.0] * 5
    for lot in lots:
        goods, other = lot.paid or 0.0, lot.cost
        spent = sum(row["used"] * prices[row["key"]] for row in lot.used if row["key"] in prices)
        figures = (goods, spent, other, lot.sold, lot.sold - goods - spent - other)
        totals = [total + more for total, more in zip(totals, figures, strict=True)]
        found = lot.found_g(span.element)
        rows.append((lot.number, lot.at, *figures, (goods + spent + other) / found if found > 0 else ""))
    if span.rows is not None:
        rows = rows[-span.rows :]
    columns = ("lot", "day", "goods", "reagents", "other", "sold", "margin", "cost of a gram")
    names = ("goods", "reagents", "other", "sold", "margin")
    answers = [Answer(name, Range.point(total), "money") for name, total in zip(names, totals, strict=True)]
    if of_no_lot:
        answers.append(Answer("shared", Range.point(of_no_lot), "money", because="money out that is of no lot"))
        answers.append(Answer("margin_after_shared", Range.point(totals[-1] - of_no_lot), "money"))
    lines = [("prices", "last paid, from the shelf; a reagent without a price counts nothing"), *left_out(lots, span)]
    return Report((Table("Cost and margin by lot", columns, tuple(rows)),), tuple(answers), (), tuple(lines))


REPORTS: Mapping[str, Callable[[Book, Span], Report]] = {
    "yields": yields,
    "losses": losses,
    "gold": locked_up,
    "reagents": reagents,
    "waste": waste,
    "cost": cost,
}
"""Reports by their word."""
