"""Reports over the book, against sums done by hand; a lot's account from its events."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from refinekit.errors import UnknownName
from refinekit.ranges import Range
from refinekit.shop.book.entry import Entry
from refinekit.shop.book.lots import account_texts, lot_of
from refinekit.shop.book.opening import open_book
from refinekit.shop.book.report import Report, Span
from refinekit.shop.book.reports import REPORTS
from refinekit.shop.book.store import Book
from refinekit.shop.book.year import year_page

ALL = Span()


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Book]:
    with open_book(str(tmp_path / "book.sqlite"), write=True) as opened:
        opened.add(SHOP)
        yield opened


def lot(number: str, at: str, source: str, gold: list[float], weight: float, paid: float) -> Entry:
    data = {
        "did": "tabs",
        "source": source,
        "goods": "tabs",
        "weight_g": weight,
        "metals_g": {"Au": gold, "Cu": 50.0},
        "paid": paid,
    }
    return Entry("lot", number, at, data)


def found(number: str, at: str, stream: str, grams: float, fineness: float | None = None) -> Entry:
    data: dict[str, Any] = {"stream": stream, "metal": "gold", "grams": grams, "fine_g": grams * (fineness or 1.0)}
    return Entry("yield", number, at, {**data, **({"fineness": fineness} if fineness else {})})


def used(number: str, at: str, key: str, amount: float, bare: float, unit: str = "g") -> Entry:
    row = {"key": key, "name": key, "used": amount, "planned": bare, "bare": [bare, bare, bare], "unit": unit}
    return Entry("step", number, at, {"step": "drop", "verb": "drop", "used": [row]})


def drum(at: str, kg: float) -> Entry:
    return Entry("drum", "drum 1", at, {"did": "put in liquor", "what": "liquor", "kg": kg, "by_name": True})


def money(number: str, at: str, **sums: float) -> Entry:
    return Entry("money", number, at, {"did": "money", **sums})


SHOP = [
    Entry("stock", "smb", "2026-01-01", {"did": "bought", "amount": 1000.0, "unit": "g", "paid": 20.0}),
    lot("1", "2026-01-10", "A", [2.0, 1.0, 3.0], 400.0, 50.0),
    used("1", "2026-01-11", "smb", 2.0, 2.0),
    found("1", "2026-01-12", "bar", 1.9, 0.998),
    found("1", "2026-01-12", "filters", 0.05),
    money("1", "2026-01-13", **{"in": 120.0}),
    lot("2", "2026-02-10", "B", [3.0, 2.8, 3.2], 500.0, 90.0),
    used("2", "2026-02-11", "smb", 3.0, 3.0),
    found("2", "2026-02-12", "bar", 2.0, 0.99),
    money("2", "2026-02-13", **{"in": 130.0}),
    money("2", "2026-02-14", out=15.0),
    drum("2026-02-14", 60.0),
    lot("3", "2026-03-10", "A", [1.0, 0.5, 1.5], 200.0, 20.0),
    used("3", "2026-03-11", "smb", 2.0, 1.0),
    found("3", "2026-03-12", "bar", 1.1, 1.0),
    lot("4", "2026-03-20", "A", [1.0, 0.5, 1.5], 200.0, 20.0),
    used("4", "2026-03-21", "smb", 2.0, 1.0),
    lot("5", "2027-03-20", "A", [1.0, 0.5, 1.5], 200.0, 20.0),
    used("5", "2027-03-21", "smb", 2.0, 1.0),
    drum("2026-03-14", 150.0),
    money("", "2026-03-15", out=40.0),
    Entry("vessel", "stock pot", "2026-03-15", {"did": "filled"}, ops=[{"v": "stock pot", "l": 2.0, "mol": {"AuCl4^-": 0.0005}}]),
    Entry("vessel", "12: button", "2026-03-15", {"did": "filled"}, ops=[{"v": "12: button", "solid": {"Au": 0.01}}]),
]


def report(book: Book, word: str, span: Span = ALL) -> Report:
    return REPORTS[word](book, span)


def row(report: Report, first: str, at: int = 0) -> dict[str, Any]:
    table = report.tables[at]
    cells = next(row for row in table.rows if row[0] == first)
    return {name: cell.likely if isinstance(cell, Range) else cell for name, cell in zip(table.columns, cells, strict=True)}


def test_yield_by_lot_and_source(book: Book) -> None:
    said = report(book, "yields")
    first = row(said, "1")
    assert first["found, g"] == pytest.approx(1.9 * 0.998 + 0.05)
    assert first["% of expected"] == pytest.approx(100 * (1.9 * 0.998 + 0.05) / 2.0)
    # a triangle from 1 to 3 about 2 has a standard error of 1 / sqrt(6); 2 - 1.9462 is well within it
    assert first["sigmas"] == pytest.approx((2.0 - 1.9462) * 6**0.5, rel=1e-6)
    assert first["verdict"] == "balanced"
    assert row(said, "2")["verdict"] == "short"
    assert row(said, "4")["verdict"] == ""
    source = row(said, "A", 1)
    assert (source["lots"], source["expected, g"]) == (2.0, 3.0)
    assert source["found, g"] == pytest.approx(1.9462 + 1.1)
    assert source["found, g/kg"] == pytest.approx((1.9462 + 1.1) / 0.6)
    (chart,) = said.charts
    assert chart.series["expected"][1] == (2.0, 5.0, 6.0)


def test_losses_by_stream(book: Book) -> None:
    said = report(book, "losses")
    filters = row(said, "filters")
    assert filters["fine, g"] == pytest.approx(0.05)
    assert filters["% of expected"] == pytest.approx(100 * 0.05 / 6.0)
    assert said.answers[1].range.likely == pytest.approx(6.0 - (1.9462 + 1.98 + 1.1))


def test_gold_locked_up_is_what_is_in_vessels_and_no_bar(book: Book) -> None:
    said = report(book, "gold")
    assert [cells[0] for cells in said.tables[0].rows] == ["stock pot"]
    assert row(said, "stock pot")["gold, g"] == pytest.approx(0.0005 * 196.96657, rel=1e-6)
    assert row(said, "stock pot")["mg/L"] == pytest.approx(0.0005 * 196966.57 / 2, rel=1e-6)


def test_a_reagent_that_goes_stale_is_seen_against_theory(book: Book) -> None:
    said = row(report(book, "reagents"), "sodium metabisulfite")
    assert (said["used"], said["bare need"]) == (11.0, 8.0)
    assert said["times before"] == pytest.approx(1.0)
    assert said["times, last 3"] == pytest.approx(2.0)
    assert "leftover nitric, or it has gone stale" in said["note"]


def test_waste_by_month_against_the_line(book: Book) -> None:
    said = report(book, "waste")
    assert row(said, "2026-02")["against the line"].startswith("under 100 kg")
    assert row(said, "2026-03")["against the line"].startswith("over 100 kg")
    assert said.answers[0].range.likely == pytest.approx(210.0)


def test_cost_and_margin(book: Book) -> None:
    said = report(book, "cost")
    second = row(said, "2")
    assert second["reagents"] == pytest.approx(3.0 * 20 / 1000)
    assert second["margin"] == pytest.approx(130 - 90 - 0.06 - 15)
    assert second["cost of a gram"] == pytest.approx((90 + 0.06 + 15) / 1.98)
    totals = {one.name: one.range.likely for one in said.answers}
    assert totals["sold"] == 250.0
    assert totals["margin_after_shared"] == pytest.approx(totals["margin"] - 40.0)


def test_a_year_on_one_page_is_of_that_year(book: Book) -> None:
    page = year_page(book, "2026", ALL)
    said = {one.name: one.range.likely for one in page.answers}
    assert said["lots"] == 4.0
    assert said["found"] == pytest.approx(1.9462 + 1.98 + 1.1)
    assert said["waste"] == pytest.approx(210.0)
    assert row(page, "Feb")["sold"] == 130.0
    assert ("look again at", "lot 2 of 2026-02-10: short") in page.lines
    assert year_page(book, "2025", ALL).answers[0].range.likely == 0.0


def test_days_bound_a_report(book: Book) -> None:
    assert len(report(book, "yields", Span("2026-02-01", "2026-02-28")).tables[0].rows) == 1
    assert len(report(book, "waste", Span("2026-02-01", "2026-02-28")).tables[0].rows) == 1


def test_a_lot_gives_the_account_its_figures(book: Book) -> None:
    assert account_texts(lot_of(book, "1"), "gold") == {
        "metal": "gold",
        "expected": "1.0/2.0/3.0 g",
        "bar": "1.9 g",
        "fineness": "0.998",
        "filters": "0.05 g",
    }
    with pytest.raises(UnknownName, match="the book knows no lot '11'"):
        lot_of(book, "11")


def test_a_corrected_yield_counts_once(book: Book) -> None:
    number = next(one.number for one in book.read("e.kind = 'yield' AND e.about = '2'"))
    wrong = found("2", "2026-02-12", "bar", 2.9, 0.99)
    book.add([Entry(wrong.kind, wrong.about, wrong.at, wrong.data, corrects=number)])
    assert row(report(book, "yields"), "2")["found, g"] == pytest.approx(2.9 * 0.99)
    assert row(report(book, "yields"), "2")["verdict"] == "not proven"


@pytest.mark.parametrize("word", sorted(REPORTS))
def test_an_empty_book_has_empty_reports(tmp_path: Path, word: str) -> None:
    with open_book(str(tmp_path / "empty.sqlite"), write=True) as empty:
        assert all(not table.rows for table in report(empty, word).tables)
