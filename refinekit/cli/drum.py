"""`refinekit drum`: what is in the drums, and what was done with them."""

from __future__ import annotations

from typing import Annotated, Any

import typer

from refinekit.cli.desk import desk_of_look
from refinekit.cli.options import At, BookFile, Corrects, Csv, Json, Law, Note, Units, Who, Working

DOES = ("show", "open", "add", "measure", "close", "gone")
Text = str | None


def text(name: str, help: str, metavar: str = "TEXT") -> Any:
    """An option that is read later."""
    return typer.Option(f"--{name}", help=help, metavar=metavar, show_default=False)


def run(
    what: Annotated[str, typer.Argument(help=", ".join(DOES), metavar="WHAT")] = "show",
    name: Annotated[Text, typer.Argument(help="what is painted on the drum", metavar="NAME", show_default=False)] = None,
    kind: Annotated[Text, text("for", "what it is meant for, as in acid liquor")] = None,
    size: Annotated[Text, text("size", "most it holds", "L")] = None,
    pour: Annotated[Text, text("from", "vessel of the book that goes in; all of it without --volume", "VESSEL")] = None,
    content: Annotated[Text, text("what", "what went in, where it is no vessel of the book")] = None,
    volume: Annotated[Text, text("volume", "how much liquor", "L")] = None,
    density: Annotated[Text, text("density", "of that liquor", "G/ML")] = None,
    weight: Annotated[Text, text("weight", "how heavy: of what went in, or of the whole drum", "KG")] = None,
    ph: Annotated[Text, text("ph", "pH as measured", "PH")] = None,
    contractor: Annotated[Text, text("contractor", "who fetched it")] = None,
    paper: Annotated[Text, text("paper", "number of the paper that went with it", "NUMBER")] = None,
    override: Annotated[list[str] | None, text("override", "CODE=REASON: go on past a stop that may be lifted")] = None,
    law: Law = "us",
    corrects: Corrects = None,
    note: Note = None,
    who: Who = None,
    at: At = None,
    book: BookFile = None,
    json: Json = False,
    csv: Csv = False,
    show_working: Working = False,
    units: Units = None,
) -> int:
    """The drums from the book: contents, hazards, weight, days, what the law asks, and the paper they went with.

    Example: refinekit drum add "drum 1" --what "spent bath" --volume 4.6L --density 1.18
    """
    from refinekit.cli.drum_answers import answer

    desk = desk_of_look("drum", json=json, csv=csv, working=show_working, units=units)
    told = {
        key: value for key, value in locals().items() if key not in ("answer", "desk", "json", "csv", "show_working", "units")
    }
    return desk.show(answer(told))
