"""The book keeps what it was told, in order, and lets nothing be changed behind its back."""

import os
import sqlite3
import stat
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

from refinekit.errors import BadFile, BadQuantity
from refinekit.shop.book import copies
from refinekit.shop.book.check import check
from refinekit.shop.book.entry import Entry, day
from refinekit.shop.book.faults import BadBook
from refinekit.shop.book.opening import bring_up, open_book, place_of
from refinekit.shop.book.schema import APPLICATION_ID, STEPS
from refinekit.shop.book.store import Book

HOSTILE = (
    'it\'s "quoted"; DROP TABLE event; --',
    "two\nlines\r\nand a \ttab",
    "bell \x07 escape \x1b[31m nul \x00 end",
    "right \u202eto left\u202c, \u05d0\u05d1\u05d2, zero\u200bwidth",
    "=1+1",
    "+1",
    "-1",
    "@sum(a1)",
    "\t=1",
    " =1",
    "'=1",
    "''",
    "\N{PILE OF POO} e\u0301 \U0010ffff",
    "half a character \udce9",
    "long " + "x" * 1_000_000,
    "",
)
"""Names and notes that break what is careless."""


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Book]:
    with open_book(str(tmp_path / "book.sqlite"), write=True) as opened:
        yield opened


def lot(number: str, **data: object) -> Entry:
    return Entry("lot", number, "2026-03-05", data)


# ---- kept, corrected, never changed
def test_events_come_back_as_they_were_told_by_day_and_then_as_written(book: Book) -> None:
    late = Entry("lot", "2", "2026-03-07", {"gold_g": 1.25})
    early = Entry("lot", "1", "2026-03-05", {"gold_g": [0.1, 2.0, 3e-300]}, who="M")
    assert book.add([late]) == (1,)
    assert book.add([early, early]) == (2, 3)
    assert [one.entry for one in book.read()] == [early, early, late]
    assert [one.number for one in book.read(corrected=True)] == [1, 2, 3]


def test_a_correction_takes_the_place_of_what_it_corrects_and_both_stay_in_the_book(book: Book) -> None:
    book.add([lot("1", gold_g=1.0), lot("2", gold_g=2.0)])
    book.add([Entry("lot", "1", "2026-03-05", {"gold_g": 1.5}, corrects=1)])
    assert [(one.number, one.root, one.entry.data["gold_g"]) for one in book.read()] == [(3, 1, 1.5), (2, 2, 2.0)]
    assert book.count() == 3


def test_a_correction_can_be_corrected_and_a_void_leaves_nothing(book: Book) -> None:
    book.add([lot("1", gold_g=1.0)])
    book.add([Entry("lot", "1", "2026-03-05", {"gold_g": 1.5}, corrects=1)])
    book.add([Entry("void", "1", "2026-03-05", {"note": "never was"}, corrects=2)])
    assert book.read() == []
    assert book.one(3).root == 1


def test_an_event_is_corrected_once_and_the_cure_names_the_correction(book: Book) -> None:
    book.add([lot("1", gold_g=1.0)])
    book.add([Entry("lot", "1", "2026-03-05", {}, corrects=1)])
    with pytest.raises(BadQuantity, match="corrected before, by event 2\n  Try: correct that one: --corrects 2"):
        book.add([Entry("lot", "1", "2026-03-05", {}, corrects=1)])
    with pytest.raises(BadQuantity, match="there is no event 9 to correct"):
        book.add([Entry("lot", "1", "2026-03-05", {}, corrects=9)])
    with pytest.raises(BadQuantity, match="event 2 is of a lot, this is of a drum"):
        book.add([Entry("drum", "1", "2026-03-05", {}, corrects=2)])
    assert book.count() == 2


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE event SET about = 'other' WHERE number = 1",
        "DELETE FROM event WHERE number = 1",
        "INSERT OR REPLACE INTO event SELECT 1, 1, at, written, kind, 'other', who, corrects, data, ops, seal FROM event",
        "INSERT INTO event SELECT 7, 7, at, written, kind, 'other', who, corrects, data, ops, seal FROM event",
    ],
)
def test_the_file_itself_refuses_to_have_an_event_changed(book: Book, statement: str) -> None:
    book.add([lot("1")])
    with pytest.raises(sqlite3.IntegrityError, match=r"events are (only added|numbered)"):
        book.connection.execute(statement)
    assert [one.entry.about for one in book.read(corrected=True)] == ["1"]


def test_events_told_together_are_there_together_or_not_at_all(book: Book) -> None:
    with pytest.raises(BadQuantity, match="no event 99"):
        book.add([lot("1"), lot("2"), Entry("lot", "3", "2026-03-05", {}, corrects=99)])
    assert book.count() == 0
    with pytest.raises(BadQuantity, match="no finite number"):
        book.add([lot("1"), lot("2", gold_g=float("nan"))])
    assert book.count() == 0


@pytest.mark.parametrize("text", HOSTILE, ids=lambda text: ascii(text[:20]))
def test_hostile_names_and_notes_are_kept(book: Book, text: str) -> None:
    book.add([Entry("lot", text, "2026-03-05", {"note": text, text or "key": 1}, who=text)])
    (one,) = book.read()
    assert one.entry.data["note"] == text
    assert one.entry.about == text.replace("\udce9", "\\udce9")
    assert check(book).faults == ()


# ---- on the disk
def test_a_book_is_in_write_ahead_mode_synced_and_for_its_owner_alone(book: Book) -> None:
    book.add([lot("1")])
    assert book.connection.execute("PRAGMA journal_mode").fetchone() == ("wal",)
    assert book.connection.execute("PRAGMA synchronous").fetchone() == (2,)  # FULL, by SQLite's own numbering
    if os.name == "posix":
        files = list(book.path.parent.iterdir())
        assert {stat.S_IMODE(file.stat().st_mode) for file in files} == {0o600}


def test_no_half_made_book_is_left_beside_it(book: Book) -> None:
    assert [file.name for file in book.path.parent.iterdir() if file.name.endswith(".new")] == []


def test_a_book_is_where_it_was_told_to_be_or_in_the_data_folder() -> None:
    assert place_of("a.sqlite", {"REFINEKIT_BOOK": "b.sqlite"}) == Path("a.sqlite")
    assert place_of(None, {"REFINEKIT_BOOK": "b.sqlite"}) == Path("b.sqlite")
    assert place_of(None, {}).parts[-2:] == ("refinekit", "book.sqlite")


def test_reading_makes_no_book(tmp_path: Path) -> None:
    with pytest.raises(BadBook, match="there is no book at"):
        open_book(str(tmp_path / "none.sqlite"))
    assert list(tmp_path.iterdir()) == []


def test_an_older_book_is_brought_up_to_date_when_it_is_written_to(tmp_path: Path) -> None:
    path = tmp_path / "old.sqlite"
    old = sqlite3.connect(path, isolation_level=None)
    old.execute(f"PRAGMA application_id = {APPLICATION_ID}")
    bring_up(old, 1)
    Book(path, old).add([lot("1", gold_g=1.0)])
    old.close()
    with open_book(str(path)) as read_only:
        assert len(read_only.read()) == 1
        assert check(read_only).faults == ()
        assert read_only.connection.execute("PRAGMA user_version").fetchone() == (1,)
    with open_book(str(path), write=True) as opened:
        opened.add([lot("2")])
        assert opened.connection.execute("PRAGMA user_version").fetchone() == (len(STEPS),)
        assert [one.entry.about for one in opened.read()] == ["1", "2"]
        assert check(opened).faults == ()


# ---- taken out and brought in
@pytest.mark.parametrize("form", ["csv", "jsonl"])
def test_what_is_taken_out_comes_back_to_the_last_character(book: Book, tmp_path: Path, form: str) -> None:
    texts = [text.replace("\udce9", "") for text in HOSTILE]
    book.add([Entry("lot", text, "2026-03-05", {"note": text, "gold_g": 0.1 + 0.2, "n": 3}, who=text) for text in texts])
    book.add([Entry("lot", "x", "2026-03-06", {"note": "=1"}, corrects=2), Entry("void", "y", "2026-03-06", {}, corrects=3)])
    file = str(tmp_path / f"all.{form}")
    assert copies.export(book, file) == len(texts) + 2
    with open_book(str(tmp_path / "other.sqlite"), write=True) as other:
        assert copies.bring_in(other, file) == (len(texts) + 2, 0)
        assert other.read(corrected=True) == book.read(corrected=True)
        assert check(other).faults == ()
        assert copies.bring_in(other, file) == (0, len(texts) + 2)
        book.add([lot("later")])
        copies.export(book, file, force=True)
        assert copies.bring_in(other, file) == (1, len(texts) + 2)


def test_no_cell_of_the_spreadsheet_can_be_taken_for_a_formula(book: Book, tmp_path: Path) -> None:
    import csv

    book.add([Entry("lot", text, "2026-03-05", {"note": text}, who=text) for text in HOSTILE])
    copies.export(book, str(tmp_path / "all.csv"))
    csv.field_size_limit(30_000_000)
    with (tmp_path / "all.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.reader(file))
    assert len(rows) == 1 + len(HOSTILE)
    assert [cell for row in rows for cell in row if cell.strip().startswith(("=", "+", "-", "@"))] == []


def test_events_of_another_book_are_refused_whole(book: Book, tmp_path: Path) -> None:
    book.add([lot("1"), lot("2")])
    copies.export(book, str(tmp_path / "all.jsonl"))
    with open_book(str(tmp_path / "other.sqlite"), write=True) as other:
        other.add([lot("mine")])
        with pytest.raises(BadQuantity, match="event 1 of the file is another than event 1 of the book"):
            copies.bring_in(other, str(tmp_path / "all.jsonl"))
        assert [one.entry.about for one in other.read()] == ["mine"]


def test_an_event_changed_on_the_way_is_found_and_nothing_is_taken(book: Book, tmp_path: Path) -> None:
    book.add([lot("1", gold_g=1.0), lot("2", gold_g=2.0)])
    copies.export(book, str(tmp_path / "all.jsonl"))
    text = (tmp_path / "all.jsonl").read_text(encoding="utf-8").replace('"gold_g": 2.0', '"gold_g": 3.0')
    (tmp_path / "all.jsonl").write_text(text, encoding="utf-8")
    with open_book(str(tmp_path / "other.sqlite"), write=True) as other:
        with pytest.raises(BadQuantity, match="event 2 of the file does not follow event 1 of the book, or was changed"):
            copies.bring_in(other, str(tmp_path / "all.jsonl"))
        assert other.count() == 0


def test_events_typed_in_elsewhere_are_added_as_new(book: Book, tmp_path: Path) -> None:
    (tmp_path / "typed.csv").write_text('at,kind,about,data\n2026-03-05,lot,7,"{""gold_g"":2}"\n', encoding="utf-8")
    assert copies.bring_in(book, str(tmp_path / "typed.csv")) == (1, 0)
    assert book.read()[0].entry == Entry("lot", "7", "2026-03-05", {"gold_g": 2})


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("nothing\n1\n", "has no columns"),
        ("at,kind,about,data\n2026-03-05,lot\n", "line 2: 2 cells, 4 columns"),
        ("at,kind,about,data\n2026-03-05,lot,1,{nope\n", "line 2"),
        ("at,kind,about,data\n2026-03-05,feast,1,{}\n", "cannot be a 'feast'"),
        ("at,kind,about,data\n5 March,lot,1,{}\n", "is no day"),
        ("at,kind,about,data,corrects\n2026-03-05,lot,1,{},x\n", "line 2"),
    ],
)
def test_a_file_that_is_no_export_is_told_by_its_line(book: Book, tmp_path: Path, text: str, words: str) -> None:
    (tmp_path / "bad.csv").write_text(text, encoding="utf-8")
    with pytest.raises((BadFile, BadQuantity), match=words):
        copies.bring_in(book, str(tmp_path / "bad.csv"))
    assert book.count() == 0


def test_a_backup_is_a_book_and_is_never_written_over_unasked(book: Book, tmp_path: Path) -> None:
    book.add([lot("1"), lot("2")])
    assert copies.backup(book, str(tmp_path / "copy.sqlite")) == 2
    book.add([lot("3")])
    with pytest.raises(BadFile, match="is there already"):
        copies.backup(book, str(tmp_path / "copy.sqlite"))
    with pytest.raises(BadFile, match="is the book itself"):
        copies.backup(book, book.name, force=True)
    with open_book(str(tmp_path / "copy.sqlite"), write=True) as copy:
        assert [one.entry.about for one in copy.read()] == ["1", "2"]
        assert check(copy).faults == ()
        assert stat.S_IMODE((tmp_path / "copy.sqlite").stat().st_mode) == 0o600
    assert copies.backup(book, str(tmp_path / "copy.sqlite"), force=True) == 3


# ---- days
def test_days_are_read_and_slips_are_refused() -> None:
    today = date(2026, 3, 5)
    assert day(None, today=today) == "2026-03-05"
    for typed in ("5.3.2026", "2026-02-30", "2027-03-05", "0026-03-05", "=1"):
        with pytest.raises(BadQuantity, match=r"--at"):
            day(typed, today=today)
