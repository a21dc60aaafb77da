"""Is the book whole? The file's own structure, the rules that keep it, every seal, and what may read it."""

from __future__ import annotations

import json
import os
import stat
from collections.abc import Iterator
from typing import Any

from refinekit.how_far import counted
from refinekit.record import record
from refinekit.shop.book.entry import KINDS, Entry, data_text, ops_of_text, ops_text, seal_of
from refinekit.shop.book.faults import BadBook, in_words, told
from refinekit.shop.book.opening import MODE
from refinekit.shop.book.schema import STEPS, statements
from refinekit.shop.book.store import COLUMNS, Book

MOST_FOUND = 20
"""Faults told of one kind: after so many, the file is known to be bad."""


@record
class Checked:
    """What a look through the book came to.

    Args:
        events: events that were read through
        faults: what is wrong, one line each; none where the book is whole
        remarks: what is not wrong but should be known
        last_seal: seal of the last event, "" of an empty book
    """

    events: int
    faults: tuple[str, ...]
    remarks: tuple[str, ...]
    last_seal: str


def check(book: Book) -> Checked:
    """Look through a book; it never raises for what is wrong in the file, it says so.

    Args:
        book: the open book
    """
    faults = [*_structure(book), *_rules(book)]
    count, last = 0, ""
    found: list[str] = []
    try:
        for number, seal, wrong in counted(_events(book), "events"):
            count, last = number, seal
            found += wrong
            if len(found) > MOST_FOUND:
                break
    except BadBook as error:
        found.append(f"after event {count}: {error.what}")
    return Checked(count, (*faults, *found), tuple(_remarks(book)), last)


def _structure(book: Book) -> Iterator[str]:
    """What SQLite itself finds wrong with the file."""
    try:
        with told(book.name):
            rows = book.connection.execute(f"PRAGMA integrity_check({MOST_FOUND})").fetchall()
            loose = book.connection.execute("PRAGMA foreign_key_check").fetchall()
    except BadBook as error:
        yield error.what
        return
    yield from (f"the file: {str(text)[:200]}" for (text,) in rows if text != "ok")
    yield from (f"event {row[1]} corrects an event that is not there" for row in loose)


def _rules(book: Book) -> Iterator[str]:
    """Tables, indexes and triggers that are not as this refinekit made them."""
    import sqlite3

    try:
        with told(book.name):
            (version,) = book.connection.execute("PRAGMA user_version").fetchone()
            there = _shape(book.connection)
    except BadBook as error:
        yield error.what
        return
    fresh = sqlite3.connect(":memory:")
    try:
        for step in STEPS[:version]:
            for statement in statements(step):
                fresh.execute(statement)
        wanted = _shape(fresh)
    finally:
        fresh.close()
    yield from (f"the rule {name!r} of the book is gone" for name in wanted if name not in there)
    yield from (f"the rule {name!r} of the book was changed" for name in wanted if there.get(name, wanted[name]) != wanted[name])
    yield from (f"{name!r} was put into the book by something else" for name in there if name not in wanted)


def _shape(connection: Any) -> dict[str, str]:
    rows = connection.execute("SELECT name, sql FROM sqlite_master WHERE name NOT LIKE 'sqlite_%'").fetchall()
    return {str(name): str(sql) for name, sql in rows}


def _events(book: Book) -> Iterator[tuple[int, str, list[str]]]:
    """Every event in order: its number, its seal and what is wrong with it."""
    before, expected = "", 1
    with told(book.name):
        rows = book.connection.execute(f"SELECT {COLUMNS} FROM event e NOT INDEXED ORDER BY e.number")
        for row in rows:
            yield _looked_at(row, before, expected, book.name)
            before, expected = str(row[8]), expected + 1


def _looked_at(row: tuple[Any, ...], before: str, expected: int, name: str) -> tuple[int, str, list[str]]:
    number, root, at, written, kind, about, who, corrects, seal, data, ops = row
    wrong = []
    if number != expected:
        wrong.append(f"event {expected} is missing: after {expected - 1} comes {number}")
    try:
        if seal_of(before, number, written, Entry(kind, about, at, {}, who, corrects), data, ops) != seal:
            wrong.append(f"event {number} is not as it was written: its seal does not fit")
        elif data_text(json.loads(data)) != data or ops_text(ops_of_text(ops)) != ops or kind not in KINDS:
            wrong.append(f"event {number} holds what no refinekit wrote")
        elif (corrects is None) != (root == number):
            wrong.append(f"event {number} stands in the wrong place")
    except (TypeError, ValueError, RecursionError) as error:
        wrong.append(f"event {number}: {in_words(error, name).what}")
    return (int(number), str(seal), wrong)


def _remarks(book: Book) -> Iterator[str]:
    if os.name == "posix":
        mode = stat.S_IMODE(book.path.stat().st_mode)
        if mode & ~MODE:
            yield f"others on this computer may read it (mode {mode:o}); chmod 600 keeps it to its owner"
    if book.read_only:
        yield "it stands where nothing can be written"
