"""`refinekit log`: what was done, written down."""

from __future__ import annotations

from typing import Annotated, Any

import typer

from refinekit.cli.desk import desk_of_look, open_text
from refinekit.cli.options import (
    Force,
    Sheet,
    Text,
    look_told,
    typed,
    writes_event,
)

Texts = list[str] | None


@writes_event
def run(
    file: Annotated[
        str | None, typer.Argument(help="a batch file, a step's JSON, or - for the pipe", metavar="FILE", show_default=False)
    ] = None,
    lot: Annotated[Text, typed("lot", "number of the lot", "NUMBER")] = None,
    step: Annotated[Text, typed("step", "log this step of the file alone, as in drop or rinse 2", "STEP")] = None,
    written: Annotated[
        str | None,
        typed(
            "written", "what was written on the plan's run sheet, as its page saves it; blanks left open are as planned", "FILE"
        ),
    ] = None,
    used: Annotated[Texts, typed("used", "used where not as planned: nitric=6.5mL, or drop: smb=5g; several by commas")] = None,
    bottle: Annotated[Texts, typed("bottle", "lot number on a bottle: nitric=H-2291")] = None,
    temperature: Annotated[Text, typed("temperature", "how warm it was", "DEGC")] = None,
    minutes: Annotated[Text, typed("minutes", "how long it took", "MIN")] = None,
    test: Annotated[Text, typed("test", "what a test said, as in stannous clear")] = None,
    colour: Annotated[Text, typed("colour", "what it looked like")] = None,
    foam: Annotated[Text, typed("foam", "how high it rose, as a share of the liquor", "SHARE")] = None,
    source: Annotated[Text, typed("source", "where the lot came from")] = None,
    seller: Annotated[Text, typed("seller", "what the law asks you to keep of the seller; it stays in this book")] = None,
    paid: Annotated[Text, typed("paid", "what was paid for the lot", "MONEY")] = None,
    bath: Annotated[str, typed("bath", "what the shop calls the bath of the file", "NAME")] = "bath",
    keep: Annotated[bool, typer.Option("--keep", help="leave boards, filters and waste in the lot's own vessels")] = False,
    bar: Annotated[Text, typed("bar", "weight of the bar", "G")] = None,
    fineness: Annotated[Text, typed("fineness", "fineness of the bar", "THOUSANDTHS")] = None,
    found: Annotated[Texts, typed("found", "fine metal found in a stream: filters=0.02g, slag=15mg")] = None,
    metal: Annotated[str, typed("metal", "gold, silver, palladium or platinum", "METAL")] = "gold",
    cost: Annotated[Texts, typed("cost", "money out: collection=85")] = None,
    sold: Annotated[Text, typed("sold", "money in for the lot's metal", "MONEY")] = None,
    into: Annotated[Text, typed("into", "vessel something was put into", "VESSEL")] = None,
    add: Annotated[Text, typed("add", "reagent that was put in", "REAGENT")] = None,
    strength: Annotated[Text, typed("strength", "its label", "STRENGTH")] = None,
    volume: Annotated[Text, typed("volume", "how much of it, or of the vessel poured from", "L")] = None,
    weight: Annotated[Text, typed("weight", "how much of a dry one", "G")] = None,
    pour: Annotated[Text, typed("pour", "vessel that was poured into --into; all of it without --volume", "VESSEL")] = None,
    pot: Annotated[
        Texts, typed("pot", "pots that stand in the shop: a JSON file, or -; for vessels the book does not know", "FILE")
    ] = None,
    override: Annotated[Texts, typed("override", "CODE=REASON: go on past a stop that may be lifted")] = None,
    sheet: Sheet = None,
    force: Force = False,
    **event: Any,
) -> int:
    """What was done, written down: a plan with what was different, a vessel filled, metal found, money.

    Example: refinekit log examples/edge-tabs.toml --lot 12 --step drop --used smb=5.4g --test "stannous clear"
    """
    told = {name: value for name, value in locals().items() if name not in ("event", "sheet", "force")} | event
    from refinekit.cli import log_answers

    desk = desk_of_look("log", **look_told(told), sheet=sheet, force=force)
    return desk.show(log_answers.logged(told, open_text))
