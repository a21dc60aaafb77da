"""`refinekit bath`: the bath over its lots, from the book."""

from __future__ import annotations

from typing import Any

import typer

from refinekit.cli.cards import CARDS
from refinekit.cli.desk import (
    SHEET_OPTIONS,
    Desk,
    command,
    desk_of,
    field_options,
    option,
    place_options,
    shared_options,
)
from refinekit.errors import raise_all
from refinekit.nearest import nearest
from refinekit.shop.book.as_done import BATH
from refinekit.shop.book.bath import DOES, SPENT, Asked, Outcome, do, fields, known
from refinekit.shop.book.entry import Entry
from refinekit.shop.book.store import Book
from refinekit.show.document import Document

LAST = 2**62
"""Place after every event of a day."""
OWN = (
    ("lot", "number of the lot that went through", "NUMBER"),
    ("into", f"where a bleed or a retired bath goes; left out, {SPENT}", "VESSEL"),
    ("colour", "what it looked like", "TEXT"),
    ("note", "anything worth knowing later", "TEXT"),
    ("who", "who did it", "NAME"),
    ("at", "day it was done, as 2026-03-05; left out, today", "DAY"),
    ("corrects", "number of the event this one stands in the place of", "NUMBER"),
    ("book", "the shop's book, where it is not the usual one", "FILE"),
)
DOC = f"""{CARDS["bath"]}

WHAT is one of: {", ".join(DOES)}. show, history and next write nothing.

Example: refinekit bath next --copper 82g --nickel 9.3g --bleed --volume 6L --aim 2mol/L
"""


def _run(**told: Any) -> int:
    from refinekit.shop.ask import listen
    from refinekit.shop.book.entry import day
    from refinekit.shop.place import place_of
    from refinekit.shop.place_fields import PLACE_FIELDS

    what, name = told.pop("what"), told.pop("name")
    if what not in DOES and name is None and not nearest(what, DOES):  # the name of a bath alone asks to see it
        what, name = "show", what
    what, name = known(what), name or BATH
    own = {key: told.pop(key) for key, _, _ in OWN}
    told |= {"pot": None, "take": None, "override": None}
    desk = desk_of("bath", told)
    heard = listen(fields(), {one.name: told[one.arg] or None for one in fields()}, label=lambda field: f"--{field}")
    place, place_told = place_of(PLACE_FIELDS, desk.texts, label=lambda field: f"--{field}")
    raise_all([*heard.faults, *place_told.faults])
    words = {key: own[key] for key in ("colour", "note") if own[key]}
    asked = Asked(what, name, heard, place, own["lot"] or "", own["into"] or SPENT, words, day(own["at"]), own["who"] or "")
    return desk.show(answer(desk, asked, own))


def answer(desk: Desk, asked: Asked, own: dict[str, Any]) -> Document:
    """Do it, write it where it is an event, and show the bath."""
    from refinekit.bench.step import Step
    from refinekit.shop.book import bath_shown
    from refinekit.shop.book.gate import before_pouring, stops
    from refinekit.shop.book.opening import open_book
    from refinekit.shop.book.vessels import vessels_of

    writes = asked.what not in ("show", "history", "next")
    with open_book(own["book"], write=writes) as book:
        if asked.what == "history":
            return Document.of("bath", title="history", sections=(bath_shown.history(book, asked.name),))
        held = vessels_of(book, (asked.name,), before=when(book, asked.at, own["corrects"])).of(asked.name)
        outcome = Outcome(None, None)
        if asked.what != "show" or held.pot().is_empty:
            outcome = do(asked, held)
        if asked.what in ("bleed", "retire"):
            there = vessels_of(book, (asked.into,)).of(asked.into).pot()
            met = before_pouring(there, held.pot(), {})
            outcome = Outcome(outcome.entry, Step("bath") if stops(met) else None, met)
        if any(one.level == "stop" and not one.reason for one in outcome.notices) and outcome.step:
            return Document.of("bath", (outcome.step,), notices=outcome.notices, place=asked.place)
        lines = []
        if outcome.entry:
            lines.append(written(book, outcome.entry, own["corrects"]))
        if asked.what == "next" and outcome.step:
            return Document.of("bath", (outcome.step,), notices=outcome.notices, place=asked.place, assumed=asked.told.assumed)
        held = vessels_of(book, (asked.name,)).of(asked.name)
        step = bath_shown.shown(held, bath_shown.lots_of(book, asked.name), asked.place, vessel_l=asked.figures().get("vessel_l"))
    title = f"{step.title}: {outcome.entry.data['did']}" if outcome.entry else step.title
    inputs = {"bath": asked.name, **asked.told.shown}
    return Document.of(
        "bath",
        (step,),
        title=title,
        notices=outcome.notices,
        inputs=inputs,
        place=asked.place,
        lines=lines,
        assumed=asked.told.assumed,
    )


def when(book: Book, at: str, corrects: str | None) -> tuple[str, int]:
    """Day and place of what is about to be written: a correction happens where what it corrects did, all else last on its day."""
    from refinekit.cli.log_answers import number_of

    number = number_of(corrects)
    return (at, book.one(number).root if number else LAST)


def written(book: Book, entry: Entry, corrects: str | None) -> tuple[str, str]:
    """Write an event; the line that says so."""
    from dataclasses import replace

    from refinekit.cli.log_answers import number_of

    (number,) = book.add([replace(entry, corrects=number_of(corrects))])
    return ("written", f"event {number} of {entry.at}: {entry.data['did']}" + (" (a new book was begun)" if book.fresh else ""))


def _options() -> dict[str, tuple[type, Any, Any]]:
    arguments: dict[str, tuple[Any, Any, Any]] = {
        "what": (str, typer.Argument(help=", ".join(DOES), metavar="WHAT"), "show"),
        "name": (
            str | None,
            typer.Argument(help="what the shop calls the bath; left out, bath", metavar="NAME", show_default=False),
            None,
        ),
    }
    own = {name: option(name, str, help, metavar) for name, help, metavar in OWN}
    shown = {**shared_options(pots=False), **{name: option(name, kind, help, "FILE.html") for name, kind, help in SHEET_OPTIONS}}
    return {**arguments, **field_options(fields()), **own, **place_options(), **shown}


run = command("bath", _options(), _run, DOC)
