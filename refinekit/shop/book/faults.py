"""What can be wrong with a book, each told in a sentence with its cure; a fault of SQLite never reaches a person as it is."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from refinekit.errors import RefinekitError

PRIMARY = 0xFF
"""Mask that takes an extended result code of SQLite to its plain one."""


class BadBook(RefinekitError, ValueError):
    """A book that cannot be read or written, with why and the cure."""

    code = "bad-book"


CASES: dict[str, tuple[tuple[str, ...], str, str]] = {
    "busy": (
        ("SQLITE_BUSY", "SQLITE_LOCKED"),
        "{path!r} is being written by another refinekit and did not come free",
        "run the command again; nothing was written",
    ),
    "readonly": (
        ("SQLITE_READONLY", "SQLITE_PERM", "SQLITE_AUTH"),
        "{path!r} can be read but not written: the file, its folder or the disk is read-only",
        "copy it to a folder you may write in and name it with --book; nothing was written",
    ),
    "full": (
        ("SQLITE_FULL",),
        "the disk is full: {path!r} could not take the event",
        "make room and run the command again; what was in the book is all there, and nothing half was written",
    ),
    "disk": (
        ("SQLITE_IOERR",),
        "the disk failed while {path!r} was read or written",
        "refinekit book check; then a copy of it on another disk",
    ),
    "open": (
        ("SQLITE_CANTOPEN",),
        "{path!r} cannot be opened",
        "check the name, the folder and who may read it",
    ),
    "foreign": (
        ("SQLITE_NOTADB",),
        "{path!r} is no book of refinekit",
        "name another file with --book; this one was left as it is",
    ),
    "damaged": (
        ("SQLITE_CORRUPT", "SQLITE_FORMAT"),
        "{path!r} is damaged",
        "refinekit book check tells where; keep the file, and go on from the last backup: refinekit book import",
    ),
}
"""What SQLite may say, in the words of a shop: result codes, what is wrong, the cure."""


def in_words(error: BaseException, path: str) -> BadBook:
    """A fault of SQLite, or of what was read through it, as a sentence.

    Args:
        error: what was raised
        path: the book's file
    """
    import sqlite3

    own: Any = getattr(error, "sqlite_errorcode", None)
    if own is not None:
        for codes, what, cure in CASES.values():
            if own & PRIMARY in [getattr(sqlite3, code) for code in codes]:
                return BadBook(what.format(path=path), cure=cure)
        if own & PRIMARY == sqlite3.SQLITE_CONSTRAINT:
            return BadBook(
                f"{path!r} refused it: {str(error)[:120]}",
                cure="events are only added; to mend one, log what was right --corrects N",
            )
    _, what, cure = CASES["damaged"]
    return BadBook(f"{what.format(path=path)} ({str(error)[:120]})", cure=cure)


@contextmanager
def told(path: str) -> Iterator[None]:
    """Turn whatever SQLite raises inside into a `BadBook`.

    Args:
        path: the book's file
    Raises: BadBook
    """
    import sqlite3

    try:
        yield
    except (sqlite3.Error, UnicodeError, OverflowError) as error:
        raise in_words(error, path) from None
