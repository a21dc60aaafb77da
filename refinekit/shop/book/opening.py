"""The file: found, made, opened, and brought up to date.

A book is an SQLite file in write-ahead mode. A new one is made whole beside its place and then put there, so that no other
process ever finds half a book.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from refinekit.shop.book.faults import BadBook, told
from refinekit.shop.book.schema import APPLICATION_ID, STEPS, VERSION, statements
from refinekit.shop.book.store import Book

if TYPE_CHECKING:
    from sqlite3 import Connection

WAIT_S = 20.0
"""Seconds one process waits for another to finish writing."""
MODE = 0o600
"""Who may read a book: its owner."""


def place_of(told_path: str | None = None, environment: Mapping[str, str] | None = None) -> Path:
    """Where the book is: as told, by REFINEKIT_BOOK, or in the platform's data folder.

    Args:
        told_path: of --book; None where it was not told
        environment: stands for the process's own, for tests
    """
    own = os.environ if environment is None else environment
    if told_path or own.get("REFINEKIT_BOOK"):
        return Path(told_path or own["REFINEKIT_BOOK"]).expanduser()
    home = Path.home()
    if sys.platform == "darwin":
        folder = home / "Library" / "Application Support"
    elif sys.platform == "win32":
        folder = Path(own.get("LOCALAPPDATA") or home / "AppData" / "Local")
    else:
        folder = Path(own.get("XDG_DATA_HOME") or home / ".local" / "share")
    return folder / "refinekit" / "book.sqlite"


def open_book(told_path: str | None = None, *, write: bool = False) -> Book:
    """Open the book.

    Args:
        told_path: of --book; None where it was not told
        write: whether it is to be added to; it is then made where there is none
    Returns: the open book; close it, or use `with`
    Raises: BadBook, there is none, it is not ours, newer than this refinekit, damaged, or not to be written
    """
    path = place_of(told_path)
    if path.is_dir():
        raise BadBook(f"{str(path)!r} is a folder", cure="name a file in it with --book")
    fresh = False
    if not path.exists():
        if not write:
            raise BadBook(
                f"there is no book at {str(path)!r} yet", cure="log something, as in refinekit bath start; or name it with --book"
            )
        fresh = _make(path)
    book = _connected(path, write=write)
    book.fresh = fresh
    try:
        _look_over(book, write=write)
    except BaseException:
        book.connection.close()
        raise
    return book


def _connected(path: Path, *, write: bool) -> Book:
    with told(str(path)):
        _not_empty(path)
        try:
            book = Book(path, _connect(path, "mode=rw"))
            book.connection.execute("SELECT count(*) FROM sqlite_master").fetchone()
            return book
        except Exception as error:
            if write or not _stands_still(error, path):
                raise
        return Book(path, _connect(path, "mode=ro&immutable=1"), read_only=True)


def _not_empty(path: Path) -> None:
    try:
        size = path.stat().st_size
        with path.open("rb") as file:
            file.read(1)
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise BadBook(f"{str(path)!r} cannot be read ({reason})", cure="check the name and who may read it") from None
    if size == 0:
        raise BadBook(
            f"{str(path)!r} is empty: it is no book, or it has been cut off", cure="a backup, or another name with --book"
        )


def _connect(path: Path, how: str) -> Connection:
    import sqlite3
    from urllib.parse import quote

    connection = sqlite3.connect(f"file:{quote(str(path.absolute()))}?{how}", uri=True, timeout=WAIT_S, isolation_level=None)
    for pragma in ("trusted_schema = OFF", "cell_size_check = ON", "foreign_keys = ON", "synchronous = FULL"):
        connection.execute(f"PRAGMA {pragma}")
    return connection


def _stands_still(error: BaseException, path: Path) -> bool:
    """Whether it could not be opened only because nothing can be written beside it, and nothing waits there to be read."""
    import sqlite3

    code = getattr(error, "sqlite_errorcode", 0) & 0xFF
    if code not in (sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_READONLY):
        return False
    waiting = path.with_name(f"{path.name}-wal")
    if waiting.exists() and waiting.stat().st_size:
        raise BadBook(
            f"{str(path)!r} stands where nothing can be written, and its last events wait in {waiting.name}",
            cure="copy both files to a folder you may write in, and name the copy with --book",
        )
    return True


def _look_over(book: Book, *, write: bool) -> None:
    """Refuse what is not ours or newer than us; bring an older book up to date where it is to be written."""
    with told(book.name):
        (own,) = book.connection.execute("PRAGMA application_id").fetchone()
        (version,) = book.connection.execute("PRAGMA user_version").fetchone()
    if own != APPLICATION_ID:
        raise BadBook(f"{book.name!r} is no book of refinekit", cure="name another file with --book; this one was left as it is")
    if version > VERSION:
        raise BadBook(
            f"{book.name!r} was written by a newer refinekit (its version is {version}, this one reads up to {VERSION})",
            cure="bring this refinekit up to date; the book was left as it is",
        )
    if write and version < VERSION:
        with told(book.name):
            bring_up(book.connection)


def bring_up(connection: Connection, version: int = VERSION) -> None:
    """Bring a book up to a version, all the way or not at all; another process doing the same is waited for.

    Args:
        connection: to the book
        version: version wanted
    """
    connection.execute("BEGIN IMMEDIATE")
    try:
        (there,) = connection.execute("PRAGMA user_version").fetchone()
        for step in STEPS[there:version]:
            for statement in statements(step):
                connection.execute(statement)
        connection.execute(f"PRAGMA user_version = {max(there, version)}")
        connection.execute("COMMIT")
    except BaseException:
        if connection.in_transaction:
            connection.execute("ROLLBACK")
        raise


def _make(path: Path) -> bool:
    """Make a new book whole, then put it in its place; one that another process put there meanwhile stays.

    Returns: whether this process made it
    """
    try:
        path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        beside = path.with_name(f".{path.name}.{os.getpid()}.new")
        os.close(os.open(beside, os.O_CREAT | os.O_EXCL | os.O_RDWR, MODE))
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise BadBook(f"no book can be made at {str(path)!r} ({reason})", cure="name a file you may write with --book") from None
    try:
        with told(str(path)):
            connection = _connect(beside, "mode=rw")
            try:
                connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
                connection.execute("PRAGMA journal_mode = WAL")
                bring_up(connection)
            finally:
                connection.close()
        return put_in_place(beside, path)
    finally:
        for left in (beside, *(beside.with_name(beside.name + end) for end in ("-wal", "-shm"))):
            left.unlink(missing_ok=True)


def put_in_place(beside: Path, path: Path) -> bool:
    """Give a finished file its name, unless another has it by now.

    Returns: whether it got it
    Raises: BadBook, the folder takes no such file
    """
    try:
        os.link(beside, path)
        return True
    except FileExistsError:
        return False
    except OSError:  # a disk without links: the name is taken by moving, a moment after looking
        if path.exists():
            return False
    try:
        os.replace(beside, path)
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise BadBook(f"{str(path)!r} cannot be written ({reason})", cure="a folder you may write in") from None
    return True
