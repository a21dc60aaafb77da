"""The report of reagents: what each took against its bare need, and whether it takes more than it did."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from refinekit.bench.step import Chart, Table
from refinekit.shop.book.lots import Lot, lots_of_book
from refinekit.shop.book.report import MOST_POINTS, Cell, Report, Span, of_span
from refinekit.shop.book.store import Book

LAST = 3
"""Lots that are held against those before them, to see a reagent go stale."""


def reagents(book: Book, span: Span) -> Report:
    """What each reagent took against its bare need, and to the gram of metal found."""
    return reagents_of(of_span(lots_of_book(book, kinds=("lot", "step", "yield"), since=span.first), span), span)


def reagents_of(lots: Sequence[Lot], span: Span) -> Report:
    """The same, of lots that were read before."""
    found = sum(lot.found_g(span.element) for lot in lots)
    uses: dict[str, list[tuple[float, float]]] = {}
    units: dict[str, str] = {}
    for lot in lots:
        for row in lot.used:
            if row["key"] != "water":
                uses.setdefault(row["key"], []).append((row["used"], _bare(row)))
                units[row["key"]] = row["unit"]
    rows: list[tuple[Cell, ...]] = []
    for key, pairs in uses.items():
        used, bare = sum(one for one, _ in pairs), sum(need for _, need in pairs)
        before, after = _drift(pairs)
        small = {"L": "mL", "g": "mg"}[units[key]]
        per: Cell = 1000 * used / found if found > 0 else ""
        head: tuple[Cell, ...] = (
            reagent_called(key),
            used,
            units[key],
            bare if bare > 0 else "",
            used / bare if bare > 0 else "",
        )
        rows.append((*head, per, f"{small} to the gram", _or_blank(before), _or_blank(after), _stale(key, before, after)))
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
    return Report((Table("Reagents against theory", columns, tuple(rows)),), (), _reagent_chart(uses))


def reagent_called(key: str) -> str:
    """A reagent by its name on the bottle; a key nobody knows as it stands."""
    from refinekit.facts.load import table

    return next((str(row["name"]) for row in table("reagents")["reagent"] if row["key"] == key), key)


def _bare(row: Mapping[str, Any]) -> float:
    bare = row.get("bare")
    return float(bare[0]) if isinstance(bare, list) else 0.0


def _or_blank(figure: float | None) -> Cell:
    return "" if figure is None else figure


def _drift(uses: Sequence[tuple[float, float]]) -> tuple[float | None, float | None]:
    """Times the bare need, before the last lots and over them."""

    def times(some: Sequence[tuple[float, float]]) -> float | None:
        bare = sum(need for _, need in some)
        return sum(used for used, _ in some) / bare if bare > 0 else None

    return times(uses[:-LAST]), times(uses[-LAST:]) if len(uses) > LAST else None


def _stale(key: str, before: float | None, after: float | None) -> str:
    from refinekit.facts.load import fact

    if before is None or after is None or after <= before * fact("practice/book.stale").value:
        return ""
    if key in ("smb", "copperas", "oxalic"):
        return "takes more than it did: leftover nitric, or it has gone stale"
    return "takes more than it did"


def _reagent_chart(uses: Mapping[str, Sequence[tuple[float, float]]]) -> tuple[Chart, ...]:
    """Times the bare need of reductant and nitric, use by use."""
    series = {}
    for key in ("smb", "nitric"):
        times = [used / bare for used, bare in uses.get(key, ()) if bare > 0][-MOST_POINTS:]
        if len(times) > 1:
            series[key] = (tuple(float(number) for number in range(1, len(times) + 1)), tuple(times))
    if not series:
        return ()
    series = {reagent_called(key): curve for key, curve in series.items()}
    finding = "; ".join(f"{key}: {ys[0]:.2g} times bare at first, {ys[-1]:.2g} at last" for key, (_, ys) in series.items())
    return (Chart("Times the bare need, use by use", "use, in order", "times bare", series, finding),)
