"""Reports over the book: yields, losses, gold locked up, reagents, waste, money; each a table, with a curve where one tells."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from refinekit.bench.step import Answer, Chart, Table
from refinekit.ranges import Range, high, likely
from refinekit.shop.book.drums import drums_of, months_table
from refinekit.shop.book.left_over import METAL
from refinekit.shop.book.lots import Lot, lots_of_book
from refinekit.shop.book.stock import price_of
from refinekit.shop.book.store import Book
from refinekit.shop.book.vessels import vessels_of

Cell = str | float | Range
SPECK_G = 1e-6
"""Gold under which a vessel is said to hold none [g]."""
LAST = 3
"""Lots that are held against those before them, to see a reagent go stale."""
WORDS = {"Au": "gold", "Ag": "silver", "Pd": "palladium", "Pt": "platinum"}


@dataclass(frozen=True, slots=True)
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


@dataclass(frozen=True, slots=True)
class Span:
    """Days a report is of.

    Args:
        first: first day, "" for from the beginning
        last: last day, "" for up to now
        law: us, eu, uk or none
        element: metal of the report
    """

    first: str = ""
    last: str = ""
    law: str = "us"
    element: str = "Au"

    def holds(self, day: str) -> bool:
        """Whether a day is among them."""
        return (not self.first or day >= self.first) and (not self.last or day <= self.last)


def of_span(lots: Mapping[str, Lot], span: Span) -> list[Lot]:
    """Lots weighed in within the days, the oldest first."""
    return sorted((lot for lot in lots.values() if span.holds(lot.at)), key=lambda lot: lot.at)


# ---- yields
def yields(book: Book, span: Span) -> Report:
    """Yield by lot and by source."""
    lots = [
        lot for lot in of_span(lots_of_book(book, kinds=("lot", "yield")), span) if span.element in {**lot.expected, **lot.found}
    ]
    rows: list[tuple[Cell, ...]] = []
    for lot in lots:
        expected, found = lot.expected.get(span.element), lot.found_g(span.element)
        sigmas, verdict = lot.verdict(span.element)
        share: Cell = Range.point(100 * found / expected.likely) if expected and expected.likely and verdict else ""
        ends = (expected or "", Range.point(found) if span.element in lot.found else "", share)
        rows.append(
            (
                lot.number,
                lot.at,
                lot.source,
                lot.goods,
                Range.point(lot.weight_g),
                *ends,
                "" if sigmas is None else Range.point(sigmas),
                verdict,
            )
        )
    columns = ("lot", "day", "source", "goods", "weight in, g", "expected, g", "found, g", "% of expected", "sigmas", "verdict")
    answers = _totals(lots, span)
    return Report((Table("Yield by lot", columns, tuple(rows)), by_source(lots, span)), answers, _yield_chart(lots, span))


def _totals(lots: Sequence[Lot], span: Span) -> tuple[Answer, ...]:
    done = [lot for lot in lots if span.element in lot.found]
    expected = sum(lot.expected[span.element].likely for lot in done if span.element in lot.expected)
    found = sum(lot.found_g(span.element) for lot in done)
    answers = [Answer("lots", Range.point(len(lots)), "", because=f"{len(done)} of them weighed out")]
    answers.append(Answer("found", Range.point(found), "g", because="fine, in all streams"))
    if expected > 0:
        answers.append(Answer("accounted", Range.point(100 * found / expected), "%", because="of what those lots should hold"))
    return tuple(answers)


def by_source(lots: Iterable[Lot], span: Span) -> Table:
    """What each source's lots gave against what they should."""
    sums: dict[str, list[float]] = {}
    for lot in lots:
        if span.element in lot.found and span.element in lot.expected:
            row = sums.setdefault(lot.source or "not told", [0.0, 0.0, 0.0, 0.0])
            for at, more in enumerate((1.0, lot.expected[span.element].likely, lot.found_g(span.element), lot.weight_g)):
                row[at] += more
    rows = tuple(
        (
            source,
            *map(Range.point, (count, expected, found)),
            Range.point(100 * found / expected if expected else 0.0),
            _grade(found, weight),
        )
        for source, (count, expected, found, weight) in sorted(sums.items())
    )
    return Table("Yield by source", ("source", "lots", "expected, g", "found, g", "% of expected", "found, g/kg"), rows)


def _grade(found_g: float, weight_g: float) -> Cell:
    return Range.point(1000 * found_g / weight_g) if weight_g > 0 else ""


def _yield_chart(lots: Sequence[Lot], span: Span) -> tuple[Chart, ...]:
    """Expected and found, added up over the days."""
    days = [lot for lot in lots if span.element in lot.found]
    if not days:
        return ()
    start = date.fromisoformat(days[0].at)
    x = [float((date.fromisoformat(lot.at) - start).days) for lot in days]
    expected = _running(lot.expected[span.element].likely if span.element in lot.expected else 0.0 for lot in days)
    found = _running(lot.found_g(span.element) for lot in days)
    word = WORDS.get(span.element, span.element)
    finding = f"{found[-1]:.4g} g {word} found of {expected[-1]:.4g} g expected, over {len(days)} lots"
    series = {"expected": (tuple(x), tuple(expected)), "found": (tuple(x), tuple(found))}
    return (Chart(f"Fine {word}, added up", f"days since {days[0].at}", "g", series, finding),)


def _running(figures: Iterable[float]) -> list[float]:
    total, sums = 0.0, []
    for one in figures:
        total += one
        sums.append(total)
    return sums


# ---- losses
def losses(book: Book, span: Span) -> Report:
    """Where metal stayed, beside the bar."""
    lots = [lot for lot in of_span(lots_of_book(book, kinds=("lot", "yield")), span) if span.element in lot.found]
    expected = sum(lot.expected[span.element].likely for lot in lots if span.element in lot.expected)
    sums: dict[str, tuple[float, int]] = {}
    for lot in lots:
        for stream, grams in lot.found[span.element].items():
            if stream != "bar":
                total, count = sums.get(stream, (0.0, 0))
                sums[stream] = (total + grams, count + 1)
    rows = tuple(
        (stream, Range.point(grams), Range.point(100 * grams / expected) if expected > 0 else "", Range.point(count))
        for stream, (grams, count) in sorted(sums.items(), key=lambda pair: -pair[1][0])
    )
    missing = expected - sum(lot.found_g(span.element) for lot in lots)
    table = Table("Losses by stream", ("stream", "fine, g", "% of expected", "lots"), rows)
    answers = (
        Answer(
            "in_streams",
            Range.point(sum(grams for grams, _ in sums.values())),
            "g",
            because="told, beside the bars: most of it can be had back",
        ),
        Answer("not_found", Range.point(missing), "g", because="expected less all that was found"),
    )
    return Report((table,), answers if lots else ())


# ---- locked up
def locked_up(book: Book, span: Span) -> Report:
    """Metal in every vessel that is no bar, as the events have it."""
    held = vessels_of(book).vessels
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


# ---- reagents
def reagents(book: Book, span: Span) -> Report:
    """What each reagent took against its bare need, and to the gram of metal found."""
    lots = of_span(lots_of_book(book, kinds=("lot", "step", "yield")), span)
    rows: list[tuple[Cell, ...]] = []
    found = sum(lot.found_g(span.element) for lot in lots)
    keys = dict.fromkeys(str(row["key"]) for lot in lots for row in lot.used if row["key"] != "water")
    for key in keys:
        uses = [(lot, row) for lot in lots for row in lot.used if row["key"] == key]
        used, bare = sum(row["used"] for _, row in uses), sum(_bare(row) for _, row in uses)
        before, after = _drift([(row["used"], _bare(row)) for _, row in uses])
        per: Cell = Range.point(1000 * used / found) if found > 0 else ""
        unit = {"L": "mL", "g": "mg"}[str(uses[0][1]["unit"])]
        note = _stale(key, before, after)
        rows.append(
            (
                key,
                Range.point(used),
                uses[0][1]["unit"],
                *_times(used, bare),
                per,
                f"{unit} to the gram",
                *_both(before, after),
                note,
            )
        )
    columns = (
        "reagent",
        "used",
        "unit",
        "bare need",
        "times bare",
        "to a gram",
        "in",
        "times before",
        f"times, last {LAST}",
        "note",
    )
    return Report((Table("Reagents against theory", columns, tuple(rows)),), (), _reagent_chart(lots))


def _bare(row: Mapping[str, object]) -> float:
    bare = row.get("bare")
    return float(bare[0]) if isinstance(bare, list) else 0.0


def _times(used: float, bare: float) -> tuple[Cell, Cell]:
    return (Range.point(bare), Range.point(used / bare)) if bare > 0 else ("", "")


def _drift(uses: Sequence[tuple[float, float]]) -> tuple[float | None, float | None]:
    """Times the bare need, before the last lots and over them."""

    def times(some: Sequence[tuple[float, float]]) -> float | None:
        bare = sum(need for _, need in some)
        return sum(used for used, _ in some) / bare if bare > 0 else None

    return times(uses[:-LAST]), times(uses[-LAST:]) if len(uses) > LAST else None


def _both(before: float | None, after: float | None) -> tuple[Cell, Cell]:
    first, second = (Range.point(one) if one is not None else "" for one in (before, after))
    return first, second


def _stale(key: str, before: float | None, after: float | None) -> str:
    from refinekit.facts.load import fact

    if before is None or after is None or after <= before * fact("practice/book.stale").value:
        return ""
    if key in ("smb", "copperas", "oxalic"):
        return "takes more than it did: leftover nitric, or it has gone stale"
    return "takes more than it did"


def _reagent_chart(lots: Sequence[Lot]) -> tuple[Chart, ...]:
    """Times the bare need of the reductant, lot by lot."""
    series = {}
    for key in ("smb", "nitric"):
        points = [
            (float(number), row["used"] / _bare(row))
            for number, lot in enumerate(lots, start=1)
            for row in lot.used
            if row["key"] == key and _bare(row) > 0
        ]
        if len(points) > 1:
            series[key] = (tuple(at for at, _ in points), tuple(times for _, times in points))
    if not series:
        return ()
    finding = "; ".join(f"{key}: {ys[0]:.2g} times bare at first, {ys[-1]:.2g} at last" for key, (_, ys) in series.items())
    return (Chart("Times the bare need, lot by lot", "lot, in order", "times bare", series, finding),)


# ---- waste, and money
def waste(book: Book, span: Span) -> Report:
    """Waste of each month against the line."""
    drums = drums_of(book)
    table = months_table(drums.values(), span.law)
    rows = tuple(row for row in table.rows if span.holds(f"{row[0]}-15") or span.holds(f"{row[0]}-01"))
    chart: tuple[Chart, ...] = ()
    if len(rows) > 1:
        kg = tuple(likely_of(row[1]) for row in rows)
        x = tuple(float(number) for number in range(1, len(rows) + 1))
        finding = f"most in {rows[kg.index(max(kg))][0]}: {max(kg):.3g} kg"
        chart = (Chart("Waste by month", f"months from {rows[0][0]}", "kg", {"waste": (x, kg)}, finding),)
    total = sum(likely_of(row[1]) for row in rows)
    return Report(
        (Table(table.title, table.columns, rows),), (Answer("waste", Range.point(total), "kg", because="put into drums"),), chart
    )


def likely_of(cell: Cell) -> float:
    """The likely figure of a cell that is one."""
    return cell.likely if isinstance(cell, Range) else float(cell)


def cost(book: Book, span: Span) -> Report:
    """Money by lot: goods, reagents, all else, what the metal paid, and what is left."""
    prices = price_of(book)
    lots = of_span(lots_of_book(book), span)
    rows: list[tuple[Cell, ...]] = []
    totals = [0.0] * 5
    for lot in lots:
        goods, other = lot.paid or 0.0, lot.cost
        spent = sum(row["used"] * prices[row["key"]] for row in lot.used if row["key"] in prices)
        left = lot.sold - goods - spent - other
        figures = (goods, spent, other, lot.sold, left)
        totals = [total + more for total, more in zip(totals, figures, strict=True)]
        found = lot.found_g(span.element)
        rows.append(
            (lot.number, lot.at, *map(Range.point, figures), Range.point((goods + spent + other) / found) if found > 0 else "")
        )
    columns = ("lot", "day", "goods", "reagents", "other", "sold", "margin", "cost of a gram")
    shared = sum(
        one.entry.data.get("out", 0.0) for one in book.read("e.kind = 'money' AND e.about = ''") if span.holds(one.entry.at)
    )
    names = ("goods", "reagents", "other", "sold", "margin")
    answers = [Answer(name, Range.point(total), "money") for name, total in zip(names, totals, strict=True)]
    if shared:
        answers.append(Answer("shared", Range.point(shared), "money", because="money out that is of no lot"))
        answers.append(Answer("margin_after_shared", Range.point(totals[-1] - shared), "money"))
    lines = [("prices", "last paid, from the shelf; a reagent without a price counts nothing")]
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
