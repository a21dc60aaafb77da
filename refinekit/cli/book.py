"""`refinekit book`: the record itself: where it is, whether it is whole, taken out, brought in, copied, and an event voided."""

from __future__ import annotations

from typing import Annotated

import typer

from refinekit.cli.desk import desk_of_look
from refinekit.cli.options import At, BookFile, Csv, Force, Json, Note, Text, Units, Who, Working, typed
from refinekit.errors import BadQuantity
from refinekit.nearest import did_you_mean

WORDS = ("show", "events", "check", "export", "import", "backup", "void")


def run(
    what: Annotated[str, typer.Argument(help=", ".join(WORDS), metavar="WHAT")] = "show",
    which: Annotated[
        str | None, typer.Argument(help="a file; for void, the number of the event", metavar="FILE", show_default=False)
    ] = None,
    about: Annotated[Text, typed("about", "events of this lot, bath, drum or reagent alone", "NAME")] = None,
    note: Note = None,
    who: Who = None,
    at: At = None,
    force: Force = False,
    book: BookFile = None,
    json: Json = False,
    csv: Csv = False,
    show_working: Working = False,
    units: Units = None,
) -> int:
    """The record itself: where it is, its events, whether it is whole, export, import, backup, void.

    Example: refinekit book check
    """
    from refinekit.cli import book_answers as answers
    from refinekit.shop.book.opening import open_book

    desk = desk_of_look("book", json=json, csv=csv, working=show_working, units=units)
    if what not in WORDS:
        raise BadQuantity(f"a book cannot be asked to {what[:40]!r}", cure=did_you_mean(what, WORDS))
    with open_book(book, write=what in ("import", "void")) as opened:
        if what == "show":
            return desk.show(answers.shown(opened))
        if what == "events":
            return desk.show(answers.events(opened, about))
        if what == "check":
            document, whole = answers.checked(opened)
            return desk.show(document) or (0 if whole else 2)
        if what == "void":
            return desk.show(answers.voided(opened, which, note=note, who=who, at=at))
        if which is None:
            raise BadQuantity(f"book {what} needs a file", cure=f"refinekit book {what} book.jsonl")
        return desk.show(answers.copied(opened, what, which, force=force))
