"""The book taken out and brought in: CSV for a spreadsheet, JSON Lines for scripts, and a copy of the file while it is in use.

What is taken out comes back the same to the last character. A cell that a spreadsheet would take for a formula has an apostrophe
put before it, and so has one that begins with an apostrophe, so that one can always be taken off again.
"""

from __future__ import annotations

import csv
import io
import json
import os
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any

from refinekit.errors import BadFile
from refinekit.how_far import counted
from refinekit.shop.book.entry import LARGEST_DATA, Entry, Written, data_text, ops_of_text, ops_text
from refinekit.shop.book.faults import BadBook, told
from refinekit.shop.book.opening import MODE, put_in_place
from refinekit.shop.book.store import Book

COLUMNS = ("number", "at", "written", "kind", "about", "who", "corrects", "data", "ops", "seal")
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "'")
"""What a cell must not begin with; see the module."""
LARGEST_BYTES = 4_000_000_000
"""Largest file brought in."""


# ---- out
def form_of(path: str) -> str:
    """csv or jsonl, by the end of a file's name. Raises: BadFile."""
    for ending, form in ((".csv", "csv"), (".jsonl", "jsonl")):
        if path.lower().endswith(ending):
            return form
    raise BadFile(f"{path[:80]!r} ends in neither .csv nor .jsonl", cure="book.csv for a spreadsheet, book.jsonl for scripts")


def out_lines(events: Iterable[Written], form: str) -> Iterator[str]:
    """The lines of a file of events.

    Args:
        events: as they stand in the book, by number
        form: csv or jsonl
    """
    if form == "csv":
        yield _csv_line(COLUMNS)
    for one in counted(events, "events written"):
        row = row_of(one)
        if form == "csv":
            cells = {**row, "data": data_text(row["data"]), "ops": ops_text(row["ops"])}
            yield _csv_line([_cell(cells[column]) for column in COLUMNS])
        else:
            yield json.dumps(row, sort_keys=False) + "\n"


def row_of(one: Written) -> dict[str, Any]:
    """An event as plain data."""
    entry = one.entry
    return {
        "number": one.number,
        "at": entry.at,
        "written": one.written,
        "kind": entry.kind,
        "about": entry.about,
        "who": entry.who,
        "corrects": entry.corrects,
        "data": entry.data,
        "ops": list(entry.ops),
        "seal": one.seal,
    }


def _cell(value: object) -> str:
    text = "" if value is None else str(value)
    return f"'{text}" if text.startswith(FORMULA_STARTS) or text.lstrip().startswith(FORMULA_STARTS) else text


def _csv_line(cells: Iterable[str]) -> str:
    out = io.StringIO(newline="")
    csv.writer(out, lineterminator="\n", quoting=csv.QUOTE_ALL).writerow(cells)
    return out.getvalue()


def export(book: Book, path: str, *, force: bool = False) -> int:
    """Write every event to a file, corrected ones and voids too.

    Args:
        book: the book
        path: where to; .csv or .jsonl
        force: whether a file that is there may be written over
    Returns: how many
    Raises: BadFile, BadBook
    """
    form = form_of(path)
    events = book.read(corrected=True, moves=True)
    write_private(path, out_lines(events, form), force=force)
    return len(events)


def write_private(path: str, lines: Iterable[str], *, force: bool = False) -> None:
    """Write a file that only its owner may read, whole or not at all.

    Args:
        path: where to
        lines: its text
        force: whether a file that is there may be written over
    Raises: BadFile
    """
    target = Path(path)
    _may_be_written(target, force)
    beside = target.with_name(f".{target.name}.{os.getpid()}.new")
    try:
        handle = os.open(beside, os.O_CREAT | os.O_EXCL | os.O_WRONLY, MODE)
        with os.fdopen(handle, "w", encoding="utf-8", newline="") as file:
            file.writelines(lines)
            file.flush()
            os.fsync(file.fileno())
        os.replace(beside, target)
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise BadFile(f"{path[:80]!r} cannot be written ({reason})", cure="a folder you may write in") from None
    finally:
        beside.unlink(missing_ok=True)


def _may_be_written(target: Path, force: bool) -> None:
    if target.is_dir():
        raise BadFile(f"{str(target)[:80]!r} is a folder", cure="name a file in it")
    if target.exists() and not force:
        raise BadFile(f"{str(target)[:80]!r} is there already", cure="another name, or --force to write over it")


def backup(book: Book, path: str, *, force: bool = False) -> int:
    """Copy the book while it may be in use; the copy is a book itself, looked through before it gets its name.

    Args:
        book: the book
        path: where to
        force: whether a file that is there may be written over
    Returns: events in the copy
    Raises: BadFile, BadBook
    """
    import sqlite3

    target = Path(path)
    _may_be_written(target, force)
    if target.exists() and target.samefile(book.path):
        raise BadFile(f"{path[:80]!r} is the book itself", cure="another name, best on another disk")
    beside = target.with_name(f".{target.name}.{os.getpid()}.new")
    try:
        os.close(os.open(beside, os.O_CREAT | os.O_EXCL | os.O_RDWR, MODE))
        with told(path):
            copy = sqlite3.connect(beside)
            try:
                book.connection.backup(copy)
                copy.execute("PRAGMA journal_mode = DELETE")
                (state,) = copy.execute("PRAGMA integrity_check(1)").fetchone()
                (count,) = copy.execute("SELECT count(*) FROM event").fetchone()
            finally:
                copy.close()
        if state != "ok":
            raise BadBook(f"the copy of {book.name!r} is not whole", cure="refinekit book check")
        if force:
            os.replace(beside, target)
        elif not put_in_place(beside, target):
            raise BadFile(f"{path[:80]!r} is there already", cure="another name, or --force to write over it")
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise BadFile(f"{path[:80]!r} cannot be written ({reason})", cure="a folder you may write in") from None
    finally:
        beside.unlink(missing_ok=True)
    return int(count)


# ---- in
def bring_in(book: Book, path: str) -> tuple[int, int]:
    """Add the events of a file to a book: all of them or none.

    Events with a seal must follow on from those in the book, or be among them already; events without one, typed in elsewhere,
    are added as new.

    Args:
        book: opened for writing
        path: the file, .csv or .jsonl
    Returns: events added, events that were there already
    Raises: BadFile, a line that is no event, or events of another book; BadBook
    """
    form = form_of(path)
    try:
        if Path(path).stat().st_size > LARGEST_BYTES:
            raise BadFile(f"{path[:80]!r} is over {LARGEST_BYTES // 10**9} GB", cure="is it the right file?")
        with Path(path).open(encoding="utf-8-sig", newline="") as file:
            rows = list(_csv_rows(file, path) if form == "csv" else _json_rows(file, path))
    except UnicodeDecodeError as error:
        raise BadFile(f"{path[:80]!r} is not UTF-8 text (byte {error.start})", cure="save it as UTF-8") from None
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise BadFile(f"{path[:80]!r} cannot be read ({reason})", cure="check the name and who may read it") from None
    events = (_event(row, f"{path}, line {line}") for line, row in rows)
    return book.take_in(list(counted(events, "events read", len(rows))))


def _csv_rows(file: io.TextIOBase, name: str) -> Iterator[tuple[int, dict[str, Any]]]:
    csv.field_size_limit(LARGEST_DATA + 1)
    reader = csv.reader(file)
    try:
        head = next(reader, [])
        if not {"at", "kind", "about", "data"} <= set(head):
            raise BadFile(f"{name[:80]!r} has no columns at, kind, about and data", cure="the first line names the columns")
        for cells in reader:
            if not any(cells):
                continue
            if len(cells) != len(head):
                raise BadFile(f"{name}, line {reader.line_num}: {len(cells)} cells, {len(head)} columns", cure="mend that line")
            yield reader.line_num, {column: cell.removeprefix("'") for column, cell in zip(head, cells, strict=True)}
    except csv.Error as error:
        raise BadFile(f"{name}, line {reader.line_num}: {error}", cure="mend that line") from None


def _json_rows(file: Iterable[str], name: str) -> Iterator[tuple[int, dict[str, Any]]]:
    for number, line in enumerate(file, start=1):
        if not line.strip():
            continue
        try:
            row = json.loads(line)
        except (ValueError, RecursionError) as error:
            raise BadFile(f"{name}, line {number} is not JSON ({str(error)[:80]})", cure="one event a line") from None
        if not isinstance(row, dict):
            raise BadFile(f"{name}, line {number} is no event", cure="one event a line, as book export writes them")
        yield number, row


def _event(row: Mapping[str, Any], where: str) -> Written:
    try:
        data = row.get("data") or {}
        found = json.loads(data) if isinstance(data, str) else data
        ops = row.get("ops") or ()
        moves = ops_of_text(ops) if isinstance(ops, str) else tuple(ops)
        corrects = row.get("corrects")
        number = int(row.get("number") or 0)
        texts = [row.get(key) or "" for key in ("kind", "about", "at", "who", "written", "seal")]
        plain = all(isinstance(text, str) for text in texts) and all(isinstance(op, dict) for op in moves)
        if not isinstance(found, dict) or not plain:
            raise ValueError("its cells are not what an event has")
        kind, about, at, who, written, seal = texts
        entry = Entry(kind, about, at, found, who, int(corrects) if corrects not in (None, "") else None, moves)
    except (TypeError, ValueError, RecursionError) as error:
        raise BadFile(f"{where}: {str(error)[:120]}", cure="as refinekit book export writes it") from None
    return Written(number, 0, entry, written, seal)
