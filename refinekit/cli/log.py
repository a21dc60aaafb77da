"""`refinekit log`: what was done, written down."""

from __future__ import annotations

from typing import Annotated, Any

import typer

from refinekit.cli.desk import desk_of_look, open_text
from refinekit.cli.options import At, BookFile, Corrects, Csv, Force, Json, Note, Sheet, Units, Who, Working

Texts = list[str] | None


def text(name: str, help: str, metavar: str | None = None) -> Any:
    """An option that is read later."""
    return typer.Option(f"--{name}", help=help, metavar=metavar or "TEXT", show_default=False)


def run(
    file: Annotated[
        str | None, typer.Argument(help="a batch file, a step's JSON, or - for the pipe", metavar="FILE", show_default=False)
    ] = None,
    lot: Annotated[str | None, text("lot", "number of the lot", "NUMBER")] = None,
    step: Annotated[str | None, text("step", "log this step of the file alone, as in drop or rinse 2", "STEP")] = None,
    written: Annotated[
        str | None,
        text(
            "written", "what was written on the plan's run sheet, as its page saves it; blanks left open are as planned", "FILE"
        ),
    ] = None,
    used: Annotated[Texts, text("used", "used where not as planned: nitric=6.5mL, or drop: smb=5g; several by commas")] = None,
    bottle: Annotated[Texts, text("bottle", "lot number on a bottle: nitric=H-2291")] = None,
    temperature: Annotated[str | None, text("temperature", "how warm it was", "DEGC")] = None,
    minutes: Annotated[str | None, text("minutes", "how long it took", "MIN")] = None,
    test: Annotated[str | None, text("test", "what a test said, as in stannous clear")] = None,
    colour: Annotated[str | None, text("colour", "what it looked like")] = None,
    foam: Annotated[str | None, text("foam", "how high it rose, as a share of the liquor", "SHARE")] = None,
    source: Annotated[str | None, text("source", "where the lot came from")] = None,
    seller: Annotated[str | None, text("seller", "what the law asks you to keep of the seller; it stays in this book")] = None,
    paid: Annotated[str | None, text("paid", "what was paid for the lot", "MONEY")] = None,
    bath: Annotated[str, text("bath", "what the shop calls the bath of the file", "NAME")] = "bath",
    keep: Annotated[bool, typer.Option("--keep", help="leave boards, filters and waste in the lot's own vessels")] = False,
    bar: Annotated[str | None, text("bar", "weight of the bar", "G")] = None,
    fineness: Annotated[str | None, text("fineness", "fineness of the bar", "THOUSANDTHS")] = None,
    found: Annotated[Texts, text("found", "fine metal found in a stream: filters=0.02g, slag=15mg")] = None,
    metal: Annotated[str, text("metal", "gold, silver, palladium or platinum", "METAL")] = "gold",
    cost: Annotated[Texts, text("cost", "money out: collection=85")] = None,
    sold: Annotated[str | None, text("sold", "money in for the lot's metal", "MONEY")] = None,
    into: Annotated[str | None, text("into", "vessel something was put into", "VESSEL")] = None,
    add: Annotated[str | None, text("add", "reagent that was put in", "REAGENT")] = None,
    strength: Annotated[str | None, text("strength", "its label", "STRENGTH")] = None,
    volume: Annotated[str | None, text("volume", "how much of it, or of the vessel poured from", "L")] = None,
    weight: Annotated[str | None, text("weight", "how much of a dry one", "G")] = None,
    pour: Annotated[str | None, text("pour", "vessel that was poured into --into; all of it without --volume", "VESSEL")] = None,
    pot: Annotated[
        Texts, text("pot", "pots that stand in the shop: a JSON file, or -; for vessels the book does not know", "FILE")
    ] = None,
    override: Annotated[Texts, text("override", "CODE=REASON: go on past a stop that may be lifted")] = None,
    corrects: Corrects = None,
    note: Note = None,
    who: Who = None,
    at: At = None,
    book: BookFile = None,
    json: Json = False,
    csv: Csv = False,
    show_working: Working = False,
    units: Units = None,
    sheet: Sheet = None,
    force: Force = False,
) -> int:
    """What was done, written down: a plan with what was different, a vessel filled, metal found, money.

    Example: refinekit log examples/edge-tabs.toml --lot 12 --step drop --used smb=5.4g --test "stannous clear"
    """
    from refinekit.cli import log_answers

    desk = desk_of_look("log", json=json, csv=csv, working=show_working, units=units, sheet=sheet, force=force)
    told = {
        name: value
        for name, value in locals().items()
        if name not in ("desk", "log_answers", "json", "csv", "sheet", "force", "show_working", "units")
    }
    return desk.show(log_answers.logged(told, open_text))
