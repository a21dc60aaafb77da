"""What `refinekit book` answers, each a document."""

from __future__ import annotations

import os
from collections.abc import Mapping
from typing import Any

from refinekit.bench.step import Notice, Table
from refinekit.errors import BadQuantity
from refinekit.ranges import Range
from refinekit.shop.book.entry import Entry, Written, day
from refinekit.shop.book.store import Book
from refinekit.show.document import Document

SAID = ("did", "step", "verb", "used", "figures", "metals_g", "goods", "weight_g", "unit")
"""What of an event is said in words of its own, or is for reckoning alone."""
UNITS = {"l": "L", "g": "g of what takes no part"}
LONGEST = 160
"""Characters of an event shown in a list; the export has them all."""


def so_many(count: int) -> str:
    """So many events, in words."""
    return f"{count} event" if count == 1 else f"{count} events"


def shown(book: Book) -> Document:
    """Where the book is and how far it goes."""
    from refinekit.shop.book.schema import VERSION

    count, kinds, days = book.tally()
    standing = sum(kinds.values())
    lines = [
        ("where", book.name),
        ("holds", f"{so_many(count)}, {standing} of them standing; the rest corrected or voided"),
        ("file", f"{os.path.getsize(book.path) / 1000:.0f} kB, version {VERSION}"),
    ]
    if standing:
        lines.append(("from", f"{days[0]} to {days[1]}"))
    rows = tuple((kind, Range.point(count)) for kind, count in kinds.items())
    sections = (Table("Events that stand", ("kind", "events"), rows),) if rows else ()
    return Document.of("book", inputs={"book": book.name}, lines=lines, sections=sections)


def events(book: Book, about: str | None) -> Document:
    """Every event with its number, corrected ones and voids too."""
    where, arguments = ("e.about = ?", (about,)) if about is not None else ("", ())
    found = book.read(where, arguments, corrected=True)
    if about is not None and not found:
        raise BadQuantity(f"the book has no event of {about[:40]!r}", cure="refinekit book events lists all")
    corrected = {one.entry.corrects: one.number for one in book.read("e.corrects IS NOT NULL", corrected=True)}
    rows = tuple(
        (str(one.number), one.entry.at, one.entry.kind, one.entry.about, _words(one, corrected), one.entry.who) for one in found
    )
    table = Table("Events", ("no", "day", "kind", "of", "what", "who"), rows)
    return Document.of("book", title="events", inputs={"book": book.name}, sections=(table,))


def _used(row: Mapping[str, Any]) -> str:
    """What was used, as it was measured out."""
    small = row["used"] < 1
    amount, unit = (row["used"] * 1000, f"m{row['unit']}") if small else (row["used"], row["unit"])
    return f"{row['name']} {amount:.4g} {unit}" + (f" (bottle {row['bottle']})" if "bottle" in row else "")


def _plain(value: object) -> str:
    if isinstance(value, float):
        return f"{value:.6g}"
    if isinstance(value, list):
        return "/".join(_plain(one) for one in value)
    if isinstance(value, dict):
        return ", ".join(f"{key} {_plain(one)}" for key, one in value.items())
    return str(value)


def _words(one: Written, corrected: dict[int | None, int]) -> str:
    data = one.entry.data
    parts = [str(data.get("step", "")), str(data.get("did", ""))]
    parts += [f"{key} {_plain(value)}" for key, value in data.items() if key not in SAID and value not in ("", None)]
    parts += map(_used, data.get("used", ()))
    text = ", ".join(part for part in parts if part)
    short = text if len(text) <= LONGEST else f"{text[:LONGEST]}... ({len(text)} characters)"
    heads = []
    if one.entry.corrects:
        heads.append(f"corrects {one.entry.corrects}")
    if one.number in corrected:
        heads.append(f"corrected by {corrected[one.number]}")
    return "; ".join(filter(None, [*heads, short]))


def checked(book: Book) -> tuple[Document, bool]:
    """Whether the book is whole."""
    from refinekit.shop.book.check import check

    found = check(book)
    whole = not found.faults
    missing = overdrawn(book) if whole else []
    lines = [("where", book.name), ("read", f"{so_many(found.events)}, every seal")]
    lines.append(("answer", "whole: every event is as it was written" if whole else "NOT WHOLE"))
    if whole and found.last_seal:
        lines.append(("last seal", f"{found.last_seal}: written down elsewhere, it proves the record later"))
    if whole:
        lines.append(("ledger", "does not close" if missing else "closes: nothing went out of a vessel that did not come in"))
    lines += [("mind", one) for one in found.remarks]
    notices = [
        Notice(
            "warn",
            "book-damaged",
            fault,
            "keep the file as it is, and go on from the last backup or export in a new one",
            "practice",
        )
        for fault in found.faults
    ]
    do = "correct the event that has it wrong: refinekit book events --about NAME, then log it again with --corrects"
    notices += [Notice("warn", "ledger-open", one, do, "practice") for one in missing]
    return Document.of("book", title="check", notices=notices, inputs={"book": book.name}, lines=lines), whole and not missing


def overdrawn(book: Book) -> list[str]:
    """Where more went out of a vessel than ever came in, in words."""
    from refinekit.shop.book.vessels import vessels_of

    return [
        f"{amount:.3g} {UNITS.get(what, f'mol of {what}')} more went out of {name!r} than came in"
        for name, held in vessels_of(book).vessels.items()
        for what, amount in held.overdrawn()
    ]


def copied(book: Book, what: str, file: str, *, force: bool) -> Document:
    """The book exported, imported or backed up."""
    from refinekit.shop.book import copies

    if what == "import":
        added, there = copies.bring_in(book, file)
        line = f"{so_many(added)} added, {there} were there already"
    elif what == "export":
        line = f"{so_many(copies.export(book, file, force=force))} written to {file}"
    else:
        line = f"{so_many(copies.backup(book, file, force=force))} copied to {file}, and the copy is whole"
    return Document.of("book", title=what, inputs={"book": book.name, "file": file}, lines=[("done", line)])


def voided(book: Book, which: str | None, *, note: str | None, who: str | None, at: str | None) -> Document:
    """An event taken out of the reckoning by another that says why."""
    if which is None or not which.isdecimal():
        raise BadQuantity("book void needs the number of an event", cure='refinekit book void 12 --note "logged twice"')
    if not (note or "").strip():
        raise BadQuantity("an event is not voided without a word why", cure=f'refinekit book void {which} --note "logged twice"')
    old = book.one(int(which))
    (number,) = book.add([Entry("void", old.entry.about, day(at), {"note": note}, who or "", int(which))])
    line = f"event {number} stands in the place of event {which}; both stay in the book"
    return Document.of("book", title="void", inputs={"book": book.name, "event": which}, lines=[("done", line)])
