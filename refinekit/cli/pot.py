"""`refinekit pot`: what a vessel holds, where it came from and what it must not meet."""

from __future__ import annotations

from typing import Annotated

import typer

from refinekit.cli.desk import desk_of_look, open_text
from refinekit.cli.options import Csv, Json, Units, Working
from refinekit.show.document import Document


def run(
    file: Annotated[str, typer.Argument(help="pots of a step before: a JSON file, or - for the pipe", metavar="FILE")],
    take: Annotated[
        list[str] | None, typer.Option("--take", help="name of a pot, where there are several", show_default=False)
    ] = None,
    json: Json = False,
    csv: Csv = False,
    show_working: Working = False,
    units: Units = None,
) -> int:
    """What is in a vessel, where it came from and what it must not meet.

    A pot may be written by hand: {"name": "old bath", "volume_l": 4, "dissolved_mol": {"HCl": 6, "CuCl2": 3}}.

    Example: refinekit pot bath.json
    """
    from refinekit.safety.portrait import portrait
    from refinekit.shop.potfile import read_pots

    desk = desk_of_look("pot", json=json, csv=csv, working=show_working, units=units)
    pots = read_pots(*open_text(file))
    shown = portrait(pots, tuple(take or ()))
    title = ", ".join(one.name for one in shown.pots)
    document = Document.of(
        "pot",
        title=title,
        notices=shown.notices,
        inputs={"file": file},
        sections=shown.tables,
        lines=shown.lines,
        pots=shown.pots,
    )
    return desk.show(document)
