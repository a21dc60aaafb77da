"""A lot of the book, shown: what came in, what was done, what was found, and what it paid."""

from __future__ import annotations

from refinekit.bench.fields import METALS
from refinekit.bench.step import Answer, Table
from refinekit.errors import BadQuantity
from refinekit.ranges import Range
from refinekit.shop.book.lots import Lot, lot_of
from refinekit.shop.book.store import Book
from refinekit.show.document import Document

NAMES = {element: word for word, element in METALS.items()}


def lot_document(book: Book, number: str | None) -> Document:
    """A lot of the book. Raises: BadQuantity, UnknownName."""
    if not (number or "").strip():
        raise BadQuantity("which lot is not told", cure="refinekit report lot 12")
    lot = lot_of(book, str(number))
    answers = [Answer(f"{NAMES[element]}_expected", span, "g", because="as weighed in") for element, span in lot.expected.items()]
    answers += [
        Answer(f"{NAMES[element]}_found", Range.point(lot.found_g(element)), "g", because="fine, in all streams")
        for element in lot.found
    ]
    heads = (("came in", lot.at), ("source", lot.source), ("goods", lot.title or lot.goods), ("seller", lot.seller))
    lines = [(heading, line) for heading, line in heads if line]
    for element in lot.found:
        sigmas, verdict = lot.verdict(element)
        if sigmas is not None:
            lines.append(
                (
                    "account",
                    f"{NAMES[element]}: {verdict}, {sigmas:.3g} sigmas (refinekit account --lot {lot.number})",
                )
            )
    tables = [one for one in (_steps(lot), _streams(lot), _used(lot), _money(lot)) if one.rows]
    return Document.of(
        "report", title=f"lot {lot.number}", inputs={"lot": lot.number}, answers=answers, sections=tables, lines=lines
    )


def _steps(lot: Lot) -> Table:
    words = ("test", "colour", "note")
    rows = tuple((at, name, "; ".join(f"{key} {data[key]}" for key in words if data.get(key))) for at, name, data in lot.steps)
    return Table("What was done", ("day", "step", "seen"), rows)


def _streams(lot: Lot) -> Table:
    rows = tuple(
        (
            NAMES[element],
            stream,
            Range.point(grams),
            Range.point(100 * grams / lot.expected[element].likely) if element in lot.expected else "",
        )
        for element, streams in lot.found.items()
        for stream, grams in streams.items()
    )
    return Table("What was found", ("metal", "stream", "fine, g", "% of expected"), rows)


def _used(lot: Lot) -> Table:
    rows = tuple(
        (
            row["step"],
            row["name"],
            Range.point(row["used"]),
            Range.point(row["planned"]) if "planned" in row else "",
            row["unit"],
            row.get("bottle", ""),
        )
        for row in lot.used
        if row["key"] != "water"
    )
    return Table("What was used", ("step", "reagent", "used", "planned", "unit", "bottle"), rows)


def _money(lot: Lot) -> Table:
    figures = (("paid for the goods", lot.paid), ("other cost", lot.cost or None), ("sold", lot.sold or None))
    return Table("Money", ("what", "money"), tuple((what, Range.point(amount)) for what, amount in figures if amount is not None))
