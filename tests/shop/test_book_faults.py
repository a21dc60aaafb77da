"""Killed, cut off, flipped, locked, full, read-only, foreign, newer: told plainly, and nothing that was acknowledged is lost."""

import json
import os
import random
import resource
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest

from refinekit.shop.book import opening
from refinekit.shop.book.check import check
from refinekit.shop.book.entry import Entry, Written
from refinekit.shop.book.faults import BadBook
from refinekit.shop.book.opening import open_book
from refinekit.shop.book.schema import APPLICATION_ID
from tests.command import Run

HERE = Path(__file__).parent
LOT = Entry("lot", "1", "2026-03-05", {"gold_g": 2.1, "note": "y" * 200})


def made(path: Path, events: int = 40) -> Path:
    with open_book(str(path), write=True) as book:
        book.add([Entry("lot", str(number), "2026-03-05", {"gold_g": number / 7, "note": "z" * 200}) for number in range(events)])
    return path


def program(name: str, *words: str) -> list[str]:
    return [sys.executable, str(HERE / name), *words]


ROOT = {**os.environ, "PYTHONPATH": str(HERE.parents[1])}


# ---- ended by force, and several at once
def test_killed_five_hundred_times_every_acknowledged_event_is_there_and_none_is_half(tmp_path: Path) -> None:
    book, said = tmp_path / "book.sqlite", tmp_path / "said.json"
    subprocess.run(program("book_killed.py", str(book), "500", str(said)), check=True, timeout=300, env=ROOT)
    acknowledged = json.loads(said.read_text(encoding="utf-8"))
    with open_book(str(book)) as opened:
        assert check(opened).faults == ()
        halves: dict[str, list[int]] = {}
        for one in opened.read():
            halves.setdefault(one.entry.about, []).append(one.entry.data["half"])
    assert len(acknowledged) > 100
    assert set(acknowledged) <= set(halves)
    assert {tuple(pair) for pair in halves.values()} == {(1, 2)}


def test_eight_writers_at_once_for_twenty_seconds_lose_and_double_nothing(tmp_path: Path) -> None:
    book = tmp_path / "book.sqlite"
    lines = [program("book_writer.py", str(book), f"w{number}", "20") for number in range(8)]
    writers = [subprocess.Popen(line, env=ROOT, stdout=subprocess.PIPE, text=True) for line in lines]
    counts = [int(one.communicate(timeout=300)[0]) for one in writers]
    assert [one.returncode for one in writers] == [0] * 8
    with open_book(str(book)) as opened:
        assert check(opened).faults == ()
        written = sorted(one.entry.about for one in opened.read())
    assert written == sorted(f"w{writer}.{number}" for writer, count in enumerate(counts) for number in range(count))


def test_a_book_somebody_else_is_writing_is_waited_for_and_then_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = made(tmp_path / "book.sqlite")
    monkeypatch.setattr(opening, "WAIT_S", 0.05)
    with open_book(str(path), write=True) as one, open_book(str(path), write=True) as other:
        one.connection.execute("BEGIN IMMEDIATE")
        assert len(other.read()) == 40  # reading goes on
        with pytest.raises(BadBook, match="is being written by another refinekit"):
            other.add([LOT])
        one.connection.execute("ROLLBACK")
        assert other.add([LOT]) == (41,)


# ---- the disk
def test_a_full_disk_is_told_and_the_book_stays_whole(tmp_path: Path) -> None:
    path = made(tmp_path / "book.sqlite")
    with open_book(str(path), write=True) as book:
        (pages,) = book.connection.execute("PRAGMA page_count").fetchone()
        book.connection.execute(f"PRAGMA max_page_count = {pages}")
        with pytest.raises(BadBook, match="the disk is full"):
            book.add([Entry("lot", "1", "2026-03-05", {"note": "y" * 100_000})])
    with open_book(str(path), write=True) as book:
        assert check(book).faults == ()
        assert book.add([LOT]) == (41,)


def test_a_disk_that_fails_in_the_middle_of_an_event_loses_nothing(tmp_path: Path) -> None:
    path = made(tmp_path / "book.sqlite")
    large = Entry("lot", "1", "2026-03-05", {"note": "y" * 3_000_000})
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (1_000_000, hard))  # the system itself refuses to let a file grow beyond this
    try:
        with open_book(str(path), write=True) as book, pytest.raises(BadBook, match=r"the disk (is full|failed)"):
            book.add([large])
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))
    with open_book(str(path), write=True) as book:
        assert check(book).faults == ()
        assert book.add([LOT]) == (41,)


def test_a_book_that_cannot_be_written_can_be_read_and_says_why(tmp_path: Path) -> None:
    path = made(tmp_path / "book.sqlite")
    with open_book(str(path), write=True) as book:
        book.connection.execute("PRAGMA query_only = ON")  # SQLite then answers as it does on a disk that is write-protected
        with pytest.raises(BadBook, match="can be read but not written"):
            book.add([LOT])
    with open_book(str(path)) as book:
        assert len(book.read()) == 40


def test_on_read_only_media_the_book_is_read_as_it_lies(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = made(tmp_path / "book.sqlite")
    real = opening._connect

    def shut(at: Path, how: str) -> sqlite3.Connection:
        if "immutable" not in how:
            return real(
                at.with_name("no such folder") / "book.sqlite", how
            )  # what SQLite says where it may make no file beside it
        return real(at, how)

    monkeypatch.setattr(opening, "_connect", shut)
    with open_book(str(path)) as book:
        assert book.read_only
        assert len(book.read()) == 40
        assert check(book).faults == ()
        assert "stands where nothing can be written" in check(book).remarks[0]
    with pytest.raises(BadBook, match="cannot be opened"):
        open_book(str(path), write=True)
    path.with_name("book.sqlite-wal").write_bytes(b"x")
    with pytest.raises(BadBook, match=r"its last events wait in book\.sqlite-wal"):
        open_book(str(path))


def test_a_folder_nobody_may_write_in_is_told(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x", encoding="utf-8")
    with pytest.raises(BadBook, match="no book can be made at"):
        open_book(str(tmp_path / "file" / "book.sqlite"), write=True)
    with pytest.raises(BadBook, match="is a folder"):
        open_book(str(tmp_path), write=True)


# ---- not ours, newer, damaged
def other_database(path: Path) -> None:
    own = sqlite3.connect(path)
    own.execute("CREATE TABLE event (number INTEGER)")
    own.commit()
    own.close()


@pytest.mark.parametrize("write", [False, True])
@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "is empty"),
        (b"x", "is no book of refinekit"),
        (b"A letter to the bank about the gold. " * 100, "is no book of refinekit"),
        (b"SQLite format 3\x00" + bytes(5000), "is (no book of refinekit|damaged)"),
        (bytes(8192), "is no book of refinekit"),
    ],
)
def test_a_file_that_is_no_book_is_told_and_left_as_it_was(tmp_path: Path, content: bytes, words: str, write: bool) -> None:
    path = tmp_path / "letter.txt"
    path.write_bytes(content)
    with pytest.raises(BadBook, match=words):
        open_book(str(path), write=write)
    assert path.read_bytes() == content


@pytest.mark.parametrize("write", [False, True])
def test_another_programs_database_is_left_as_it_was(tmp_path: Path, write: bool) -> None:
    path = tmp_path / "other.sqlite"
    other_database(path)
    before = path.read_bytes()
    with pytest.raises(BadBook, match="is no book of refinekit"):
        open_book(str(path), write=write)
    assert path.read_bytes() == before


@pytest.mark.parametrize("write", [False, True])
def test_a_newer_book_is_left_as_it_was(tmp_path: Path, write: bool) -> None:
    path = tmp_path / "newer.sqlite"
    own = sqlite3.connect(path)
    own.execute(f"PRAGMA application_id = {APPLICATION_ID}")
    own.execute("PRAGMA user_version = 99")
    own.commit()
    own.close()
    before = path.read_bytes()
    with pytest.raises(BadBook, match="written by a newer refinekit"):
        open_book(str(path), write=write)
    assert path.read_bytes() == before


def looked_at(path: Path) -> tuple[bool, list[Written]]:
    """Whether a damaged book is told to be bad, and what can still be read."""
    try:
        with open_book(str(path)) as book:
            if check(book).faults:
                return True, []
            return False, book.read(corrected=True)
    except BadBook:
        return True, []


def test_a_book_cut_off_anywhere_is_found_out(tmp_path: Path) -> None:
    path = made(tmp_path / "book.sqlite")
    whole = path.read_bytes()
    chance = random.Random(3)
    for number in range(60):
        torn = tmp_path / f"torn{number}.sqlite"
        torn.write_bytes(whole[: chance.randrange(len(whole))])
        assert looked_at(torn)[0]


def test_a_flipped_bit_is_found_out_or_changes_nothing(tmp_path: Path) -> None:
    path = made(tmp_path / "book.sqlite")
    whole = path.read_bytes()
    with open_book(str(path)) as book:
        right = book.read(corrected=True)
    chance = random.Random(5)
    found = 0
    for number in range(300):
        flipped = bytearray(whole)
        flipped[chance.randrange(len(whole))] ^= 1 << chance.randrange(8)
        bad = tmp_path / f"flipped{number}.sqlite"
        bad.write_bytes(flipped)
        told, events = looked_at(bad)
        assert told or events == right
        found += told
        for left in tmp_path.glob(f"{bad.name}*"):
            left.unlink()
    assert found > 100


def test_bad_events_put_in_by_hand_are_found(tmp_path: Path) -> None:
    path = made(tmp_path / "book.sqlite", 3)
    own = sqlite3.connect(path)
    own.execute("DROP TRIGGER events_stay_as_they_are")
    own.execute("""UPDATE event SET data = replace(data, '0.28', '2.80') WHERE number = 3""")
    own.commit()
    own.close()
    with open_book(str(path)) as book:
        faults = check(book).faults
    assert any("the rule 'events_stay_as_they_are' of the book is gone" in one for one in faults)
    assert any("event 3 is not as it was written" in one for one in faults)


@pytest.mark.parametrize("what", ["yields", "losses", "cost", "year"])
def test_a_day_that_was_altered_ends_a_report_in_words(refinekit: Run, tmp_path: Path, what: str) -> None:
    path = made(tmp_path / "book.sqlite", 3)
    with open_book(str(path), write=True) as book:
        book.add([Entry("yield", "1", "2026-03-05", {"stream": "bar", "metal": "gold", "fine_g": 1.0, "grams": [1.0, 1.0, 1.0]})])
    own = sqlite3.connect(path)
    own.execute("DROP TRIGGER events_stay_as_they_are")
    own.execute("UPDATE event SET at = '99xx-11-25'")
    own.commit()
    own.close()
    done = refinekit("report", what, "--book", str(path))
    assert (done.returncode, done.stdout) == (2, "")
    assert "is damaged" in done.stderr


@pytest.mark.parametrize("gone", ["fine_g", "stream"])
def test_a_figure_that_is_gone_from_an_event_ends_a_report_in_words(refinekit: Run, tmp_path: Path, gone: str) -> None:
    path = made(tmp_path / "book.sqlite", 3)
    figures = {"stream": "bar", "metal": "gold", "fine_g": 1.0, "grams": [1.0, 1.0, 1.0]}
    del figures[gone]
    with open_book(str(path), write=True) as book:
        book.add([Entry("yield", "1", "2026-03-05", figures)])
    done = refinekit("report", "yields", "--book", str(path))
    assert done.returncode == 2
    assert "the yield of lot '1' on 2026-03-05 lacks what it was written with" in done.stderr
    assert "refinekit book check" in done.stderr


# ---- as the command tells it
def test_the_command_says_whole_or_not_and_ends_so(refinekit: Run, tmp_path: Path) -> None:
    path = made(tmp_path / "book.sqlite", 12)
    done = refinekit("book", "check", "--book", str(path))
    assert done.returncode == 0
    assert "whole: every event is as it was written" in done.stdout
    bad = tmp_path / "bad.sqlite"
    bad.write_bytes(path.read_bytes().replace(b"zzzzz", b"zzzzx", 1))
    done = refinekit("book", "check", "--book", str(bad))
    assert done.returncode == 2
    assert "NOT WHOLE" in done.stdout
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize("words", [("show",), ("events",), ("check",), ("export", "a.csv"), ("backup", "b.sqlite")])
def test_without_a_book_every_question_says_so(refinekit: Run, words: tuple[str, ...]) -> None:
    done = refinekit("book", *words, "--book", "none.sqlite")
    assert done.returncode == 2
    assert "there is no book at" in done.stderr
    assert not Path("none.sqlite").exists()
