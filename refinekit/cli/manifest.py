"""`refinekit manifest`: the paper that goes with the drums."""

from __future__ import annotations

from typing import Annotated

import typer

from refinekit.cli.desk import desk_of_look
from refinekit.cli.options import BookFile, Csv, Json, Law, Units, Working


def run(
    names: Annotated[
        list[str] | None, typer.Argument(help="drums; left out, all that stand in the shop", metavar="DRUM", show_default=False)
    ] = None,
    law: Law = "us",
    book: BookFile = None,
    json: Json = False,
    csv: Csv = False,
    show_working: Working = False,
    units: Units = None,
) -> int:
    """The paper for the drums: contents, hazards, dates, weights, the month's waste against the line.

    Example: refinekit manifest "drum 1"
    """
    from refinekit.cli.drum_answers import manifest

    desk = desk_of_look("manifest", json=json, csv=csv, working=show_working, units=units)
    return desk.show(manifest(list(names or ()), law=law, book=book))
