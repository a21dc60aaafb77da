"""An open book: read, and added to; one transaction for what belongs together, on the disk before it is acknowledged."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, date, datetime
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING, Any

from refinekit.errors import BadQuantity
from refinekit.shop.book.entry import KINDS, Entry, Written, data_text, day, ops_of_text, ops_text, plain_text, seal_of
from refinekit.shop.book.faults import in_words, told

if TYPE_CHECKING:
    from sqlite3 import Connection

COLUMNS = "e.number, e.root, e.at, e.written, e.kind, e.about, e.who, e.corrects, e.seal, e.data, e.ops"
STANDING = "e.kind <> 'void' AND NOT EXISTS (SELECT 1 FROM event c WHERE c.corrects = e.number)"
"""Events that stand: not voided, and not corrected by a later one."""


Row = tuple[str, str, str, dict[str, Any]]
"""An event as reports read it: day, kind, of what, data."""


@contextmanager
def undisturbed() -> Iterator[None]:
    """Without the collector of unused objects: a book read whole makes a million that all stay in use."""
    import gc

    was = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was:
            gc.freeze()  # what was read is looked through no more
            gc.enable()


@dataclass(slots=True)
class Book:
    """An open book.

    Args:
        path: its file
        connection: to it
        fresh: whether it was made just now
        read_only: whether it stands where nothing can be written
    """

    path: Path
    connection: Connection
    fresh: bool = False
    read_only: bool = False

    def __enter__(self) -> Book:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None) -> None:
        self.connection.close()

    @property
    def name(self) -> str:
        """Its file, as it is called in messages."""
        return str(self.path)

    # ---- reading
    def read(
        self, where: str = "", arguments: Sequence[object] = (), *, corrected: bool = False, moves: bool = False
    ) -> list[Written]:
        """Events that stand, by day and then as they were written.

        Args:
            where: more conditions on `e`, as SQL; "" for all
            arguments: for its question marks
            corrected: whether corrected and voided events come too, and all in the order of their numbers
            moves: whether what they move is read too
        Raises: BadBook
        """
        conditions = " AND ".join(f"({one})" for one in ("" if corrected else STANDING, where) if one) or "1"
        order = "e.number" if corrected else "e.at, e.root"
        columns = COLUMNS if moves else COLUMNS.replace("e.ops", "''")
        with told(self.name):
            query = f"SELECT {columns} FROM event e WHERE {conditions} ORDER BY {order}"
            rows = self.connection.execute(query, arguments).fetchall()
        return list(self._written(rows))

    def _written(self, rows: Sequence[tuple[Any, ...]]) -> Iterator[Written]:
        try:
            datas = json.loads(f"[{','.join(row[9] for row in rows)}]")
            for row, data in zip(rows, datas, strict=True):
                number, root, at, written, kind, about, who, corrects, seal, _, ops = row
                yield Written(number, root, Entry(kind, about, at, data, who, corrects, ops_of_text(ops)), written, seal)
        except (TypeError, ValueError, RecursionError) as error:
            raise in_words(error, self.name) from None

    def rows(self, where: str = "", arguments: Sequence[object] = ()) -> list[Row]:
        """Events that stand, by day and then as they were written: day, kind, of what, and data. For reports over many.

        Args:
            where: more conditions on `e`, as SQL; "" for all
            arguments: for its question marks
        Raises: BadBook
        """
        conditions = " AND ".join(f"({one})" for one in (STANDING, where) if one)
        query = f"SELECT e.at, e.kind, e.about, e.data FROM event e WHERE {conditions} ORDER BY e.at, e.root"
        with told(self.name), undisturbed():
            found = self.connection.execute(query, arguments).fetchall()
            try:
                for at in {row[0] for row in found}:  # an altered day is told here, not where a report counts by it
                    date.fromisoformat(at)
                datas = json.loads(f"[{','.join([row[3] for row in found])}]")
                return [(at, kind, about, data) for (at, kind, about, _), data in zip(found, datas, strict=True)]
            except (TypeError, ValueError, RecursionError) as error:
                raise in_words(error, self.name) from None

    def names_before(self, at: str, kinds: Sequence[str]) -> set[str]:
        """What the events before a day are of."""
        query = f"SELECT DISTINCT about FROM event WHERE at < ? AND kind IN ({', '.join('?' * len(kinds))})"
        with told(self.name):
            return {str(row[0]) for row in self.connection.execute(query, (at, *kinds))}

    def moves(self, where: str = "", arguments: Sequence[object] = ()) -> list[tuple[str, str]]:
        """What the events that stand have moved: day and ops, as text, by day and then as they were written.

        Args:
            where: more conditions on `e`, as SQL; "" for all
            arguments: for its question marks
        Raises: BadBook
        """
        conditions = " AND ".join(f"({one})" for one in (STANDING, "e.ops <> ''", where) if one)
        with told(self.name):
            query = f"SELECT e.at, e.ops FROM event e WHERE {conditions} ORDER BY e.at, e.root"
            return self.connection.execute(query, arguments).fetchall()

    def one(self, number: int) -> Written:
        """An event by its number. Raises: BadQuantity, there is none of it."""
        found = self.read("e.number = ?", (number,), corrected=True, moves=True)
        if not found:
            raise BadQuantity(f"there is no event {number} in the book", cure="refinekit book events lists them")
        return found[0]

    def count(self) -> int:
        """Events written, corrected ones and voids too."""
        with told(self.name):
            return int(self.connection.execute("SELECT count(*) FROM event").fetchone()[0])

    def tally(self) -> tuple[int, dict[str, int], tuple[str, str]]:
        """Events written, those that stand by kind, and their first and last day."""
        with told(self.name):
            query = f"SELECT e.kind, count(*), min(e.at), max(e.at) FROM event e WHERE {STANDING} GROUP BY e.kind"
            rows = self.connection.execute(query).fetchall()
        days = (min((row[2] for row in rows), default=""), max((row[3] for row in rows), default=""))
        return self.count(), {str(row[0]): int(row[1]) for row in rows}, days

    # ---- writing
    def add(self, entries: Sequence[Entry]) -> tuple[int, ...]:
        """Write events, all of them or none, and be sure they are on the disk.

        Args:
            entries: what happened, in order
        Returns: their numbers
        Raises: BadBook, it cannot be written; BadQuantity, a correction of what is not there or already corrected
        """
        with told(self.name):
            self.connection.execute("BEGIN IMMEDIATE")
            try:
                numbers = tuple(self._put(entry) for entry in entries)
                self.connection.execute("COMMIT")
            except BaseException:
                if self.connection.in_transaction:
                    self.connection.execute("ROLLBACK")
                raise
        return numbers

    def take_in(self, events: Sequence[Written]) -> tuple[int, int]:
        """Take in events of another copy of this book, or typed elsewhere; all of them or none.

        Args:
            events: with a seal: they must stand here already, or follow on; without: they are added as new
        Returns: events added, events that stood here already
        Raises: BadQuantity, events of another book, or not as they were written; BadBook
        """
        added = 0
        with told(self.name):
            self.connection.execute("BEGIN IMMEDIATE")
            try:
                for one in events:
                    added += self._take(one)
                self.connection.execute("COMMIT")
            except BaseException:
                if self.connection.in_transaction:
                    self.connection.execute("ROLLBACK")
                raise
        return added, len(events) - added

    def _take(self, one: Written) -> bool:
        """Take in one event. Returns: whether it was new."""
        if not one.seal:
            day(one.entry.at)
            self._put(one.entry)
            return True
        row = self.connection.execute("SELECT seal FROM event WHERE number = ?", (one.number,)).fetchone()
        if row is not None:
            if row[0] != one.seal:
                raise BadQuantity(
                    f"event {one.number} of the file is another than event {one.number} of the book",
                    cure="bring it into a book of its own: --book FILE",
                )
            return False
        number = self._put(one.entry, one.written)
        (seal,) = self.connection.execute("SELECT seal FROM event WHERE number = ?", (number,)).fetchone()
        if number != one.number or seal != one.seal:
            raise BadQuantity(
                f"event {one.number} of the file does not follow event {number - 1} of the book, or was changed",
                cure="bring in the whole file, as refinekit book export wrote it, into a new book: --book FILE",
            )
        return True

    def _put(self, entry: Entry, written: str = "") -> int:
        last = self.connection.execute("SELECT number, seal FROM event ORDER BY number DESC LIMIT 1").fetchone()
        number, before = (last[0] + 1, last[1]) if last else (1, "")
        root = number if entry.corrects is None else self._root_of(entry)
        moment = written or datetime.now(UTC).isoformat(timespec="seconds")
        clean = Entry(entry.kind, plain_text(entry.about), entry.at, entry.data, plain_text(entry.who), entry.corrects)
        text, ops = data_text(clean.data), ops_text(entry.ops)
        if clean.kind not in KINDS:
            raise BadQuantity(f"an event cannot be a {clean.kind[:40]!r}", cure=f"one of: {', '.join(KINDS)}")
        seal = seal_of(before, number, moment, clean, text, ops)
        row = (number, root, clean.at, moment, clean.kind, clean.about, clean.who, clean.corrects, text, ops, seal)
        columns = "number, root, at, written, kind, about, who, corrects, data, ops, seal"
        self.connection.execute(f"INSERT INTO event ({columns}) VALUES ({', '.join('?' * len(row))})", row)
        return int(number)

    def _root_of(self, entry: Entry) -> int:
        """Whose place a correction takes."""
        row = self.connection.execute("SELECT root, kind FROM event WHERE number = ?", (entry.corrects,)).fetchone()
        if row is None:
            raise BadQuantity(
                f"there is no event {entry.corrects} to correct", cure="refinekit book events lists them with their numbers"
            )
        later = self.connection.execute("SELECT number FROM event WHERE corrects = ?", (entry.corrects,)).fetchone()
        if later:
            raise BadQuantity(
                f"event {entry.corrects} was corrected before, by event {later[0]}",
                cure=f"correct that one: --corrects {later[0]}",
            )
        if entry.kind not in ("void", row[1]):
            raise BadQuantity(
                f"event {entry.corrects} is of a {row[1]}, this is of a {entry.kind}",
                cure=f"correct it with an event of a {row[1]}, or refinekit book void {entry.corrects}",
            )
        return int(row[0])
