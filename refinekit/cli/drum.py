"""`refinekit drum`: what is in the drums, and what was done with them."""

from __future__ import annotations

from typing import Annotated, Any

import typer

from refinekit.cli.desk import desk_of_look
from refinekit.cli.options import (
    Law,
    Text,
    look_told,
    typed,
    writes_event,
)

DOES = ("show", "open", "add", "measure", "close", "gone")


@writes_event
def run(
    what: Annotated[str, typer.Argument(help=", ".join(DOES), metavar="WHAT")] = "show",
    name: Annotated[Text, typer.Argument(help="what is painted on the drum", metavar="NAME", show_default=False)] = None,
    kind: Annotated[Text, typed("for", "what it is meant for, as in acid liquor")] = None,
    size: Annotated[Text, typed("size", "most it holds", "L")] = None,
    pour: Annotated[Text, typed("from", "vessel of the book that goes in; all of it without --volume", "VESSEL")] = None,
    content: Annotated[Text, typed("what", "what went in, where it is no vessel of the book")] = None,
    volume: Annotated[Text, typed("volume", "how much liquor", "L")] = None,
    density: Annotated[Text, typed("density", "of that liquor", "G/ML")] = None,
    weight: Annotated[Text, typed("weight", "how heavy: of what went in, or of the whole drum", "KG")] = None,
    ph: Annotated[Text, typed("ph", "pH as measured", "PH")] = None,
    contractor: Annotated[Text, typed("contractor", "who fetched it")] = None,
    paper: Annotated[Text, typed("paper", "number of the paper that went with it", "NUMBER")] = None,
    override: Annotated[list[str] | None, typed("override", "CODE=REASON: go on past a stop that may be lifted")] = None,
    law: Law = "us",
    **event: Any,
) -> int:
    """The drums from the book: contents, hazards, weight, days, what the law asks, and the paper they went with.

    Example: refinekit drum add "drum 1" --what "spent bath" --volume 4.6L --density 1.18
    """
    told = {key: value for key, value in locals().items() if key != "event"} | event
    from refinekit.cli.drum_answers import answer

    desk = desk_of_look("drum", **look_told(told))
    return desk.show(answer(told))
